// The depth factors of a fixed set of depths, tabulated over the root of the age: looking them up together costs a tenth of
// computing them. Cubic interpolation in u / (u + scale), in which both ends are smooth.
import { type DepthKernel, depthFactor } from './depth-kernel.ts';

export interface DepthTable {
  readonly depths: Float64Array;
  readonly kernel: DepthKernel;
  /** s^(1/2) */
  readonly scale: number;
  /** Factors, depths one after the other for every entry, K mm2/J. */
  readonly factor: Float64Array;
}

const ENTRIES = 768;

export function createDepthTable(kernel: DepthKernel, depths: Float64Array): DepthTable {
  const deepest = depths[depths.length - 1];
  const root = Math.sqrt(kernel.diffusivity);
  // Ages at which absorbed heat has left its depth, and at which it has come through the depths looked at.
  const absorbed = 1 / (kernel.absorption * root);
  const scale = deepest > 0 ? Math.min(absorbed, deepest / root) : absorbed;
  const factor = new Float64Array(ENTRIES * depths.length);
  for (let i = 0; i < ENTRIES; i++) {
    const share = i / ENTRIES;
    const u = (scale * share) / (1 - share);
    for (let d = 0; d < depths.length; d++) factor[i * depths.length + d] = depthFactor(kernel, depths[d], u * u);
  }
  return { depths, kernel, scale, factor };
}

/** Factors at the age u^2 (s) for the first `count` depths, to `out`; computed outright beyond the table's end. */
export function lookUpFactors(table: DepthTable, u: number, count: number, out: Float64Array): void {
  const { depths, factor, scale, kernel } = table;
  const at = (ENTRIES * u) / (u + scale);
  const i = Math.max(1, Math.floor(at));
  if (i > ENTRIES - 3) {
    for (let d = 0; d < count; d++) out[d] = depthFactor(kernel, depths[d], u * u);
    return;
  }
  const f = at - i;
  const a0 = (-f * (f - 1) * (f - 2)) / 6;
  const a1 = ((f + 1) * (f - 1) * (f - 2)) / 2;
  const a2 = (-(f + 1) * f * (f - 2)) / 2;
  const a3 = ((f + 1) * f * (f - 1)) / 6;
  const row = depths.length;
  const k = (i - 1) * row;
  for (let d = 0; d < count; d++) {
    out[d] =
      a0 * factor[k + d] + a1 * factor[k + row + d] + a2 * factor[k + 2 * row + d] + a3 * factor[k + 3 * row + d];
  }
}
