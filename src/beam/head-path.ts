// How the head moves while the spot travels along the seam: derivatives of the head point and of the tool frame by arc
// length, from the poses as aimed, by differences that stop at corners and at the ends of the seam.
import { type Derivatives, differentiate, type Layout } from '../geometry/differences.ts';
import { findJumps } from '../geometry/jumps.ts';
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
  const { begins, lone } = beginnings(path);
  const layout = { s, period: closed ? length : 0, begins };
  const headD = differentiate(layout, head, 3, 5);
  const frameD = differentiate(layout, rows, 9, 5);
  for (const i of lone) {
    bridge(headD, 3, i, layout);
    bridge(frameD, 9, i, layout);
  }
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

/** Fewest stations between two stops of the stencils, so that both sides of a jump have a second derivative of their own. */
const FEWEST = 5;

/**
 * Where stencils stop: at corners, where the seam meets its extensions, and where its curvature jumps, as the head's
 * acceleration does there. `lone` are stations that happen to stand in a jump, with a stop on either side.
 */
function beginnings(path: Path): { begins: Uint8Array; lone: readonly number[] } {
  const { count, corner, onSeam, s, closed, length, normalCurvature, geodesicCurvature } = path;
  const begins = new Uint8Array(count);
  for (let i = 0; i < count; i++) {
    if (corner[i] > 0 || (i > 0 && onSeam[i] !== onSeam[i - 1])) begins[i] = 1;
  }
  const bend = new Float64Array(2 * count);
  for (let i = 0; i < count; i++) {
    bend[2 * i] = normalCurvature[i];
    bend[2 * i + 1] = geodesicCurvature[i];
  }
  const jumps = findJumps({ s, period: closed ? length : 0 }, bend, 2);
  const lone: number[] = [];
  for (let i = 0; i < count; i++) {
    if (!jumps[i] || anyWithin(begins, i, closed)) continue;
    const next = (i + 1) % count;
    begins[i] = 1;
    if (!jumps[next] || (!closed && next === 0)) continue;
    begins[next] = 1;
    lone.push(i);
  }
  return { begins, lone };
}

/** Derivatives at a lone station i: halfway between what its neighbours' go on to from either side. */
function bridge({ first, second }: Derivatives, width: number, i: number, { s, period }: Layout): void {
  const n = s.length;
  const [before, after] = [(i + n - 1) % n, (i + 1) % n];
  const there = s[i] - s[before] + (i === 0 ? period : 0);
  const back = s[after] - s[i] + (after === 0 ? period : 0);
  for (let k = 0; k < width; k++) {
    const [a, b] = [width * before + k, width * after + k];
    first[width * i + k] = (first[a] + there * second[a] + first[b] - back * second[b]) / 2;
    second[width * i + k] = (second[a] + second[b]) / 2;
  }
}

/** Whether a stop stands fewer than `FEWEST` stations from station i. */
function anyWithin(begins: Uint8Array, i: number, closed: boolean): boolean {
  const n = begins.length;
  for (let k = 1 - FEWEST; k < FEWEST; k++) {
    const j = closed ? (((i + k) % n) + n) % n : i + k;
    if (begins[j] === 1) return true;
  }
  return false;
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
