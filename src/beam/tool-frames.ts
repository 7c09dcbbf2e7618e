// Tool frames along the seam: z is the beam axis, x starts as near as possible to the direction of travel and is then carried
// with the least turn about the beam, so that the head's cable winds as little as the axis lets it.
//
// Carrying is parallel transport of x over the sphere of directions, by the least turn from each axis to the next; its error in
// one round is second order in the spacing, and on a closed seam goes into the closing angle, which is spread evenly over arc
// length: the frame closes exactly.
import { cos, sin } from '../geometry/elementary.ts';
import { turnAbout } from '../geometry/frames.ts';
import { alignSigns, fromMatrix } from '../geometry/quaternion.ts';
import { addScaled, copy, cross, dot, orthonormalise, scale } from '../geometry/vector.ts';
import type { Path } from '../model/path.ts';

/**
 * Unit quaternions w x y z (4 x n) of the tool frames for the beam axes `axis` (3 x n, unit). `turn` (rad) turns all of them about
 * the beam, from travel at the first station on the seam. Stations off the seam take the frame of the end next to them.
 */
export function toolFrames(path: Path, axis: Float64Array, turn: number): Float64Array {
  const { count, closed, s, length, onSeam } = path;
  const first = Math.max(0, onSeam.indexOf(1));
  const last = Math.max(first, onSeam.lastIndexOf(1));
  const x = new Float64Array(3 * count);
  travelAcross(path, axis, first, x);
  for (let i = first + 1; i <= last; i++) carry(axis, 3 * (i - 1), 3 * i, x, 3 * (i - 1), x, 3 * i);

  let closing = 0;
  if (closed) {
    const round = new Float64Array(3);
    carry(axis, 3 * last, 3 * first, x, 3 * last, round, 0);
    closing = turnAbout(axis, 3 * first, x, 3 * first, round, 0);
  }
  const y = new Float64Array(3);
  const matrix = new Float64Array(9);
  const frame = new Float64Array(4 * count);
  for (let i = first; i <= last; i++) {
    turnVector(x, 3 * i, axis, 3 * i, turn - (closing * (s[i] - s[first])) / length, y);
  }
  for (let i = 0; i < count; i++) {
    const k = 3 * Math.min(Math.max(i, first), last);
    cross(axis, k, x, k, y, 0);
    for (let c = 0; c < 3; c++) {
      matrix[3 * c] = x[k + c];
      matrix[3 * c + 1] = y[c];
      matrix[3 * c + 2] = axis[k + c];
    }
    fromMatrix(matrix, 0, frame, 4 * i);
  }
  alignSigns(frame, count);
  return frame;
}

/** Direction of travel at station i without its part along the beam; where travel goes along the beam, b instead. */
function travelAcross(path: Path, axis: Float64Array, i: number, x: Float64Array): void {
  copy(path.tangent, 3 * i, x, 3 * i);
  if (orthonormalise(x, 3 * i, axis, 3 * i) > 1e-6) return;
  cross(path.normal, 3 * i, path.tangent, 3 * i, x, 3 * i);
  orthonormalise(x, 3 * i, axis, 3 * i);
}

/** The vector v[i..i+2] across the axis at `from`, after the least turn that takes this axis to the one at `to`, to out[k..k+2]. */
function carry(
  axis: Float64Array,
  from: number,
  to: number,
  v: Float64Array,
  i: number,
  out: Float64Array,
  k: number,
): void {
  // Least turn from a to c, of a vector v across a: v - (v.c)/(1 + a.c) (a + c).
  const f = -dot(v, i, axis, to) / (1 + dot(axis, from, axis, to));
  addScaled(v, i, f, axis, from, out, k);
  addScaled(out, k, f, axis, to, out, k);
  orthonormalise(out, k, axis, to);
}

/** Turns the vector v[i..i+2] across the unit axis by an angle about it, in place. */
function turnVector(
  v: Float64Array,
  i: number,
  axis: Float64Array,
  j: number,
  angle: number,
  side: Float64Array,
): void {
  if (angle === 0) return;
  cross(axis, j, v, i, side, 0);
  scale(v, i, cos(angle));
  addScaled(v, i, sin(angle), side, 0, v, i);
}
