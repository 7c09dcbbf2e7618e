// Walks straight ahead on a surface: the geodesic that leaves a point in a given direction, in midpoint steps that are
// projected back onto the surface. Directions are carried along by the smallest turn from normal to normal (parallel
// transport, do Carmo 1976, sec. 4-4); the way made is the arc of the circle through a step's chord and tangent.
import type { Surface } from '../geometry/surface.ts';
import { addScaled, copy, dot, orthonormalise } from '../geometry/vector.ts';

/** Longest step, mm. */
const STEP = 0.25;

/** What is left of the way when the walk has arrived, mm. */
const ARRIVED = 1e-8;

/** A step shorter than this, mm, is as long as its chord. */
const STRAIGHT = 1e-3;

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
  const most = 4 + (4 * Math.abs(length)) / STEP;
  let left = length;
  for (let i = 0; i < most && Math.abs(left) > ARRIVED; i++) {
    const h = Math.max(-STEP, Math.min(STEP, left));
    addScaled(walker, 0, h / 2, walker, 3, step, 0);
    if (!surface.project(step[0], step[1], step[2], foot)) return false;
    transport(walker, foot, step);
    addScaled(walker, 0, h, step, 0, step, 0);
    if (!surface.project(step[0], step[1], step[2], foot)) return false;
    left -= h * arcOverStep(walker, foot, h);
    transport(walker, foot, step);
    copy(foot, 0, walker, 0);
    copy(foot, 3, walker, 6);
    copy(step, 0, walker, 3);
    orthonormalise(walker, 3, walker, 6);
  }
  return Math.abs(left) <= ARRIVED;
}

/** The walker's direction turned with the normal into the tangent plane at `foot` (point, normal), to out[0..2]. */
function transport(walker: Walker, foot: Float64Array, out: Float64Array): void {
  const f = -dot(walker, 3, foot, 3) / (1 + dot(walker, 6, foot, 3));
  addScaled(walker, 3, f, walker, 6, out, 0);
  addScaled(out, 0, f, foot, 3, out, 0);
}

/** Length of the arc from the walker to `foot` over the step h that was asked. */
function arcOverStep(walker: Walker, foot: Float64Array, h: number): number {
  // A chord this short is the arc, and a fitted surface's jitter would spoil its direction.
  if (Math.abs(h) < STRAIGHT) return 1;
  const chord = Float64Array.of((foot[0] - walker[0]) / h, (foot[1] - walker[1]) / h, (foot[2] - walker[2]) / h);
  const square = dot(chord, 0, chord, 0);
  // Cosine of the angle between tangent and chord, half the arc's angle; arc / chord = angle / sine.
  const along = dot(walker, 3, chord, 0);
  const sine2 = Math.max(0, 1 - (along * along) / square);
  return Math.sqrt(square) * (1 + sine2 / 6 + (3 / 40) * sine2 * sine2);
}
