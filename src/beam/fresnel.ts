// Shares of power that pass a smooth surface between two clear media: Fresnel's formulas (Born & Wolf, Principles of
// Optics, section 1.5.3; Hecht, Optics, chapter 4), for a linearly polarised ray. Unpolarised light is the mean of two
// rays polarised at right angles, and is computed as such.
import { addScaled, cross, dot, normalise, set } from '../geometry/vector.ts';
import { refract } from './refraction.ts';

/**
 * Reflected shares at the angle of incidence with cosine `cosine` from index `from` into index `into`: out[0] for the
 * field across the plane of incidence (s), out[1] for the field in it (p); both 1 on total reflection.
 */
export function reflectance(cosine: number, from: number, into: number, out: Float64Array): void {
  const ratio = from / into;
  const square = 1 - ratio * ratio * (1 - cosine * cosine);
  if (square <= 0) {
    out[0] = 1;
    out[1] = 1;
    return;
  }
  const refracted = Math.sqrt(square);
  const s = (from * cosine - into * refracted) / (from * cosine + into * refracted);
  const p = (into * cosine - from * refracted) / (into * cosine + from * refracted);
  out[0] = s * s;
  out[1] = p * p;
}

/** Reflected share at normal incidence between the two indices. */
export function normalReflectance(from: number, into: number): number {
  const r = (from - into) / (from + into);
  return r * r;
}

/** A ray with its polarisation on its way through surfaces. */
export interface PolarisedRay {
  /** Unit direction, 3. */
  readonly direction: Float64Array;
  /** Unit field, across the direction, 3. */
  readonly field: Float64Array;
  /** Room to work in, 12. */
  readonly work: Float64Array;
}

export function createPolarisedRay(): PolarisedRay {
  return { direction: new Float64Array(3), field: new Float64Array(3), work: new Float64Array(12) };
}

/**
 * Takes the ray through a surface with unit normal n[j..j+2] from index `from` into index `into`: its direction and field
 * become those behind the surface. Returns the share of power that passes; 0 on total reflection, with NaN in the ray.
 */
export function passSurface(ray: PolarisedRay, n: Float64Array, j: number, from: number, into: number): number {
  const { direction, field, work } = ray;
  const cosine = Math.min(1, Math.abs(dot(direction, 0, n, j)));
  reflectance(cosine, from, into, work);
  const passedS = 1 - work[0];
  const passedP = 1 - work[1];
  const across = 3;
  const within = 6;
  cross(direction, 0, n, j, work, across);
  // Below 1e-9 rad there is no plane of incidence to speak of, and both shares are equal to 1e-18.
  if (!(normalise(work, across) > 1e-9)) {
    if (!refract(direction, 0, n, j, from, into, direction, 0)) return 0;
    addScaled(field, 0, -dot(field, 0, direction, 0), direction, 0, field, 0);
    normalise(field, 0);
    return passedS;
  }
  cross(direction, 0, work, across, work, within);
  const s = dot(field, 0, work, across);
  const p = dot(field, 0, work, within);
  if (!refract(direction, 0, n, j, from, into, direction, 0)) return 0;
  cross(direction, 0, work, across, work, within);
  const fieldS = s * Math.sqrt(passedS);
  const fieldP = p * Math.sqrt(passedP);
  set(field, 0, fieldS * work[across], fieldS * work[across + 1], fieldS * work[across + 2]);
  addScaled(field, 0, fieldP, work, within, field, 0);
  normalise(field, 0);
  return passedS * s * s + passedP * p * p;
}
