// How the head moves while the spot travels along the seam: derivatives of the head point and of the tool frame by arc
// length, from the poses as aimed, by differences that stop at corners and at the ends of the seam.
import { differentiate } from '../geometry/differences.ts';
import { toMatrix } from '../geometry/quaternion.ts';
import { copy, dot } from '../geometry/vector.ts';
import type { Path } from '../model/path.ts';

export interface HeadPath {
  /** First and second derivative of the head point, 3 x n each, mm/mm and 1/mm. */
  readonly headD1: Float64Array;
  readonly headD2: Float64Array;
  /** Rotation vector of the tool frame per arc length and its derivative, 3 x n each, rad/mm and rad/mm2. */
  readonly turnD1: Float64Array;
  readonly turnD2: Float64Array;
  /** headD1 along the tangent, n. */
  readonly headFactor: Float64Array;
}

/**
 * From head points (3 x n, mm) and tool frames (4 x n). Off the seam the head follows the straight extension without turning.
 * With the frame's axes e as columns, the rotation vector per length is half the sum of e x e', its derivative half the sum of
 * e x e'': no sign of a quaternion to mind.
 */
export function headPath(path: Path, head: Float64Array, frame: Float64Array): HeadPath {
  const { count, s, closed, length, onSeam, tangent } = path;
  const rows = new Float64Array(9 * count);
  for (let i = 0; i < count; i++) toMatrix(frame, 4 * i, rows, 9 * i);
  const layout = { s, period: closed ? length : 0, begins: beginnings(path) };
  const headD = differentiate(layout, head, 3, 5);
  const frameD = differentiate(layout, rows, 9, 5);
  const turnD1 = new Float64Array(3 * count);
  const turnD2 = new Float64Array(3 * count);
  const headFactor = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const k = 3 * i;
    if (onSeam[i]) {
      spin(rows, frameD.first, 9 * i, turnD1, k);
      spin(rows, frameD.second, 9 * i, turnD2, k);
    } else {
      copy(tangent, k, headD.first, k);
      headD.second.fill(0, k, k + 3);
    }
    headFactor[i] = dot(headD.first, k, tangent, k);
  }
  return { headD1: headD.first, headD2: headD.second, turnD1, turnD2, headFactor };
}

/** 1 at corners and where the seam meets its extensions. */
function beginnings({ count, corner, onSeam }: Path): Uint8Array {
  const begins = new Uint8Array(count);
  for (let i = 0; i < count; i++) {
    if (corner[i] > 0 || (i > 0 && onSeam[i] !== onSeam[i - 1])) begins[i] = 1;
  }
  return begins;
}

/** Half the sum over the three columns of column x derivative, for matrices row by row at k, to out[j..j+2]. */
function spin(rows: Float64Array, derivative: Float64Array, k: number, out: Float64Array, j: number): void {
  for (let c = 0; c < 3; c++) {
    const up = k + 3 * ((c + 1) % 3);
    const down = k + 3 * ((c + 2) % 3);
    let sum = 0;
    for (let column = 0; column < 3; column++) {
      sum += rows[up + column] * derivative[down + column] - rows[down + column] * derivative[up + column];
    }
    out[j + c] = sum / 2;
  }
}
