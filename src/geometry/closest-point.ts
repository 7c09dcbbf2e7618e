// The closest point of a curve: spans that cannot hold it are passed over by the triangle inequality, in the others the
// foot points are the roots of the quintic (r - p).r', told apart by the roots of its derivatives.
import type { Curve } from '../model/curve.ts';
import { evaluate, spanLength } from './curve.ts';
import { distance, dot, subtract } from './vector.ts';

/** Spans that rounding may have made look this much too far away are still looked at, mm. */
const SLACK = 1e-9;

/** Closest point of a curve: its arc length in [0, L] and the distance, mm. */
export interface Closest {
  readonly s: number;
  readonly distance: number;
}

/** Closest point of the curve (not of its straight extensions) to (x, y, z), mm. Of equally close ones the first. */
export function closestPoint(curve: Curve, x: number, y: number, z: number): Closest {
  const target = Float64Array.of(x, y, z);
  let best = { s: 0, distance: Number.POSITIVE_INFINITY };
  // The starts of the spans give a bound to start with, so that nearly all spans are passed over below.
  let bound = Number.POSITIVE_INFINITY;
  for (const { coefficient } of curve.pieces) {
    for (let k = 0; k < coefficient.length; k += 12) bound = Math.min(bound, distance(coefficient, k, target, 0));
  }
  bound += SLACK;
  const end = new Float64Array(9);
  for (const piece of curve.pieces) {
    const { knot, arc, coefficient } = piece;
    for (let j = 0; j + 1 < knot.length; j++) {
      const limit = Math.min(bound, best.distance + SLACK);
      // Every point X of a span from A to B has |PX| >= |PA| - arc, and |PX| >= (|PA| + |PB| - arc) / 2.
      const length = arc[j + 1] - arc[j];
      const start = distance(coefficient, 12 * j, target, 0);
      if (start - length > limit) continue;
      const h = knot[j + 1] - knot[j];
      evaluate(piece, j, h, end);
      if ((start + distance(end, 0, target, 0) - length) / 2 > limit) continue;
      const u = closestOnSpan(coefficient, 12 * j, h, target);
      evaluate(piece, j, u, end);
      const d = distance(end, 0, target, 0);
      if (d < best.distance) best = { s: arc[j] + spanLength(coefficient, 12 * j, 0, u), distance: d };
    }
  }
  return best;
}

/** Parameter of the span's point closest to the target: the better end, or a foot point that is closer still. */
function closestOnSpan(a: Float64Array, k: number, h: number, target: Float64Array): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (const u of [0, ...signChanges(footPolynomial(a, k, target), h), h]) {
    let d = 0;
    for (let c = 0; c < 3; c++) {
      d += (((a[k + 9 + c] * u + a[k + 6 + c]) * u + a[k + 3 + c]) * u + a[k + c] - target[c]) ** 2;
    }
    if (d < least) {
      least = d;
      best = u;
    }
  }
  return best;
}

/** Coefficients of (r - p).r', lowest first: half the derivative of the squared distance along a span. */
function footPolynomial(a: Float64Array, k: number, target: Float64Array): number[] {
  const away = new Float64Array(3);
  subtract(a, k, target, 0, away, 0);
  return [
    dot(away, 0, a, k + 3),
    dot(a, k + 3, a, k + 3) + 2 * dot(away, 0, a, k + 6),
    3 * dot(a, k + 3, a, k + 6) + 3 * dot(away, 0, a, k + 9),
    2 * dot(a, k + 6, a, k + 6) + 4 * dot(a, k + 3, a, k + 9),
    5 * dot(a, k + 6, a, k + 9),
    3 * dot(a, k + 9, a, k + 9),
  ];
}

/** Places in (0, high), in order, where a polynomial changes its sign: one at most between two such places of its derivative. */
function signChanges(polynomial: readonly number[], high: number): number[] {
  if (polynomial.length < 2) return [];
  const derivative = polynomial.slice(1).map((c, i) => c * (i + 1));
  const stops = [0, ...signChanges(derivative, high), high];
  const found: number[] = [];
  for (let i = 0; i + 1 < stops.length; i++) {
    if (valueAt(polynomial, stops[i]) * valueAt(polynomial, stops[i + 1]) < 0) {
      found.push(rootBetween(polynomial, derivative, stops[i], stops[i + 1]));
    }
  }
  return found;
}

/** Root of a polynomial that is monotone from `low` to `high` and changes its sign there: Newton steps, halving where they leave. */
function rootBetween(polynomial: readonly number[], derivative: readonly number[], low: number, high: number): number {
  const rising = valueAt(polynomial, high) > 0;
  let u = (low + high) / 2;
  for (let step = 0; step < 60; step++) {
    const value = valueAt(polynomial, u);
    if (value === 0) break;
    if (value > 0 === rising) high = u;
    else low = u;
    const newton = u - value / valueAt(derivative, u);
    const next = newton > low && newton < high ? newton : (low + high) / 2;
    if (next === u) break;
    u = next;
  }
  return u;
}

function valueAt(polynomial: readonly number[], u: number): number {
  let value = 0;
  for (let i = polynomial.length - 1; i >= 0; i--) value = value * u + polynomial[i];
  return value;
}
