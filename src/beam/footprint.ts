// Size of the spot on the joint face: a round beam cut obliquely by every surface on its way. Refraction at parallel faces
// keeps the footprint, which then is w / cos(incidence in air), not in the layer.
import { addScaled, copy, dot, length } from '../geometry/vector.ts';
import type { LightPath } from './light-path.ts';

/**
 * Half extent of the spot on the joint face (unit normal n[j..j+2]) in the direction e[i..i+2] of that face, in beam radii
 * (1 at normal incidence). `work` holds 3.
 *
 * A ray that runs parallel to the middle one, beside it by y in air, lands on the joint beside it by a linear map of y; the
 * extent along e is the length of that map's row for e, carried outwards from the joint surface by surface.
 */
export function footprintFactor(
  path: LightPath,
  e: Float64Array,
  i: number,
  n: Float64Array,
  j: number,
  work: Float64Array,
): number {
  const { light, normal, surfaces } = path;
  copy(e, i, work, 0);
  addScaled(work, 0, -dot(light, 0, work, 0) / dot(light, 0, n, j), n, j, work, 0);
  for (let k = 0; k < surfaces; k++) {
    const above = 3 * k + 3;
    const f = -dot(light, above, work, 0) / dot(light, above, normal, 3 * k);
    addScaled(work, 0, f, normal, 3 * k, work, 0);
  }
  return length(work, 0);
}
