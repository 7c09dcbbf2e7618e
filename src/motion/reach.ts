// The highest profile of x = v^2 on a grid, under limits that couple neighbouring grid points: reachability analysis
// after Pham & Pham 2018, "A New Approach to Time-Optimal Path Parameterization Based on Reachability Analysis", IEEE
// Trans. Robot. 34(3). Backwards: from which x can the end still be reached; forwards: the largest x that stays within.
import type { Task } from '../model/task.ts';

/**
 * Limits between grid points i and i + 1, with x and y the squared speeds there: each is an ellipse or a strip round the
 * origin, a y^2 + 2 b x y + c x^2 <= 1 (positive semidefinite), with determinant D = a c - b^2. As the origin lies inside
 * every one of them, standing still is always allowed and a profile always exists.
 */
export interface StepLimits {
  /** Largest x at each grid point, n; 0 demands a stop. */
  readonly cap: Float64Array;
  /** Index of the first limit of each interval, n entries: interval i has the limits first[i] .. first[i + 1] - 1. */
  readonly first: Uint32Array;
  /** a, b, c, D of each limit, 4 each. */
  readonly form: Float64Array;
}

/** Intervals worked through between two looks at the task. */
export const BATCH = 1024;

/** Bracket at which the search for the largest controllable x stops, relative. */
const CLOSE = 1e-13;

/**
 * Squared speed at each grid point, n, mm2/s2. `startX` and `endX` are wishes: where the limits cannot hold them, the
 * profile starts or ends with the largest squared speed below them that it can.
 */
export async function highestProfile(
  limits: StepLimits,
  startX: number,
  endX: number,
  task?: Task,
): Promise<Float64Array> {
  const { cap, first, form } = limits;
  const n = cap.length;
  const range = new Float64Array(2);
  const controllable = new Float64Array(n);
  controllable[n - 1] = Math.min(cap[n - 1], endX);
  for (let i = n - 2; i >= 0; i--) {
    controllable[i] = largestBefore(form, first[i], first[i + 1], cap[i], controllable[i + 1], range);
    if (i % BATCH === 0) await task?.pause('time law', 0.5 * (1 - i / n));
  }
  const x = new Float64Array(n);
  x[0] = Math.min(controllable[0], startX);
  for (let i = 0; i + 1 < n; i++) {
    rangeAfter(form, first[i], first[i + 1], x[i], range);
    x[i + 1] = Math.max(0, Math.min(controllable[i + 1], range[1]));
    if (i % BATCH === 0) await task?.pause('time law', 0.5 * (1 + i / n));
  }
  return x;
}

/** Smallest and largest y that the limits allow after x; reversed where they allow none. */
function rangeAfter(form: Float64Array, from: number, to: number, x: number, range: Float64Array): void {
  let low = Number.NEGATIVE_INFINITY;
  let high = Number.POSITIVE_INFINITY;
  for (let f = 4 * from; f < 4 * to; f += 4) {
    const a = form[f];
    if (a === 0) continue;
    const middle = -form[f + 1] * x;
    const half = Math.sqrt(Math.max(0, a - form[f + 3] * x * x));
    low = Math.max(low, (middle - half) / a);
    high = Math.min(high, (middle + half) / a);
  }
  range[0] = low;
  range[1] = high;
}

/**
 * Room left after x when y may be at most `top`: negative where no y >= 0 follows. Concave in x, positive at 0 (it is the
 * least of differences between upper, concave, and lower, convex, boundaries of convex sets).
 */
function room(form: Float64Array, from: number, to: number, x: number, top: number, range: Float64Array): number {
  rangeAfter(form, from, to, x, range);
  return Math.min(Math.min(range[1], top) - range[0], range[1]);
}

/** Largest x <= cap from which some y in [0, top] follows. */
function largestBefore(
  form: Float64Array,
  from: number,
  to: number,
  cap: number,
  top: number,
  range: Float64Array,
): number {
  let b = cap;
  for (let f = 4 * from; f < 4 * to; f += 4) {
    const a = form[f];
    if (a === 0) b = Math.min(b, 1 / Math.sqrt(form[f + 2]));
    else if (form[f + 3] > 0) b = Math.min(b, Math.sqrt(a / form[f + 3]));
  }
  let roomB = room(form, from, to, b, top, range);
  if (roomB >= 0) return b;
  // Regula falsi with the Illinois rule (Dowell & Jarratt 1971): an end that stays twice counts half. a always has room.
  let a = 0;
  let roomA = room(form, from, to, a, top, range);
  let stayed = 0;
  for (let k = 0; k < 100 && b - a > CLOSE * b; k++) {
    const secant = a + ((b - a) * roomA) / (roomA - roomB);
    const x = secant > a && secant < b ? secant : (a + b) / 2;
    const roomX = room(form, from, to, x, top, range);
    if (roomX >= 0) {
      a = x;
      roomA = roomX;
      if (stayed > 0) roomB /= 2;
      stayed = 1;
    } else {
      b = x;
      roomB = roomX;
      if (stayed < 0) roomA /= 2;
      stayed = -1;
    }
  }
  return a;
}
