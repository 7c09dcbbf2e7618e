// Refraction of a ray at a surface: Snell's law in its vector form (Born & Wolf, Principles of Optics, section 1.5).
import { dot, set } from '../geometry/vector.ts';

/**
 * Direction of the unit ray d[i..i+2] behind a surface with unit normal n[j..j+2] (of either sense) that it crosses from
 * index `from` into index `into`; unit, to out[k..k+2], which may be d itself. Returns false, and writes NaN, on total
 * reflection.
 */
export function refract(
  d: Float64Array,
  i: number,
  n: Float64Array,
  j: number,
  from: number,
  into: number,
  out: Float64Array,
  k: number,
): boolean {
  const along = dot(d, i, n, j);
  const ratio = from / into;
  const square = 1 - ratio * ratio * (1 - along * along);
  if (!(square >= 0)) {
    set(out, k, Number.NaN, Number.NaN, Number.NaN);
    return false;
  }
  const normal = (along < 0 ? -1 : 1) * Math.sqrt(square) - ratio * along;
  set(out, k, ratio * d[i] + normal * n[j], ratio * d[i + 1] + normal * n[j + 1], ratio * d[i + 2] + normal * n[j + 2]);
  return true;
}
