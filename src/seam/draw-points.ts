// A digitised seam: measured points laid onto the joint face and smoothed there. Noise is what the job says it is: the line
// is the smoothest whose root mean square distance from the points is no more than that.
import { buildCurve, pointAt } from '../geometry/curve.ts';
import type { SceneBody } from '../geometry/scene.ts';
import { smoothPoints } from '../geometry/smoothing-spline.ts';
import type { Surface } from '../geometry/surface.ts';
import { angleBetween, distance, length } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import type { Selection } from '../model/job.ts';
import type { PointList } from '../model/point-list.ts';
import type { Task } from '../model/task.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { assignFaces } from './assign-faces.ts';
import type { Drawn } from './draw-edges.ts';
import type { Line } from './edge-line.ts';
import { faceWithin, findSeamBody, PICK_REACH } from './find-edges.ts';
import type { JoinedFaces } from './joined-faces.ts';
import { joinLines } from './join-lines.ts';

/** Neighbours closer than this, mm, are one point. */
const SAME_POINT = 1e-3;

/** A seam is closed where its ends are no farther apart than so many median steps. */
const CLOSING_STEPS = 3;

/** Fewest points of an open and of a closed seam. */
const FEWEST_OPEN = 4;
const FEWEST_CLOSED = 6;

/** A line that turns back by more, at steps so many times longer than its noise, is in no order. */
const TURN_BACK = 120 * RAD_PER_DEG;
const CLEAR_STEP = 6;

/** The smoothed line is laid onto the face at places no farther apart than this, mm, and this turn. */
const LARGEST_STEP = 1;
const LARGEST_TURN = 2 * RAD_PER_DEG;
const SMALLEST_STEP = 0.05;

type PointsSelection = Extract<Selection, { kind: 'points' }>;

/** Draws it. Throws InputError `points-off`, `points-few`, `points-disorder`, and what selections throw. */
export async function drawPoints(
  select: PointsSelection,
  list: PointList,
  scene: readonly SceneBody[],
  joined: (entry: SceneBody) => JoinedFaces,
  place: string,
  task: Task,
): Promise<Drawn> {
  const entry = findSeamBody(scene, select.body, place);
  const faces = joined(entry);
  const nearest = await nearestFaces(select, list, entry, task);
  const joint = jointFace(select, nearest, entry, faces, place);
  const surface = faces.surface(joint);
  const laid = layPoints(select, list, surface);
  const { point, line } = withoutDoubles(laid, list);
  const closed = select.closed ?? endsMeet(point);
  const kept = closed ? withoutLastDouble(point) : point;
  const fewest = closed ? FEWEST_CLOSED : FEWEST_OPEN;
  if (kept.length < 3 * fewest) {
    const sentence = `the file has ${kept.length / 3} different points, ${closed ? 'a closed' : 'an open'} seam needs ${fewest}`;
    throw new InputError('points-few', sentence, list.file, 'digitise more points along the seam');
  }
  refuseDisorder(kept, line, closed, select, list);
  await task.pause('smoothing points', 0.5);
  const { spline } = smoothPoints(kept, closed, select.smooth);
  const track = joinLines([lineOnFace(buildCurve([spline], closed), surface)], [joint], closed);
  return {
    entry,
    track: assignFaces(track, faces),
    check: laid,
    edgeIds: [],
    faceChoice: select.faceNear ? 'given' : 'points',
  };
}

/** Face of the body closest to each point. Throws InputError `points-off`. */
async function nearestFaces(
  { reach }: PointsSelection,
  list: PointList,
  { query }: SceneBody,
  task: Task,
): Promise<Int32Array> {
  const { position } = list;
  const face = new Int32Array(position.length / 3);
  for (let i = 0; i < face.length; i++) {
    if (i % 64 === 0) await task.pause('laying points onto the joint', i / face.length / 2);
    face[i] = faceWithin(query, position[3 * i], position[3 * i + 1], position[3 * i + 2], reach);
    if (face[i] < 0) throw off(list, i, reach, distanceTo(query, position, i));
  }
  return face;
}

function distanceTo(query: SceneBody['query'], position: Float64Array, i: number): number {
  const out = new Float64Array(6);
  const [x, y, z] = position.subarray(3 * i, 3 * i + 3);
  return query.closest(x, y, z, Number.POSITIVE_INFINITY, out) < 0 ? Number.NaN : distance(out, 0, position, 3 * i);
}

/** The face that is given, else one of the smoothly joined faces that most points are closest to. */
function jointFace(
  { faceNear }: PointsSelection,
  nearest: Int32Array,
  { query, name }: SceneBody,
  faces: JoinedFaces,
  place: string,
): number {
  if (faceNear !== null) {
    const given = faceWithin(query, faceNear[0], faceNear[1], faceNear[2], PICK_REACH);
    if (given >= 0) return given;
    const sentence = `no face of "${name}" lies within ${PICK_REACH} mm of (${faceNear.join(', ')})`;
    throw new InputError('selection-empty', sentence, place, 'take a point on the joint face');
  }
  const votes = new Map<number, number>();
  for (const face of nearest) votes.set(face, (votes.get(face) ?? 0) + 1);
  const voted = [...votes.keys()].sort((a, b) => a - b);
  const support = (face: number): number =>
    voted.reduce((sum, other) => sum + (faces.group(face).has(other) ? (votes.get(other) as number) : 0), 0);
  // Of one group the face with the most points of its own.
  return voted.reduce((best, face) => {
    const more = support(face) - support(best);
    return more > 0 || (more === 0 && (votes.get(face) as number) > (votes.get(best) as number)) ? face : best;
  });
}

function layPoints({ reach }: PointsSelection, list: PointList, surface: Surface): Float64Array {
  const { position } = list;
  const laid = new Float64Array(position.length);
  const foot = new Float64Array(6);
  for (let i = 0; i < position.length; i += 3) {
    const found = surface.project(position[i], position[i + 1], position[i + 2], foot);
    const away = found ? distance(foot, 0, position, i) : Number.NaN;
    if (!(away <= reach)) throw off(list, i / 3, reach, away);
    laid.set(foot.subarray(0, 3), i);
  }
  return laid;
}

function off({ file, line, position }: PointList, i: number, reach: number, away: number): InputError {
  const at = [...position.subarray(3 * i, 3 * i + 3)].join(', ');
  const far = Number.isNaN(away) ? `more than ${reach} mm` : `${away.toFixed(2)} mm`;
  const hint = 'check that the points are in the frame of the part and in mm; "reach_mm" sets how far they may lie';
  return new InputError('points-off', `the point (${at}) lies ${far} off the joint face`, `${file}:${line[i]}`, hint);
}

/** Points without those that are where the one before them is, and their lines in the file. */
function withoutDoubles(point: Float64Array, { line }: PointList): { point: Float64Array; line: number[] } {
  const kept: number[] = [];
  const lines: number[] = [];
  for (let i = 0; i < point.length; i += 3) {
    const last = Float64Array.from(kept.slice(-3));
    if (last.length === 3 && distance(last, 0, point, i) < SAME_POINT) continue;
    kept.push(point[i], point[i + 1], point[i + 2]);
    lines.push(line[i / 3]);
  }
  return { point: Float64Array.from(kept), line: lines };
}

function withoutLastDouble(point: Float64Array): Float64Array {
  const last = point.length - 3;
  return last > 0 && distance(point, last, point, 0) < SAME_POINT ? point.slice(0, last) : point;
}

function endsMeet(point: Float64Array): boolean {
  const n = point.length / 3;
  if (n < FEWEST_CLOSED) return false;
  const steps = Array.from({ length: n - 1 }, (_, i) => distance(point, 3 * i, point, 3 * i + 3)).sort((a, b) => a - b);
  return distance(point, 0, point, point.length - 3) <= CLOSING_STEPS * steps[steps.length >> 1];
}

/** Throws InputError `points-disorder` where the line from point to point turns back. */
function refuseDisorder(
  point: Float64Array,
  line: readonly number[],
  closed: boolean,
  { smooth }: PointsSelection,
  { file }: PointList,
): void {
  const n = point.length / 3;
  const chord = new Float64Array(6);
  for (let i = closed ? 0 : 1; i < (closed ? n : n - 1); i++) {
    const [before, after] = [(i + n - 1) % n, (i + 1) % n];
    for (let c = 0; c < 3; c++) {
      chord[c] = point[3 * i + c] - point[3 * before + c];
      chord[3 + c] = point[3 * after + c] - point[3 * i + c];
    }
    const short = Math.min(length(chord, 0), length(chord, 3));
    if (short <= CLEAR_STEP * smooth || angleBetween(chord, 0, chord, 3) <= TURN_BACK) continue;
    const sentence = 'the points are not in the order of the seam: the line turns back here';
    const hint =
      'sort the lines along the seam, or add a column s_mm to order them by; take points on a sharp corner out';
    throw new InputError('points-disorder', sentence, `${file}:${line[i]}`, hint);
  }
}

/** Places along the smoothed curve on the face. */
function lineOnFace(curve: ReturnType<typeof buildCurve>, surface: Surface): Line {
  const at = new Float64Array(9);
  const foot = new Float64Array(6);
  const fine = Math.max(16, Math.ceil(curve.length / (LARGEST_STEP / 4)));
  const sum = new Float64Array(fine + 1);
  for (let i = 0; i < fine; i++) {
    pointAt(curve, ((i + 0.5) * curve.length) / fine, at);
    const wanted = Math.max(1 / LARGEST_STEP, Math.min(1 / SMALLEST_STEP, length(at, 6) / LARGEST_TURN));
    sum[i + 1] = sum[i] + (curve.length / fine) * wanted;
  }
  const count = Math.max(8, Math.ceil(sum[fine]));
  const point: number[] = [];
  const tangent: Float64Array[] = [];
  for (let k = 0, i = 0; k < (curve.closed ? count : count + 1); k++) {
    const wanted = (k * sum[fine]) / count;
    while (i < fine - 1 && sum[i + 1] < wanted) i++;
    pointAt(curve, ((i + (wanted - sum[i]) / (sum[i + 1] - sum[i])) * curve.length) / fine, at);
    if (k === 0 || k === count) tangent.push(at.slice(3, 6));
    if (surface.project(at[0], at[1], at[2], foot)) point.push(foot[0], foot[1], foot[2]);
  }
  const [start, end = start] = tangent;
  return { point: Float64Array.from(point), closed: curve.closed, start, end, exact: false };
}
