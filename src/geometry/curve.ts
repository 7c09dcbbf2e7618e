// A curve of cubic pieces over arc length: lengths by Gauss-Legendre quadrature span by span (nodes and weights from
// Abramowitz & Stegun 1964, table 25.4), the way from arc length to parameter by guarded Newton steps.
// C' = unit tangent, C'' = (r'' - (r''.t) t) / |r'|^2 (do Carmo 1976, sec. 1-5).
import type { Break, Curve, CurvePiece } from '../model/curve.ts';
import type { Spline } from './spline.ts';
import { addScaled, angleBetween, dot, scale, set } from './vector.ts';

const GAUSS_NODE = [0.1834346424956498, 0.525532409916329, 0.7966664774136267, 0.9602898564975363];
const GAUSS_WEIGHT = [0.362683783378362, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763];

/** Knots closer to a place than this are that place, mm. */
const SAME_PLACE = 1e-9;

/** Joins splines end to end, in order, into a curve measured by arc length. The ends must meet; nothing is moved. */
export function buildCurve(splines: readonly Spline[], closed: boolean): Curve {
  if (splines.length === 0) throw new Error('a curve needs at least one piece');
  let length = 0;
  const pieces = splines.map(({ knot, coefficient }): CurvePiece => {
    const arc = new Float64Array(knot.length);
    arc[0] = length;
    for (let j = 0; j + 1 < knot.length; j++) {
      length += spanLength(coefficient, 12 * j, 0, knot[j + 1] - knot[j]);
      arc[j + 1] = length;
    }
    return { knot, coefficient, arc };
  });
  return { pieces, closed, length };
}

/** Where an arc length lies: piece, span in it, and parameter from the span's start. */
export interface Place {
  readonly piece: number;
  readonly span: number;
  readonly u: number;
}

/** Place of an arc length in [0, L] (clamped there); at a joint of two pieces it is the start of the second. */
export function locate(curve: Curve, s: number): Place {
  const { pieces } = curve;
  let piece = pieces.length - 1;
  while (piece > 0 && s < pieces[piece].arc[0]) piece--;
  const { arc, knot, coefficient } = pieces[piece];
  let low = 0;
  let high = arc.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (s < arc[middle]) high = middle;
    else low = middle;
  }
  const h = knot[low + 1] - knot[low];
  const u = parameterAt(coefficient, 12 * low, h, s - arc[low], arc[low + 1] - arc[low]);
  return { piece, span: low, u };
}

/**
 * Position, unit tangent and C'' (1/mm) at arc length s, to out[0..8]. A closed curve goes round; an open one goes on
 * straight beyond its ends, with C'' = 0. At a joint of two pieces the outgoing tangent and C''.
 */
export function pointAt(curve: Curve, s: number, out: Float64Array): void {
  const { closed, length } = curve;
  const on = closed ? wrap(s, length) : Math.min(Math.max(s, 0), length);
  const { piece, span, u } = locate(curve, on);
  evaluate(curve.pieces[piece], span, u, out);
  if (on !== s && !closed) {
    addScaled(out, 0, s - on, out, 3, out, 0);
    set(out, 6, 0, 0, 0);
  }
}

/** Position, unit tangent and C'' (1/mm) at parameter u of a piece's span, to out[0..8]. */
export function evaluate(piece: Spline, span: number, u: number, out: Float64Array): void {
  const a = piece.coefficient;
  const k = 12 * span;
  for (let c = 0; c < 3; c++) {
    out[c] = ((a[k + 9 + c] * u + a[k + 6 + c]) * u + a[k + 3 + c]) * u + a[k + c];
    out[3 + c] = (3 * a[k + 9 + c] * u + 2 * a[k + 6 + c]) * u + a[k + 3 + c];
    out[6 + c] = 6 * a[k + 9 + c] * u + 2 * a[k + 6 + c];
  }
  const speed = Math.sqrt(dot(out, 3, out, 3));
  scale(out, 3, 1 / speed);
  addScaled(out, 6, -dot(out, 6, out, 3), out, 3, out, 6);
  scale(out, 6, 1 / (speed * speed));
}

/** What `pointAt` gives at many places: each 3 x n. */
export interface CurveSamples {
  readonly position: Float64Array;
  readonly tangent: Float64Array;
  /** C'', 1/mm. */
  readonly second: Float64Array;
}

/** The curve at n arc lengths, in any order. */
export function sampleCurve(curve: Curve, s: ArrayLike<number>): CurveSamples {
  const n = s.length;
  const samples = {
    position: new Float64Array(3 * n),
    tangent: new Float64Array(3 * n),
    second: new Float64Array(3 * n),
  };
  const point = new Float64Array(9);
  for (let i = 0; i < n; i++) {
    pointAt(curve, s[i], point);
    samples.position.set(point.subarray(0, 3), 3 * i);
    samples.tangent.set(point.subarray(3, 6), 3 * i);
    samples.second.set(point.subarray(6, 9), 3 * i);
  }
  return samples;
}

/** Places where neighbouring pieces meet at more than `smallest` rad, the closing point included (s = 0), in order. */
export function breaks(curve: Curve, smallest: number): Break[] {
  const { pieces, closed } = curve;
  const found: Break[] = [];
  const incoming = new Float64Array(9);
  const outgoing = new Float64Array(9);
  for (let i = closed ? 0 : 1; i < pieces.length; i++) {
    const before = pieces[i > 0 ? i - 1 : pieces.length - 1];
    const last = before.knot.length - 2;
    evaluate(before, last, before.knot[last + 1] - before.knot[last], incoming);
    evaluate(pieces[i], 0, 0, outgoing);
    const angle = angleBetween(incoming, 3, outgoing, 3);
    if (angle > smallest) found.push({ s: pieces[i].arc[0], angle });
  }
  return found;
}

/** The same curve run the other way; a closed one keeps its starting point. */
export function reverseCurve(curve: Curve): Curve {
  return buildCurve(curve.pieces.map(reversePiece).reverse(), curve.closed);
}

/** The same closed curve, beginning at arc length s: the piece there is split in two unless s is a joint already. */
export function shiftStart(curve: Curve, s: number): Curve {
  const { pieces, closed, length } = curve;
  if (!closed) throw new Error('only a closed curve can begin elsewhere');
  const from = wrap(s, length);
  if (from < SAME_PLACE || length - from < SAME_PLACE) return curve;
  const place = locate(curve, from);
  const [head, tail] = splitPiece(pieces[place.piece], place, from);
  const order: Spline[] = [];
  if (tail) order.push(tail);
  order.push(...pieces.slice(place.piece + 1), ...pieces.slice(0, place.piece));
  if (head) order.push(head);
  return buildCurve(order, true);
}

/** The same curve with joints of pieces at further arc lengths (increasing, inside it): nothing moves. */
export function cutCurve(curve: Curve, cuts: readonly number[]): Curve {
  const splines: Spline[] = [];
  for (const piece of curve.pieces) {
    const end = piece.arc[piece.arc.length - 1];
    let rest: Spline | null = piece;
    for (const s of cuts) {
      if (rest === null || s <= piece.arc[0] + SAME_PLACE || s >= end - SAME_PLACE) continue;
      const { pieces }: Curve = buildCurve([rest], false);
      const from: number = end - pieces[0].arc[pieces[0].arc.length - 1];
      const [head, tail] = splitPiece(pieces[0], locate({ pieces, closed: false, length: 0 }, s - from), s - from);
      if (head !== null) splines.push(head);
      rest = tail;
    }
    if (rest !== null) splines.push(rest);
  }
  return buildCurve(splines, curve.closed);
}

/** Arc length brought into [0, length). */
export function wrap(s: number, length: number): number {
  const r = s - length * Math.floor(s / length);
  return r < length ? r : 0;
}

/** Length (mm) between two parameters of the span whose coefficients begin at k. */
export function spanLength(coefficient: Float64Array, k: number, from: number, to: number): number {
  const middle = (from + to) / 2;
  const half = (to - from) / 2;
  let sum = 0;
  for (let i = 0; i < GAUSS_NODE.length; i++) {
    const d = half * GAUSS_NODE[i];
    sum += GAUSS_WEIGHT[i] * (speedAt(coefficient, k, middle - d) + speedAt(coefficient, k, middle + d));
  }
  return half * sum;
}

/** |dr/du| at parameter u of the span whose coefficients begin at k. */
function speedAt(a: Float64Array, k: number, u: number): number {
  const x = (3 * a[k + 9] * u + 2 * a[k + 6]) * u + a[k + 3];
  const y = (3 * a[k + 10] * u + 2 * a[k + 7]) * u + a[k + 4];
  const z = (3 * a[k + 11] * u + 2 * a[k + 8]) * u + a[k + 5];
  return Math.sqrt(x * x + y * y + z * z);
}

/** Parameter at which a span of width h and length `whole` has the length `wanted` behind it; clamped to the span. */
function parameterAt(coefficient: Float64Array, k: number, h: number, wanted: number, whole: number): number {
  if (wanted <= 0) return 0;
  if (wanted >= whole) return h;
  let low = 0;
  let high = h;
  let u = (h * wanted) / whole;
  for (let step = 0; step < 60; step++) {
    const excess = spanLength(coefficient, k, 0, u) - wanted;
    if (Math.abs(excess) <= 4e-15 * whole) break;
    if (excess > 0) high = u;
    else low = u;
    let next = u - excess / speedAt(coefficient, k, u);
    if (!(next > low && next < high)) next = (low + high) / 2;
    if (next === u) break;
    u = next;
  }
  return u;
}

function reversePiece(piece: CurvePiece): Spline {
  const { knot, coefficient } = piece;
  const spans = knot.length - 1;
  const total = knot[0] + knot[spans];
  const reversed = { knot: new Float64Array(spans + 1), coefficient: new Float64Array(12 * spans) };
  for (let j = 0; j <= spans; j++) reversed.knot[j] = total - knot[spans - j];
  for (let j = 0; j < spans; j++) {
    // r(h - v): the Taylor coefficients at the far end, odd ones with the other sign.
    moveOrigin(coefficient, 12 * (spans - 1 - j), knot[spans - j] - knot[spans - 1 - j], reversed.coefficient, 12 * j);
    for (let c = 0; c < 3; c++) {
      reversed.coefficient[12 * j + 3 + c] *= -1;
      reversed.coefficient[12 * j + 9 + c] *= -1;
    }
  }
  return reversed;
}

/** What lies before and behind a place in a piece; null where nothing does. */
function splitPiece(piece: CurvePiece, place: Place, s: number): [Spline | null, Spline | null] {
  const { knot, coefficient, arc } = piece;
  const spans = knot.length - 1;
  const nearStart = s - arc[place.span] < SAME_PLACE;
  const nearEnd = arc[place.span + 1] - s < SAME_PLACE;
  if (nearStart || nearEnd) {
    const at = place.span + (nearEnd ? 1 : 0);
    const head = { knot: knot.slice(0, at + 1), coefficient: coefficient.slice(0, 12 * at) };
    const tail = { knot: knot.slice(at), coefficient: coefficient.slice(12 * at) };
    return [at > 0 ? head : null, at < spans ? tail : null];
  }
  const { span, u } = place;
  const at = knot[span] + u;
  const head = {
    knot: Float64Array.of(...knot.subarray(0, span + 1), at),
    coefficient: coefficient.slice(0, 12 * span + 12),
  };
  const tail = { knot: Float64Array.of(at, ...knot.subarray(span + 1)), coefficient: coefficient.slice(12 * span) };
  moveOrigin(coefficient, 12 * span, u, tail.coefficient, 0);
  return [head, tail];
}

/** Coefficients of the same cubic counted from parameter u. */
function moveOrigin(a: Float64Array, k: number, u: number, out: Float64Array, o: number): void {
  for (let c = 0; c < 3; c++) {
    const c1 = a[k + 3 + c];
    const c2 = a[k + 6 + c];
    const c3 = a[k + 9 + c];
    out[o + c] = ((c3 * u + c2) * u + c1) * u + a[k + c];
    out[o + 3 + c] = (3 * c3 * u + 2 * c2) * u + c1;
    out[o + 6 + c] = 3 * c3 * u + c2;
    out[o + 9 + c] = c3;
  }
}
