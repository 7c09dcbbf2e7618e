// The middle of a band: the line whose points are equally far from both borders. From places on the right border a
// geodesic runs into the band at a right angle until its foot and the left border are equally far away; the tangent there
// is at a right angle to what the two shortest ways have between them.
import { closestPoint } from '../geometry/closest-point.ts';
import { breaks, evaluate, locate, pointAt, wrap } from '../geometry/curve.ts';
import type { Surface } from '../geometry/surface.ts';
import { cross, distance, length, normalise } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import type { Curve } from '../model/curve.ts';
import type { Task } from '../model/task.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import type { Line } from './edge-line.ts';
import { joinAtCrossings } from './join-at-crossings.ts';
import type { Track } from './join-lines.ts';
import { startWalk, walk } from './walk-surface.ts';

/** Joints of the two borders that meet the middle this close together, mm of border, are one: between them it bends half. */
const SAME_JOINT = 0.005;

/** A stretch between joints no longer than this, mm, is one interval: its end tangents say more than points so close would. */
const SHORT = 0.3;

/** Between neighbouring points: largest distance, mm, and largest turn of the border. */
const LARGEST_STEP = 1;
const LARGEST_TURN = 2 * RAD_PER_DEG;

/** A border that breaks by more has a corner, at which a middle would break too. */
const LARGEST_BREAK = 5 * RAD_PER_DEG;

/** Half of what the two distances may differ by, mm. */
const EQUAL = 2e-8;

/** Where two faces meet their middles may end this far apart, mm: fitted surfaces agree no better; they meet between. */
const LARGEST_MISMATCH = 0.1;

/** One in so many intervals is looked into for the fit report. */
const CHECK_EVERY = 4;

export interface MidLine {
  readonly track: Track;
  /** Points of the middle that the curve was not made of, 3 x n, mm: what its fit is judged by. */
  readonly check: Float64Array;
}

interface MidPoint {
  readonly point: Float64Array;
  /** Unit, onward. */
  readonly tangent: Float64Array;
  /** Arc length of the closest point of the left border, mm. */
  readonly left: number;
}

/** Middle point seen from arc length `s` of the right border; `before` looks from the piece that ends there. */
type Middle = (s: number, before: boolean) => MidPoint;

/**
 * Middle between the tracks `right` and `left`, which run the same way with the band between them; `surfaceOf` gives the
 * band's faces, which are those of `right`. Throws InputError `band-unclear` where the borders lose each other.
 */
export async function findMidLine(
  right: Track,
  left: Track,
  surfaceOf: (face: number) => Surface,
  place: string,
  task: Task,
): Promise<MidLine> {
  const { curve } = right;
  const { closed } = curve;
  for (const border of [curve, left.curve]) {
    const [corner] = breaks(border, LARGEST_BREAK);
    if (corner !== undefined) throw unclear(`its border has a corner ${corner.s.toFixed(1)} mm along it`, place);
  }
  const ring = closed && curve.pieces.length === 1 && left.curve.pieces.length === 1;
  const middle = createMiddle(right, left.curve, surfaceOf, place);
  const cuts = ring ? [0, curve.length] : findCuts(curve, left.curve, middle);
  const lines: Line[] = [];
  const face: number[] = [];
  const check: number[] = [];
  for (let k = 0; k + 1 < cuts.length; k++) {
    const stations = placeStations(curve, cuts[k], cuts[k + 1]);
    const last = stations.length - 1;
    const points = stations.slice(0, ring ? last : last + 1).map((s, i) => middle(s, i === last));
    for (let i = 0; i < last; i += CHECK_EVERY) check.push(...middle((stations[i] + stations[i + 1]) / 2, false).point);
    lines.push({
      point: Float64Array.from(points.flatMap(({ point }) => [...point])),
      closed: ring,
      start: points[0].tangent,
      end: points[ring ? 0 : last].tangent,
      exact: true,
    });
    face.push(right.face[pieceAt(curve, (cuts[k] + cuts[k + 1]) / 2)]);
    await task.pause('finding the middle of the band', k / cuts.length);
  }
  if (!ring) check.push(...meet(lines, closed));
  const refuse = () => unclear('the middles of two of its faces end apart where they should meet', place);
  // Beside a kink of a border the middles end, or overlap, by the kink's angle over half the width: they are led on, or cut.
  return { track: joinAtCrossings(lines, face, closed, refuse), check: Float64Array.from(check) };
}

/** Moves ends that follow one another to the middle between them where they are near, in place; gives the ends as they were. */
function meet(lines: readonly Line[], closed: boolean): number[] {
  const ends: number[] = [];
  for (let i = closed ? 0 : 1; i < lines.length; i++) {
    const before = lines[(i + lines.length - 1) % lines.length].point;
    const after = lines[i].point;
    const last = before.length - 3;
    if (distance(before, last, after, 0) > LARGEST_MISMATCH) continue;
    ends.push(...before.subarray(last), ...after.subarray(0, 3));
    for (let c = 0; c < 3; c++) {
      const middle = (before[last + c] + after[c]) / 2;
      before[last + c] = middle;
      after[c] = middle;
    }
  }
  return ends;
}

/** Arc lengths of the right border, ascending, between which the middle is one smooth piece; a closed one comes round. */
function findCuts(curve: Curve, left: Curve, middle: Middle): number[] {
  const cuts = curve.pieces.map(({ arc }) => arc[0]);
  const kinks = breaks(left, 0);
  const at = new Float64Array(9);
  for (const { arc } of left.pieces) {
    if (!left.closed && arc[0] === 0) continue;
    const s = seenFromRight(curve, left, arc[0], middle);
    const apart = (other: number): number => Math.abs(shortestWay(s - other, curve));
    // Where a border turns by an angle, its feet miss a stretch of that angle times the width.
    pointAt(left, arc[0], at);
    const width = closestPoint(curve, at[0], at[1], at[2]).distance;
    const turn = kinks.find((kink) => kink.s === arc[0])?.angle ?? 0;
    const same = SAME_JOINT + 2 * turn * width;
    if (cuts.every((other) => apart(other) > same) && (curve.closed || apart(curve.length) > same)) cuts.push(s);
  }
  cuts.sort((a, b) => a - b);
  return [...cuts, curve.closed ? cuts[0] + curve.length : curve.length];
}

/** Arc length of the right border whose middle point is closest to the left border at `wanted`. */
function seenFromRight(curve: Curve, left: Curve, wanted: number, middle: Middle): number {
  const at = new Float64Array(9);
  pointAt(left, wanted, at);
  let { s } = closestPoint(curve, at[0], at[1], at[2]);
  for (let step = 0; step < 8; step++) {
    const off = shortestWay(wanted - middle(s, false).left, left);
    s = curve.closed ? wrap(s + off, curve.length) : Math.min(Math.max(s + off, 0), curve.length);
    if (Math.abs(off) < 1e-7) break;
  }
  return s;
}

function createMiddle(right: Track, left: Curve, surfaceOf: (face: number) => Surface, place: string): Middle {
  const { curve, face } = right;
  const on = new Float64Array(9);
  const foot = new Float64Array(6);
  const across = new Float64Array(3);
  const near = new Float64Array(9);
  let guess = 0;
  let last = Number.NaN;
  return (s, before) => {
    const piece = pieceAt(curve, s, before);
    atPiece(curve, piece, s, before, on);
    const surface = surfaceOf(face[piece]);
    const found = surface.project(on[0], on[1], on[2], foot);
    cross(foot, 3, on, 3, across, 0);
    const walker = found ? startWalk(surface, on, across) : null;
    if (walker === null) throw lost(s, place);
    // From one place to the next the foot moves little: then it is followed, else sought anew.
    if (!(Math.abs(shortestWay(s - last, curve)) < 2 * LARGEST_STEP)) guess = closestPoint(left, on[0], on[1], on[2]).s;
    last = s;
    for (let step = 0; step < 40; step++) {
      guess = footNear(left, walker, guess, near);
      const move = (distance(near, 0, walker, 0) - distance(on, 0, walker, 0)) / 2;
      if (Math.abs(move) < EQUAL) return midPoint(walker, on, near, guess);
      if (!walk(surface, walker, move)) break;
    }
    throw lost(s, place);
  };
}

function midPoint(walker: Float64Array, right: Float64Array, left: Float64Array, s: number): MidPoint {
  const away = new Float64Array(6);
  for (let c = 0; c < 3; c++) {
    away[c] = walker[c] - right[c];
    away[3 + c] = left[c] - walker[c];
  }
  normalise(away, 0);
  normalise(away, 3);
  for (let c = 0; c < 3; c++) away[c] += away[3 + c];
  const tangent = new Float64Array(3);
  cross(away, 0, walker, 6, tangent, 0);
  normalise(tangent, 0);
  return { point: walker.slice(0, 3), tangent, left: s };
}

/** Arc length of the closest point of the curve near arc length `guess`: Newton's method; writes what `pointAt` gives there. */
function footNear(curve: Curve, point: Float64Array, guess: number, out: Float64Array): number {
  let s = guess;
  for (let step = 0; step < 30; step++) {
    pointAt(curve, s, out);
    let off = 0;
    let bend = 1;
    for (let c = 0; c < 3; c++) {
      off += (out[c] - point[c]) * out[3 + c];
      bend += (out[c] - point[c]) * out[6 + c];
    }
    const move = -off / Math.max(bend, 0.2);
    if (Math.abs(move) < 1e-10) break;
    s += move;
  }
  return curve.closed ? wrap(s, curve.length) : s;
}

/** Arc lengths from `from` to `to` with steps of at most 1 mm and 2 degrees of turn, both ends included. */
function placeStations(curve: Curve, from: number, to: number): number[] {
  const fine = Math.max(8, Math.ceil((to - from) * 4));
  const at = new Float64Array(9);
  const sum = new Float64Array(fine + 1);
  for (let i = 0; i < fine; i++) {
    const s = from + ((i + 0.5) * (to - from)) / fine;
    pointAt(curve, s, at);
    sum[i + 1] = sum[i] + ((to - from) / fine) * Math.max(1 / LARGEST_STEP, length(at, 6) / LARGEST_TURN);
  }
  const count = Math.max(to - from < SHORT ? 1 : 3, Math.ceil(sum[fine]));
  const stations = [from];
  for (let k = 1, i = 0; k < count; k++) {
    const wanted = (k * sum[fine]) / count;
    while (sum[i + 1] < wanted) i++;
    stations.push(from + ((i + (wanted - sum[i]) / (sum[i + 1] - sum[i])) * (to - from)) / fine);
  }
  stations.push(to);
  return stations;
}

/** Piece that holds arc length `s` (taken round a closed curve); at a joint the one that begins there, or ends there. */
function pieceAt(curve: Curve, s: number, before = false): number {
  const on = curve.closed ? wrap(s, curve.length) : s;
  const at = curve.pieces.findIndex(({ arc }) => Math.abs(shortestWay(on - arc[0], curve)) < 1e-6);
  if (at >= 0 && before && (curve.closed || at > 0)) return (at + curve.pieces.length - 1) % curve.pieces.length;
  return at >= 0 ? at : locate(curve, on).piece;
}

/** What `pointAt` gives, taken from a given piece at its ends. */
function atPiece(curve: Curve, piece: number, s: number, before: boolean, out: Float64Array): void {
  const { arc, knot } = curve.pieces[piece];
  const last = knot.length - 2;
  const end = Math.abs(shortestWay(s - arc[last + 1], curve)) < 1e-6;
  if (before && end) evaluate(curve.pieces[piece], last, knot[last + 1] - knot[last], out);
  else pointAt(curve, s, out);
}

/** A difference of arc lengths, the short way round on a closed curve. */
function shortestWay(difference: number, curve: Curve): number {
  return curve.closed ? difference - curve.length * Math.round(difference / curve.length) : difference;
}

function lost(s: number, place: string): InputError {
  return unclear(`its borders lose each other about ${s.toFixed(1)} mm along it`, place);
}

function unclear(why: string, place: string): InputError {
  const hint = 'select its edges instead, with an offset to the middle';
  return new InputError('band-unclear', `the band has no smooth middle: ${why}`, place, hint);
}
