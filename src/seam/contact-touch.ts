// Whether two bodies touch at a place: a ray along the joint normal meets the other body's face, turned towards it, within
// the tolerance. Both distances are those of true surfaces; facets only say where the other face ends.
import type { BodyQuery } from '../geometry/body-query.ts';
import { createCrossings } from '../geometry/mesh-body-query.ts';
import type { Surface } from '../geometry/surface.ts';
import { addScaled, dot } from '../geometry/vector.ts';

/** Faces in contact look at each other: cosine of the largest angle that the other normal may lean away. */
const FACING = 0.8;

/** Whether the other body is within reach of the place next to (x, y, z) on the face, mm. */
export type Touches = (face: number, x: number, y: number, z: number) => boolean;

export function createTouches(surfaceOf: (face: number) => Surface, other: BodyQuery, tolerance: number): Touches {
  const foot = new Float64Array(6);
  const start = new Float64Array(3);
  const normal = new Float64Array(3);
  const crossings = createCrossings();
  const near = new Float64Array(6);
  return (face, x, y, z) => {
    if (!surfaceOf(face).project(x, y, z, foot)) return false;
    normal.set(foot.subarray(3, 6));
    addScaled(foot, 0, -tolerance, normal, 0, start, 0);
    if (other.cast(start, normal, 0, 2 * tolerance, crossings)) {
      for (let i = 0; i < crossings.count; i++) {
        if (crossings.side[i] === 1 && dot(crossings.normal, 3 * i, normal, 0) <= -FACING) return true;
      }
      return false;
    }
    // A ray that runs into an edge again and again says nothing; the closest place does.
    return other.closest(foot[0], foot[1], foot[2], tolerance, near) >= 0 && dot(near, 3, normal, 0) <= -FACING;
  };
}
