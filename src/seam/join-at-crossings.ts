// Joins lines that follow one another but do not quite meet: each is cut, or led on straight, to where it crosses the next.
import { buildCurve, pointAt } from '../geometry/curve.ts';
import { interpolate } from '../geometry/spline.ts';
import { distance, dot } from '../geometry/vector.ts';
import type { InputError } from '../model/input-error.ts';
import type { Curve } from '../model/curve.ts';
import type { Line } from './edge-line.ts';
import { joinLines, type Track } from './join-lines.ts';

/** Ends closer than this, mm, meet as they are. */
const MEETING = 1e-3;

/** Knots closer to a cut than this, mm, give way to it. */
const NEAR_CUT = 0.02;

/** The curve through the lines, cut or led on to where neighbours cross; throws what `refuse` makes where they do not. */
export function joinAtCrossings(
  lines: readonly Line[],
  face: readonly number[],
  closed: boolean,
  refuse: () => InputError,
): Track {
  if (lines.length === 1 && lines[0].closed) return joinLines(lines, face, closed);
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
    if (crossing === null) throw refuse();
    to[before] = crossing.s0;
    from[i] = crossing.s1;
    joint[i] = crossing.point;
  }
  const joined: Line[] = [];
  const faces: number[] = [];
  for (let i = 0; i < n; i++) {
    const cut = from[i] > 0 || to[i] < curves[i].length;
    if (cut && to[i] - from[i] < NEAR_CUT) throw refuse();
    for (const line of cutLine(lines[i], curves[i], from[i], to[i], joint[i], joint[(i + 1) % n])) {
      joined.push(line);
      faces.push(face[i]);
    }
  }
  return joinLines(joined, faces, closed);
}

/** Where two curves, led on straight beyond their ends, come together: the first near its end, the second near its start. */
function findCrossing(first: Curve, second: Curve, gap: number): Crossing | null {
  const crossing = crossCurves(first, second, first.length, 0, gap);
  return crossing !== null && crossing.s0 > 0 && crossing.s1 < second.length ? crossing : null;
}

/** Arc lengths on both curves, and the place, mm. */
export interface Crossing {
  readonly s0: number;
  readonly s1: number;
  readonly point: Float64Array;
}

/**
 * Where two curves come together, sought from arc lengths `s0` and `s1` by Newton's method in steps of at most `step` mm;
 * open ones are led on straight. Null where they pass each other, or run side by side.
 */
export function crossCurves(first: Curve, second: Curve, s0: number, s1: number, step: number): Crossing | null {
  let [at0, at1] = [s0, s1];
  const a = new Float64Array(9);
  const b = new Float64Array(9);
  for (let round = 0; round < 50; round++) {
    pointAt(first, at0, a);
    pointAt(second, at1, b);
    const c = dot(a, 3, b, 3);
    const sine2 = 1 - c * c;
    // Side by side: they have come together, or never do.
    if (sine2 < 1e-8) break;
    let da = 0;
    let db = 0;
    for (let k = 0; k < 3; k++) {
      da += (b[k] - a[k]) * a[3 + k];
      db += (b[k] - a[k]) * b[3 + k];
    }
    // Least squares of |P0 + t0 x - P1 - t1 y|.
    const x = Math.max(-step, Math.min(step, (da - c * db) / sine2));
    const y = Math.max(-step, Math.min(step, (c * da - db) / sine2));
    at0 += x;
    at1 += y;
    if (Math.abs(x) + Math.abs(y) < 1e-10) break;
  }
  pointAt(first, at0, a);
  pointAt(second, at1, b);
  if (distance(a, 0, b, 0) >= MEETING) return null;
  return { s0: at0, s1: at1, point: a.slice(0, 3).map((v, k) => (v + b[k]) / 2) };
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
