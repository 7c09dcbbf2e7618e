// Where the tool frame stands at every row, in the arm's base frame, and the flange that carries it there.
import { multiply, rotate, toMatrix } from '../geometry/quaternion.ts';
import { type Rigid, rigidFromAngles, rigidQuaternion } from '../geometry/rigid.ts';
import { cos, sin } from '../geometry/elementary.ts';
import type { Aim } from '../model/aim.ts';
import type { Head } from '../model/head.ts';
import type { Job } from '../model/job.ts';
import type { Path } from '../model/path.ts';

/** Poses of the tool frame over the rows of a path, in the arm's base frame. */
export interface ToolPath {
  /** Number of rows, m. */
  readonly count: number;
  /** Arc length driven, m, mm, strictly increasing. */
  readonly s: Float64Array;
  /** Tool centre point, 3 x m, mm. */
  readonly position: Float64Array;
  /** Tool frame as a unit quaternion w x y z, 4 x m, z along the beam, continuous in sign. */
  readonly frame: Float64Array;
  /** 1 at a row where the path breaks (a corner): derivatives do not reach across it; m. */
  readonly breaks: Uint8Array;
  /** On a closed seam driven all round, the rows over its start and over its end, one round later; else null. */
  readonly round: { readonly from: number; readonly to: number } | null;
}

/** The tool frames of a path's rows, with the part where the job places it. */
export function toolPath(path: Path, aim: Aim, placement: Job['placement']): ToolPath {
  const { rows } = path;
  const m = rows.count;
  const place = rigidFromAngles(placement.position, placement.rotation);
  const turn = rigidQuaternion(place);
  const position = new Float64Array(3 * m);
  const frame = new Float64Array(4 * m);
  const breaks = new Uint8Array(m);
  for (let i = 0; i < m; i++) {
    const station = rows.station[i];
    rotate(turn, 0, aim.tcp, 3 * station, position, 3 * i);
    for (let c = 0; c < 3; c++) position[3 * i + c] += place.translation[c];
    multiply(turn, 0, aim.frame, 4 * station, frame, 4 * i);
    if (i > 0) keepSign(frame, 4 * i);
    breaks[i] = path.corner[station] > 0 ? 1 : 0;
  }
  return { count: m, s: rows.s, position, frame, breaks, round: path.closed ? roundOf(path) : null };
}

/** The same path with the part moved: x' = R x + p. */
export function moveToolPath(path: ToolPath, motion: Rigid): ToolPath {
  const turn = rigidQuaternion(motion);
  const position = new Float64Array(path.position.length);
  const frame = new Float64Array(path.frame.length);
  for (let i = 0; i < path.count; i++) {
    rotate(turn, 0, path.position, 3 * i, position, 3 * i);
    for (let c = 0; c < 3; c++) position[3 * i + c] += motion.translation[c];
    multiply(turn, 0, path.frame, 4 * i, frame, 4 * i);
  }
  return { ...path, position, frame };
}

/** Flips q[k..k+3] where it lies on the other half of the sphere than the quaternion before it. */
export function keepSign(q: Float64Array, k: number): void {
  const d = q[k] * q[k - 4] + q[k + 1] * q[k - 3] + q[k + 2] * q[k - 2] + q[k + 3] * q[k - 1];
  if (d < 0) for (let c = k; c < k + 4; c++) q[c] = -q[c];
}

/** First pair of rows that stand on the same station one length apart, the first of them on the seam. */
function roundOf(path: Path): ToolPath['round'] {
  const { s, station, count } = path.rows;
  const tolerance = 1e-6 * path.length;
  let from = 0;
  while (from < count && s[from] < -tolerance) from++;
  for (let to = from + 1; to < count; to++) {
    if (station[to] === station[from] && Math.abs(s[to] - s[from] - path.length) < tolerance) return { from, to };
  }
  return null;
}

/** The tool centre point in the flange frame: the head point, and the standoff (mm) along its z. */
export function flangeToTool(head: Pick<Head, 'flangeToHead'>, standoff: number): Rigid {
  const { rotation, translation } = rigidFromAngles(head.flangeToHead.position, head.flangeToHead.rotation);
  const tip = [0, 1, 2].map((r) => translation[r] + standoff * rotation[3 * r + 2]);
  return { rotation, translation: Float64Array.from(tip) };
}

/**
 * Writes the flange's pose (12 numbers) to out[k..] for the tool at position p[i..i+2], quaternion q[j..j+3], turned by
 * `turn` (rad) about its own z axis; `toolToFlange` is the inverse of `flangeToTool`.
 */
export function flangePose(
  p: Float64Array,
  i: number,
  q: Float64Array,
  j: number,
  turn: number,
  toolToFlange: Rigid,
  out: Float64Array,
  k: number,
): void {
  toMatrix(q, j, out, k);
  const c = cos(turn);
  const s = sin(turn);
  const f = toolToFlange.rotation;
  const t = toolToFlange.translation;
  for (let r = 0; r < 3; r++) {
    const o = k + 3 * r;
    const x = c * out[o] + s * out[o + 1];
    const y = c * out[o + 1] - s * out[o];
    const z = out[o + 2];
    out[o] = x * f[0] + y * f[3] + z * f[6];
    out[o + 1] = x * f[1] + y * f[4] + z * f[7];
    out[o + 2] = x * f[2] + y * f[5] + z * f[8];
    out[k + 9 + r] = x * t[0] + y * t[1] + z * t[2] + p[i + r];
  }
}
