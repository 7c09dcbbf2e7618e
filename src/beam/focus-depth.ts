// Where the focus must lie in air for the real one to land on the joint: marginal rays of the cone through the surfaces that
// the middle ray passes, each taken as the plane that touches it there.
//
// Planes, because their answer is as smooth along the seam as normal and thickness are. The curvature of a surface moves the
// focus too (2 mm under a dome of 12 mm radius: 0.08 mm, against Rayleigh lengths of 20 mm and more), but it jumps where
// faces of a model meet, and the head would have to jump with it.
import { addScaled, copy, dot, normalise, subtract } from '../geometry/vector.ts';
import type { LightPath } from './light-path.ts';
import { refract } from './refraction.ts';

/**
 * Distance, mm, along the light in air from the point where it enters the outermost surface to the focus that would form
 * without the part, when the real focus lies on `joint` (3, mm): the mean over four marginal rays that lean by the tangent
 * `slope` to either side along two unit vectors across the light and each other, axes[0..2] and axes[3..5]. At normal incidence on a flat plate of thickness d this is
 * d cos a / sqrt(n^2 - sin^2 a), d the thickness and tan a the slope. 0 without a surface; NaN where a marginal ray is
 * totally reflected. `work` holds 3 x (MOST_SURFACES + 3).
 */
export function focusDepth(
  path: LightPath,
  joint: Float64Array,
  slope: number,
  axes: Float64Array,
  work: Float64Array,
): number {
  if (path.surfaces === 0) return 0;
  let sum = 0;
  for (let axis = 0; axis < 6; axis += 3) {
    sum += marginalDepth(path, joint, axes, axis, slope, work) + marginalDepth(path, joint, axes, axis, -slope, work);
  }
  return sum / 4;
}

/** The same for one ray, leaning by `slope` towards axes[axis..axis+2]. */
function marginalDepth(
  path: LightPath,
  joint: Float64Array,
  axes: Float64Array,
  axis: number,
  slope: number,
  work: Float64Array,
): number {
  const { surfaces, point, normal, index } = path;
  const top = 3 * surfaces;
  const place = top + 3;
  const apart = top + 6;
  addScaled(path.light, top, slope, axes, axis, work, top);
  normalise(work, top);
  for (let k = surfaces - 1; k >= 0; k--) {
    if (!refract(work, 3 * k + 3, normal, 3 * k, index[k + 1], index[k], work, 3 * k)) return Number.NaN;
  }
  copy(joint, 0, work, place);
  for (let k = 0; k < surfaces; k++) {
    const rise = dot(point, 3 * k, normal, 3 * k) - dot(work, place, normal, 3 * k);
    addScaled(work, place, rise / dot(work, 3 * k, normal, 3 * k), work, 3 * k, work, place);
  }
  // Beside the middle ray by `beside`, and closing in by `slope` per length along it.
  subtract(work, place, point, top - 3, work, apart);
  const beside = dot(work, apart, axes, axis);
  return dot(work, apart, path.light, top) - beside / slope;
}
