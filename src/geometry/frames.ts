// Rotation-minimising frames along sampled curves by double reflection (Wang, Juettler, Zheng & Liu 2008, ACM TOG 27(1),
// "Computation of rotation minimizing frames"): fourth-order accurate, no derivative beyond the tangent.
import { atan2, cos, sin } from './elementary.ts';
import { addScaled, copy, cross, dot, orthonormalise, scale, subtract } from './vector.ts';

/**
 * Carries a normal along n points: position and unit tangent are 3 x n, `first` any vector not along the first tangent.
 * Returns the unit reference vectors r, 3 x n, each orthogonal to its tangent; t x r completes the frame.
 */
export function rotationMinimisingFrames(
  position: Float64Array,
  tangent: Float64Array,
  first: Float64Array,
): Float64Array {
  const r = new Float64Array(position.length);
  copy(first, 0, r, 0);
  if (!(orthonormalise(r, 0, tangent, 0) > 0)) throw new Error('the first reference vector lies along the tangent');
  const work = new Float64Array(9);
  for (let k = 3; k < r.length; k += 3) carry(position, tangent, k - 3, k, r, r, k, work);
  return r;
}

/**
 * As above round a closed curve (the first point is not repeated). The angle by which the frame misses itself after one
 * round is taken back evenly over arc length: `s` are the points' arc lengths, n, in [0, length).
 */
export function closedFrames(
  position: Float64Array,
  tangent: Float64Array,
  first: Float64Array,
  s: Float64Array,
  length: number,
): Float64Array {
  const r = rotationMinimisingFrames(position, tangent, first);
  const angle = closingAngle(position, tangent, r);
  const side = new Float64Array(3);
  for (let i = 0; i < s.length; i++) {
    const turn = (-angle * (s[i] - s[0])) / length;
    cross(tangent, 3 * i, r, 3 * i, side, 0);
    scale(r, 3 * i, cos(turn));
    addScaled(r, 3 * i, sin(turn), side, 0, r, 3 * i);
  }
  return r;
}

/**
 * Angle (rad, about the first tangent, -pi .. pi) from the first reference vector to what it has become after one round
 * of a closed curve whose first point is not repeated; frames as from `rotationMinimisingFrames`.
 */
export function closingAngle(position: Float64Array, tangent: Float64Array, frames: Float64Array): number {
  const last = frames.length - 3;
  const back = new Float64Array(3);
  carry(position, tangent, last, 0, frames, back, 0, new Float64Array(9));
  return turnAbout(tangent, 0, frames, 0, back, 0);
}

/** Angle (rad, -pi .. pi) about the unit vector t that takes a to b, both orthogonal to t. */
export function turnAbout(
  t: Float64Array,
  it: number,
  a: Float64Array,
  ia: number,
  b: Float64Array,
  ib: number,
): number {
  const side = new Float64Array(3);
  cross(t, it, a, ia, side, 0);
  return atan2(dot(side, 0, b, ib), dot(a, ia, b, ib));
}

/**
 * One step, from the point at `from` to the one at `to` (offsets): reflect in the plane between the two points, then in
 * the one that takes the carried tangent to the true one. Writes the carried vector to out[k..k+2]; `work` holds 9 numbers.
 */
function carry(
  position: Float64Array,
  tangent: Float64Array,
  from: number,
  to: number,
  frames: Float64Array,
  out: Float64Array,
  k: number,
  work: Float64Array,
): void {
  subtract(position, to, position, from, work, 0);
  const chord = dot(work, 0, work, 0);
  addScaled(tangent, from, (-2 * dot(work, 0, tangent, from)) / chord, work, 0, work, 3);
  addScaled(frames, from, (-2 * dot(work, 0, frames, from)) / chord, work, 0, out, k);
  subtract(tangent, to, work, 3, work, 6);
  addScaled(out, k, (-2 * dot(work, 6, out, k)) / dot(work, 6, work, 6), work, 6, out, k);
  // Rounding leaves 1e-16 a step along the tangent; taken out, it cannot add up.
  orthonormalise(out, k, tangent, to);
}
