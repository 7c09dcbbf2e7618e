// Walks straight ahead on a surface: the geodesic that leaves a point in a given direction, in midpoint steps that are
// projected back onto the surface. The way made is measured as the arc of the circle through a step's chord and tangent.
import type { Surface } from '../geometry/surface.ts';
import { addScaled, copy, cross, dot, orthonormalise } from '../geometry/vector.ts';

/** Longest step, mm. */
const STEP = 0.25;

/** What is left of the way when the walk has arrived, mm. */
const ARRIVED = 1e-10;

/** Where a walker stands: point, direction (unit, tangential) and outward normal, nine numbers. */
export type Walker = Float64Array;

/** A walker on the surface's point closest to `point`, headed along what `direction` has in the tangent plane; null off the surface. */
export function startWalk(surface: Surface, point: Float64Array, direction: Float64Array): Walker | null {
  const walker = new Float64Array(9);
  const foot = new Float64Array(6);
  if (!surface.project(point[0], point[1], point[2], foot)) return null;
  copy(foot, 0, walker, 0);
  copy(foot, 3, walker, 6);
  copy(direction, 0, walker, 3);
  orthonormalise(walker, 3, walker, 6);
  return walker;
}

/** Moves the walker `length` mm ahead (backward when negative) in place; false where it leaves the surface's extent. */
export function walk(surface: Surface, walker: Walker, length: number): boolean {
  const foot = new Float64Array(6);
  const step = new Float64Array(3);
  const bend = new Float64Array(3);
  const most = 4 + (4 * Math.abs(length)) / STEP;
  let left = length;
  for (let i = 0; i < most && Math.abs(left) > ARRIVED; i++) {
    const h = Math.max(-STEP, Math.min(STEP, left));
    addScaled(walker, 0, h / 2, walker, 3, step, 0);
    if (!surface.project(step[0], step[1], step[2], foot)) return false;
    copy(walker, 3, step, 0);
    orthonormalise(step, 0, foot, 3);
    addScaled(walker, 0, h, step, 0, step, 0);
    if (!surface.project(step[0], step[1], step[2], foot)) return false;
    for (let c = 0; c < 3; c++) step[c] = (foot[c] - walker[c]) / h;
    const chord = Math.sqrt(dot(step, 0, step, 0));
    // Sine of the angle between tangent and chord, half the arc's: arc / chord = angle / sine.
    cross(walker, 3, step, 0, bend, 0);
    const sine2 = dot(bend, 0, bend, 0) / (chord * chord);
    left -= h * chord * (1 + sine2 / 6 + (3 / 40) * sine2 * sine2);
    copy(foot, 0, walker, 0);
    copy(foot, 3, walker, 6);
    // The chord laid into the tangent plane at the step's end is the direction there: exact on a circle.
    copy(step, 0, walker, 3);
    orthonormalise(walker, 3, walker, 6);
  }
  return Math.abs(left) <= ARRIVED;
}
