// Moves a track sideways across its joint face, along the surface: every knot walks the geodesic at a right angle to the
// seam (so the new tangent is at a right angle to the walk's end: Gauss' lemma, do Carmo 1976, sec. 4-6). At breaks the
// moved pieces are cut, or led on straight, to where they cross.
import { buildCurve, evaluate, pointAt } from '../geometry/curve.ts';
import { interpolate } from '../geometry/spline.ts';
import type { Surface } from '../geometry/surface.ts';
import { angleBetween, copy, cross, distance, dot } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import type { Curve, CurvePiece } from '../model/curve.ts';
import type { Task } from '../model/task.ts';
import type { Line } from './edge-line.ts';
import { joinLines, type Track } from './join-lines.ts';
import { startWalk, walk } from './walk-surface.ts';

/** Moved ends closer than this, mm, meet as they are. */
const MEETING = 1e-3;

/** Knots closer to a cut than this, mm, give way to it. */
const NEAR_CUT = 0.02;

/**
 * `track` moved by `offset` mm towards b = n x t. Throws InputError `offset-too-large` where the moved line would run
 * back or leaves the face's surface.
 */
export async function offsetTrack(
  track: Track,
  surfaceOf: (face: number) => Surface,
  offset: number,
  place: string,
  task: Task,
): Promise<Track> {
  const { pieces, closed } = track.curve;
  const whole = closed && pieces.length === 1 && isSmooth(track.curve);
  const lines: Line[] = [];
  for (let i = 0; i < pieces.length; i++) {
    lines.push(moveKnots(pieces[i], surfaceOf(track.face[i]), offset, whole, place));
    await task.pause('offsetting the seam', i / pieces.length);
  }
  if (whole) return joinLines(lines, track.face, true);
  return meetAtBreaks(lines, track.face, closed, offset, place);
}

function isSmooth(curve: Curve): boolean {
  const a = new Float64Array(9);
  const b = new Float64Array(9);
  pointAt(curve, 0, a);
  const [piece] = curve.pieces;
  const last = piece.knot.length - 2;
  evaluate(piece, last, piece.knot[last + 1] - piece.knot[last], b);
  return angleBetween(a, 3, b, 3) < 1e-6;
}

/** The knots of a piece, moved; a whole closed piece drops its last, which is its first. */
function moveKnots(piece: CurvePiece, surface: Surface, offset: number, whole: boolean, place: string): Line {
  const spans = piece.knot.length - 1;
  const count = whole ? spans : spans + 1;
  const point = new Float64Array(3 * count);
  const tangent = new Float64Array(3 * count);
  const at = new Float64Array(9);
  const foot = new Float64Array(6);
  const across = new Float64Array(3);
  for (let j = 0; j < count; j++) {
    const span = Math.min(j, spans - 1);
    evaluate(piece, span, piece.knot[j] - piece.knot[span], at);
    const found = surface.project(at[0], at[1], at[2], foot);
    cross(foot, 3, at, 3, across, 0);
    const walker = found ? startWalk(surface, at, across) : null;
    if (walker === null || !walk(surface, walker, offset)) throw tooLarge(piece.arc[j], offset, place);
    copy(walker, 0, point, 3 * j);
    cross(walker, 3, walker, 6, tangent, 3 * j);
    if (j === 0) continue;
    let ahead = 0;
    for (let c = 0; c < 3; c++) ahead += (point[3 * j + c] - point[3 * j - 3 + c]) * tangent[3 * j + c];
    if (ahead <= 0) throw tooLarge(piece.arc[j], offset, place);
  }
  const end = whole ? tangent.slice(0, 3) : tangent.slice(3 * count - 3);
  return { point, closed: whole, start: tangent.slice(0, 3), end, exact: true };
}

/** `s` is where along its edge, mm, or null at the end of an edge; the side is not told: it depends on the way driven. */
function tooLarge(s: number | null, offset: number, place: string): InputError {
  const where = s === null ? 'where two edges meet' : `about ${s.toFixed(1)} mm along the edge`;
  const sentence = `an offset of ${Math.abs(offset)} mm cannot be laid on the joint face ${where}`;
  return new InputError('offset-too-large', sentence, place, 'take a smaller offset, or the other side');
}

/** Cuts or extends neighbours that do not meet, then joins. */
function meetAtBreaks(
  lines: readonly Line[],
  face: readonly number[],
  closed: boolean,
  offset: number,
  place: string,
): Track {
  const n = lines.length;
  const curves = lines.map((line) => buildCurve([interpolate(line.point, line.start, line.end)], false));
  const from = new Float64Array(n);
  const to = Float64Array.from(curves, (curve) => curve.length);
  const joint: (Float64Array | null)[] = new Array(n).fill(null);
  for (let i = closed ? 0 : 1; i < n; i++) {
    const before = (i + n - 1) % n;
    const gap = distance(lines[before].point, lines[before].point.length - 3, lines[i].point, 0);
    if (gap <= MEETING) continue;
    const crossing = findCrossing(curves[before], curves[i], gap);
    if (crossing === null) throw tooLarge(null, offset, place);
    to[before] = crossing.s0;
    from[i] = crossing.s1;
    joint[i] = crossing.point;
  }
  const joined: Line[] = [];
  const faces: number[] = [];
  for (let i = 0; i < n; i++) {
    if (to[i] - from[i] < NEAR_CUT) throw tooLarge(null, offset, place);
    for (const line of cutLine(lines[i], curves[i], from[i], to[i], joint[i], joint[(i + 1) % n])) {
      joined.push(line);
      faces.push(face[i]);
    }
  }
  return joinLines(joined, faces, closed);
}

/** Where two curves, led on straight beyond their ends, come together: the first near its end, the second near its start. */
function findCrossing(
  first: Curve,
  second: Curve,
  gap: number,
): { s0: number; s1: number; point: Float64Array } | null {
  let s0 = first.length;
  let s1 = 0;
  const a = new Float64Array(9);
  const b = new Float64Array(9);
  for (let step = 0; step < 50; step++) {
    pointAt(first, s0, a);
    pointAt(second, s1, b);
    const c = dot(a, 3, b, 3);
    const sine2 = 1 - c * c;
    if (sine2 < 1e-8) return null;
    let da = 0;
    let db = 0;
    for (let k = 0; k < 3; k++) {
      da += (b[k] - a[k]) * a[3 + k];
      db += (b[k] - a[k]) * b[3 + k];
    }
    // Least squares of |P0 + t0 x - P1 - t1 y|, in steps no longer than the gap.
    const x = Math.max(-gap, Math.min(gap, (da - c * db) / sine2));
    const y = Math.max(-gap, Math.min(gap, (c * da - db) / sine2));
    s0 += x;
    s1 += y;
    if (Math.abs(x) + Math.abs(y) < 1e-10) break;
  }
  pointAt(first, s0, a);
  pointAt(second, s1, b);
  const apart = distance(a, 0, b, 0);
  const sound = apart < MEETING && s0 > 0 && s1 < second.length;
  return sound ? { s0, s1, point: a.slice(0, 3).map((v, k) => (v + b[k]) / 2) } : null;
}

/** The part of a line between two arc lengths; beyond its ends it goes on straight, as lines of their own. */
function cutLine(
  line: Line,
  curve: Curve,
  from: number,
  to: number,
  first: Float64Array | null,
  last: Float64Array | null,
): Line[] {
  const [{ arc }] = curve.pieces;
  const at = new Float64Array(9);
  const inside = [...arc.keys()].filter(
    (j) => (from <= 0 || arc[j] > from + NEAR_CUT) && (to >= curve.length || arc[j] < to - NEAR_CUT),
  );
  const point = inside.flatMap((j) => [...line.point.subarray(3 * j, 3 * j + 3)]);
  let { start, end } = line;
  if (first !== null && from > 0) {
    pointAt(curve, from, at);
    point.unshift(...first);
    start = at.slice(3, 6);
  }
  if (last !== null && to < curve.length) {
    pointAt(curve, to, at);
    point.push(...last);
    end = at.slice(3, 6);
  }
  const lines: Line[] = [{ point: Float64Array.from(point), closed: false, start, end, exact: true }];
  if (first !== null && from < 0) {
    const lead = Float64Array.of(...first, ...line.point.subarray(0, 3));
    lines.unshift({ point: lead, closed: false, start: line.start, end: line.start, exact: true });
  }
  if (last !== null && to > curve.length) {
    const tail = Float64Array.of(...line.point.subarray(line.point.length - 3), ...last);
    lines.push({ point: tail, closed: false, start: line.end, end: line.end, exact: true });
  }
  return lines;
}
