// An axonometric (parallel) view of the part: seen from above the joint, scaled to fit a box of the picture.
import { cos, sin } from '../../geometry/elementary.ts';
import { addScaled, cross, dot, normalise, orthonormalise } from '../../geometry/vector.ts';
import { RAD_PER_DEG } from '../../model/units.ts';
import type { Box } from './label.ts';

/** How far the eye stands above the mean plane of the joint, and how far round it. */
const ELEVATION = 38 * RAD_PER_DEG;
const AZIMUTH = -62 * RAD_PER_DEG;

export interface View {
  /** Unit vectors in the part frame: to the right, up the picture, to the eye. */
  readonly right: Float64Array;
  readonly up: Float64Array;
  readonly eye: Float64Array;
  /** px per mm in the plane of the picture. */
  readonly scale: number;
  /** Where the part's origin falls, px. */
  readonly x: number;
  readonly y: number;
}

/** Looks at a joint whose mean normal is `normal` (unit, part frame), such that all points (3 x n each, mm) fit into the box. */
export function createView(normal: Float64Array, clouds: readonly Float64Array[], box: Box): View {
  const axis = Math.abs(normal[0]) < 0.9 ? Float64Array.of(1, 0, 0) : Float64Array.of(0, 1, 0);
  orthonormalise(axis, 0, normal, 0);
  const side = new Float64Array(3);
  cross(normal, 0, axis, 0, side, 0);
  const eye = normal.map((x) => x * sin(ELEVATION));
  addScaled(eye, 0, cos(ELEVATION) * cos(AZIMUTH), axis, 0, eye, 0);
  addScaled(eye, 0, cos(ELEVATION) * sin(AZIMUTH), side, 0, eye, 0);
  normalise(eye, 0);
  const right = new Float64Array(3);
  cross(normal, 0, eye, 0, right, 0);
  normalise(right, 0);
  const up = new Float64Array(3);
  cross(eye, 0, right, 0, up, 0);
  return fitted({ right, up, eye, scale: 1, x: 0, y: 0 }, clouds, box);
}

function fitted(view: View, clouds: readonly Float64Array[], box: Box): View {
  let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const cloud of clouds) {
    const p = projected(view, cloud);
    for (let k = 0; k < p.length; k += 3) {
      if (Number.isNaN(p[k] + p[k + 1])) continue;
      left = Math.min(left, p[k]);
      right = Math.max(right, p[k]);
      top = Math.min(top, p[k + 1]);
      bottom = Math.max(bottom, p[k + 1]);
    }
  }
  const scale = Math.min(box.width / Math.max(right - left, 1e-6), box.height / Math.max(bottom - top, 1e-6));
  return {
    ...view,
    scale,
    x: box.x + box.width / 2 - (scale * (left + right)) / 2,
    y: box.y + box.height / 2 - (scale * (top + bottom)) / 2,
  };
}

/** Points (3 x n, mm) in the picture: x and y in px, then the distance towards the eye in mm. */
export function projected(view: View, points: Float64Array): Float64Array {
  const out = new Float64Array(points.length);
  for (let k = 0; k < points.length; k += 3) {
    out[k] = view.x + view.scale * dot(points, k, view.right, 0);
    out[k + 1] = view.y - view.scale * dot(points, k, view.up, 0);
    out[k + 2] = dot(points, k, view.eye, 0);
  }
  return out;
}
