// Warming of two bonded half-spaces, of unlike materials, by light that is absorbed after Beer and Lambert in the lower one
// (and a little in the layer above): the factor by which one unit of energy per area, released at once, warms a depth later.
// Source: Green's function of the infinite solid and its images (Carslaw & Jaeger 1959, ch. 2 and 10), integrated over the
// absorption profile; the scaled complementary error function keeps it from overflowing (derived). Along the joint heat spreads as in
// the absorber on both sides, which is exact for like diffusivities only.
import { erfcx, exp } from '../geometry/elementary.ts';
import type { Medium } from '../model/heat.ts';

/** Constants of a medium that every evaluation needs. */
export interface DepthKernel {
  /** Diffusivity of absorber and layer, mm2/s. */
  readonly diffusivity: number;
  readonly layerDiffusivity: number;
  /** Absorption coefficients, 1/mm, and thickness of the layer, mm. */
  readonly absorption: number;
  readonly layerAbsorption: number;
  readonly layerThickness: number;
  /** K / (2 rho c) of either side, K mm2/J. */
  readonly scale: number;
  readonly layerScale: number;
  /** (e2 - e1) / (e2 + e1) with the effusivities of absorber (2) and layer (1). */
  readonly contrast: number;
}

export function depthKernel(medium: Medium): DepthKernel {
  const { absorber, layer } = medium;
  const e2 = absorber.heatCapacity * Math.sqrt(absorber.diffusivity);
  const e1 = layer.heatCapacity * Math.sqrt(layer.diffusivity);
  return {
    diffusivity: absorber.diffusivity,
    layerDiffusivity: layer.diffusivity,
    absorption: medium.absorption,
    layerAbsorption: medium.layerAbsorption,
    layerThickness: medium.layerThickness,
    scale: medium.absorption / (2 * absorber.heatCapacity),
    layerScale: medium.layerAbsorption / (2 * layer.heatCapacity),
    contrast: (e2 - e1) / (e2 + e1),
  };
}

/**
 * Rise of temperature, K, at the depth `z` mm (> 0 in the absorber, < 0 in the layer), `time` s after 1 J/mm2 crossed the
 * joint. Exact in one dimension, also for unlike halves: each half's own heat as in like halves, plus its mirror image times
 * the contrast of effusivities; on the joint that is 2 e2 / (e1 + e2) times the warming of like halves.
 */
export function depthFactor(kernel: DepthKernel, z: number, time: number): number {
  const { contrast, diffusivity, layerDiffusivity } = kernel;
  const own = diffusivity * time;
  let rise = 0;
  if (z >= 0) {
    rise = absorbed(kernel.absorption, z, own);
    if (contrast !== 0) rise += contrast * absorbed(kernel.absorption, -z, own);
  } else {
    const stretched = z * Math.sqrt(diffusivity / layerDiffusivity);
    rise = (1 + contrast) * absorbed(kernel.absorption, stretched, own);
  }
  rise *= kernel.scale;
  if (kernel.layerScale === 0) return rise;
  const other = layerDiffusivity * time;
  const { layerAbsorption, layerThickness, layerScale } = kernel;
  if (z > 0) {
    const stretched = z * Math.sqrt(layerDiffusivity / diffusivity);
    return rise + layerScale * (1 - contrast) * absorbedInLayer(layerAbsorption, layerThickness, stretched, other);
  }
  const here = absorbedInLayer(layerAbsorption, layerThickness, z, other);
  const mirrored = contrast === 0 ? 0 : absorbedInLayer(layerAbsorption, layerThickness, -z, other);
  return rise + layerScale * (here - contrast * mirrored);
}

/** exp(k^2 d - k z) erfc(k sqrt d - z / (2 sqrt d)): the profile 2 exp(-k z), z > 0, spread by `d` = diffusivity x time, mm2. */
function absorbed(k: number, z: number, d: number): number {
  if (d <= 0) return z > 0 ? 2 * exp(-k * z) : z === 0 ? 1 : 0;
  const root = Math.sqrt(d);
  const u = k * root - z / (2 * root);
  const spread = z === 0 ? 1 : exp(-(z * z) / (4 * d));
  return u >= 0 ? spread * erfcx(u) : 2 * exp(k * k * d - k * z) - spread * erfcx(-u);
}

/**
 * exp(k^2 d - k z) [erf((z + thickness)/(2 sqrt d) - k sqrt d) - erf(z / (2 sqrt d) - k sqrt d)]: the profile 2 exp(k h) at the
 * heights h = 0 .. thickness above the joint, spread by `d` mm2, at the depth z below it (z < 0: above).
 */
function absorbedInLayer(k: number, thickness: number, z: number, d: number): number {
  if (d <= 0) return z > 0 || z < -thickness ? 0 : z === 0 ? 1 : 2 * exp(-k * z);
  const root = Math.sqrt(d);
  const a = z / (2 * root) - k * root;
  const b = (z + thickness) / (2 * root) - k * root;
  const near = exp(-(z * z) / (4 * d));
  const far = exp(k * thickness - ((z + thickness) * (z + thickness)) / (4 * d));
  if (a >= 0) return near * erfcx(a) - far * erfcx(b);
  if (b >= 0) return 2 * exp(k * k * d - k * z) - near * erfcx(-a) - far * erfcx(b);
  return far * erfcx(-b) - near * erfcx(-a);
}
