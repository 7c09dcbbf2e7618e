// The joints' path over arc length as C2 cubics through the rows, with knots put between the rows where the tool would
// stray from its own path: tested at the middle of every span against the posture that belongs there.
import type { Rigid } from '../geometry/rigid.ts';
import type { KnotsBetween } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { forward, poseError } from './chain-kinematics.ts';
import { type ChannelSpline, channelSpline, secondAtKnot, valueOnSpan } from './channel-spline.ts';
import type { Run } from './follow-path.ts';
import { follow, type Kinematics } from './kinematics.ts';
import { flangePose, type ToolPath } from './tool-path.ts';

/** One stretch without a break. */
export interface JointPiece {
  readonly run: Run;
  /** Joint angles over arc length driven, n channels, rad. */
  readonly spline: ChannelSpline;
  /** Knot of each row of the run. */
  readonly knotOfRow: Int32Array;
}

export interface JointPath {
  readonly pieces: readonly JointPiece[];
  /** Largest distance and angle at the middle of a span between the tool and its own path, mm and rad. */
  readonly largestDistance: number;
  readonly largestAngle: number;
  /** Knots put between rows. */
  readonly inserted: number;
}

export interface JointPathSettings {
  readonly toolToFlange: Rigid;
  /** Allowed at the middle of a span, mm and rad. */
  readonly distance: number;
  readonly angle: number;
}

/** Rounds of halving: a span is cut into 64 at most. */
const ROUNDS = 6;

/**
 * Joint path through `angle` (n x m, rad) over the runs, cut at the path's breaks. `turn` (m, rad) is the tool's turn about
 * the beam. Between the rows the tool's own path is the C2 spline of its position, quaternion and turn over arc length.
 */
export async function jointPath(
  arm: Kinematics,
  path: ToolPath,
  turn: Float64Array,
  angle: Float64Array,
  runs: readonly Run[],
  settings: JointPathSettings,
  task: Task,
): Promise<JointPath> {
  const pieces: JointPiece[] = [];
  let largestDistance = 0;
  let largestAngle = 0;
  let inserted = 0;
  for (const run of cutAtBreaks(runs, path.breaks)) {
    const piece = await fitPiece(arm, path, turn, angle, run, settings, task);
    pieces.push(piece.piece);
    largestDistance = Math.max(largestDistance, piece.distance);
    largestAngle = Math.max(largestAngle, piece.angle);
    inserted += piece.piece.spline.knot.length - (run.to - run.from + 1);
  }
  return { pieces, largestDistance, largestAngle, inserted };
}

/** Runs that end and begin anew at every break inside them. */
function cutAtBreaks(runs: readonly Run[], breaks: Uint8Array): Run[] {
  const cut: Run[] = [];
  for (const { from, to } of runs) {
    let start = from;
    for (let i = from + 1; i < to; i++) {
      if (breaks[i] === 0) continue;
      cut.push({ from: start, to: i });
      start = i;
    }
    cut.push({ from: start, to });
  }
  return cut;
}

/** Tool positions, quaternions and turns over a run as 8 channels. */
function poseSpline(path: ToolPath, turn: Float64Array, { from, to }: Run): ChannelSpline {
  const m = to - from + 1;
  const value = new Float64Array(8 * m);
  for (let i = 0; i < m; i++) {
    value.set(path.position.subarray(3 * (from + i), 3 * (from + i) + 3), 8 * i);
    value.set(path.frame.subarray(4 * (from + i), 4 * (from + i) + 4), 8 * i + 3);
    value[8 * i + 7] = turn[from + i];
  }
  return channelSpline(path.s.slice(from, to + 1), value, 8);
}

async function fitPiece(
  arm: Kinematics,
  path: ToolPath,
  turn: Float64Array,
  angle: Float64Array,
  run: Run,
  settings: JointPathSettings,
  task: Task,
): Promise<{ piece: JointPiece; distance: number; angle: number }> {
  const n = arm.axes;
  const { from, to } = run;
  const tool = poseSpline(path, turn, run);
  let knot = path.s.slice(from, to + 1);
  let value = angle.slice(n * from, n * (to + 1));
  /** Row's span in which each knot lies. */
  let span = Int32Array.from(knot, (_, i) => Math.min(i, to - from - 1));
  let isRow = new Uint8Array(knot.length).fill(1);
  let spline = channelSpline(knot, value, n);
  const pose = new Float64Array(12);
  const numbers = new Float64Array(8);
  const q = new Float64Array(n);
  const error = new Float64Array(6);
  let distance = 0;
  let turned = 0;
  for (let round = 0; ; round++) {
    const split: number[] = [];
    distance = 0;
    turned = 0;
    for (let k = 0; k + 1 < knot.length; k++) {
      if ((k & 127) === 0) await task.pause('smoothing the joint path', k / knot.length);
      const middle = (knot[k] + knot[k + 1]) / 2;
      toolPoseAt(tool, span[k], middle, settings.toolToFlange, numbers, pose);
      valueOnSpan(spline, k, 0.5, q, 0);
      forward(arm.chain, q, 0, arm.space.frames);
      toolError(arm.space.frames, 12 * n, pose, settings.toolToFlange, error);
      const off = Math.sqrt(error[0] ** 2 + error[1] ** 2 + error[2] ** 2);
      const by = Math.sqrt(error[3] ** 2 + error[4] ** 2 + error[5] ** 2);
      distance = Math.max(distance, off);
      turned = Math.max(turned, by);
      if (off > settings.distance || by > settings.angle) split.push(k);
    }
    if (split.length === 0 || round === ROUNDS) break;
    const grown = knot.length + split.length;
    const nextKnot = new Float64Array(grown);
    const nextValue = new Float64Array(n * grown);
    const nextSpan = new Int32Array(grown);
    const nextIsRow = new Uint8Array(grown);
    for (let k = 0, at = 0, c = 0; k < knot.length; k++, at++) {
      nextKnot[at] = knot[k];
      nextValue.set(value.subarray(n * k, n * k + n), n * at);
      nextSpan[at] = span[k];
      nextIsRow[at] = isRow[k];
      if (split[c] !== k) continue;
      c++;
      at++;
      nextKnot[at] = (knot[k] + knot[k + 1]) / 2;
      nextSpan[at] = span[k];
      toolPoseAt(tool, span[k], nextKnot[at], settings.toolToFlange, numbers, pose);
      valueOnSpan(spline, k, 0.5, q, 0);
      follow(arm, pose, 0, q, 0, Math.PI / 2);
      nextValue.set(q, n * at);
    }
    knot = nextKnot;
    value = nextValue;
    span = nextSpan;
    isRow = nextIsRow;
    spline = channelSpline(knot, value, n);
  }
  const knotOfRow = new Int32Array(to - from + 1);
  for (let k = 0, row = 0; k < knot.length; k++) if (isRow[k]) knotOfRow[row++] = k;
  return { piece: { run, spline, knotOfRow }, distance, angle: turned };
}

/** Flange pose at arc length s in a span of rows, from the spline of the tool. */
function toolPoseAt(
  tool: ChannelSpline,
  span: number,
  s: number,
  toolToFlange: Rigid,
  numbers: Float64Array,
  pose: Float64Array,
): void {
  const u = (s - tool.knot[span]) / (tool.knot[span + 1] - tool.knot[span]);
  valueOnSpan(tool, span, u, numbers, 0);
  const size = Math.sqrt(numbers[3] ** 2 + numbers[4] ** 2 + numbers[5] ** 2 + numbers[6] ** 2);
  for (let c = 3; c < 7; c++) numbers[c] /= size;
  flangePose(numbers, 0, numbers, 3, numbers[7], toolToFlange, pose, 0);
}

/** Error of the tool centre point (mm) and of the frame (rad) from flange frames a[i..] to b. */
function toolError(a: Float64Array, i: number, b: Float64Array, toolToFlange: Rigid, out: Float64Array): void {
  poseError(a, i, b, 0, out);
  // The tool centre point in the flange frame is -R' t of the inverse motion.
  const { rotation: r, translation: t } = toolToFlange;
  const x = -(r[0] * t[0] + r[3] * t[1] + r[6] * t[2]);
  const y = -(r[1] * t[0] + r[4] * t[1] + r[7] * t[2]);
  const z = -(r[2] * t[0] + r[5] * t[1] + r[8] * t[2]);
  for (let c = 0; c < 3; c++) {
    const k = 3 * c;
    out[c] += (b[k] - a[i + k]) * x + (b[k + 1] - a[i + k + 1]) * y + (b[k + 2] - a[i + k + 2]) * z;
  }
}

/** The knots between rows, with the derivatives there. */
export function knotsBetween(path: JointPath, n: number): KnotsBetween {
  const after: number[] = [];
  const share: number[] = [];
  const d1: number[] = [];
  const d2: number[] = [];
  const second = new Float64Array(n);
  for (const { run, spline, knotOfRow } of path.pieces) {
    for (let i = run.from; i < run.to; i++) {
      const first = knotOfRow[i - run.from];
      const last = knotOfRow[i + 1 - run.from];
      const length = spline.knot[last] - spline.knot[first];
      for (let k = first + 1; k < last; k++) {
        after.push(i);
        share.push((spline.knot[k] - spline.knot[first]) / length);
        d1.push(...spline.slope.subarray(n * k, n * k + n));
        secondAtKnot(spline, k, second, 0);
        d2.push(...second);
      }
    }
  }
  return {
    after: Uint32Array.from(after),
    share: Float64Array.from(share),
    d1: Float64Array.from(d1),
    d2: Float64Array.from(d2),
  };
}

/** Angles and their first and second derivatives at the rows, n x m each, NaN outside the runs. A break has the later piece's. */
export function derivativesAtRows(
  path: JointPath,
  rows: number,
  n: number,
): { readonly first: Float64Array; readonly second: Float64Array } {
  const first = new Float64Array(n * rows).fill(Number.NaN);
  const second = new Float64Array(n * rows).fill(Number.NaN);
  for (const { run, spline, knotOfRow } of path.pieces) {
    for (let i = run.from; i <= run.to; i++) {
      const k = knotOfRow[i - run.from];
      first.set(spline.slope.subarray(n * k, n * k + n), n * i);
      secondAtKnot(spline, k, second, n * i);
    }
  }
  return { first, second };
}
