// What moves when the spot moves: a quantity y(s) whose velocity is y' v and whose acceleration is y' u + y'' x, where
// x = v^2 and u = dx/ds / 2 is the spot's own acceleration (Bobrow, Dubowsky & Gibson 1985, "Time-optimal control of
// robotic manipulators along specified paths"). A channel holds y', y'' at grid points and interpolates between them.
import { differentiate } from '../geometry/differences.ts';
import { findJumps } from '../geometry/jumps.ts';
import type { KnotsBetween } from '../model/posture.ts';

/** A quantity of any dimension that follows the path, with the limits on its velocity and acceleration. */
export interface Channel {
  /** Length of its vectors, d: 3 for a point in space, 1 for a single axis. */
  readonly dimension: number;
  /** First and second derivative by arc length, d x n each, unit/mm and unit/mm2; NaN where unknown: no limit there. */
  readonly d1: Float64Array;
  readonly d2: Float64Array;
  /** |y' v| <= speed, unit/s; Infinity for none. */
  readonly speed: number;
  /** |y' u + y'' x| <= acceleration, unit/s2; Infinity for none. */
  readonly acceleration: number;
  /** Set where y is a cubic spline, with its knots between grid points: d2 then runs straight from knot to knot. */
  readonly spline?: KnotsBetween;
}

/** A channel made ready to be asked between grid points. */
export interface SampledChannel extends Channel {
  /** Derivatives of d1 and d2 by arc length at the grid points, d x n. */
  readonly slope1: Float64Array;
  readonly slope2: Float64Array;
  /** 1 where all of d1 and d2 is finite, n. */
  readonly known: Uint8Array;
  /** Of a spline: number of its knots before each grid point, n. */
  readonly firstKnot: Uint32Array;
  /** 1 where d2 jumps between the grid point before and this one: the place in between is not known, n. */
  readonly jump: Uint8Array;
}

/** Prepares a channel on the grid `s` (n, mm, strictly increasing). */
export function sampleChannel(channel: Channel, s: Float64Array): SampledChannel {
  const { dimension, d1, d2 } = channel;
  const known = new Uint8Array(s.length);
  for (let i = 0; i < s.length; i++) {
    let finite = 1;
    for (let k = dimension * i; k < dimension * (i + 1); k++) {
      if (!Number.isFinite(d1[k]) || !Number.isFinite(d2[k])) finite = 0;
    }
    known[i] = finite;
  }
  const firstKnot = new Uint32Array(s.length);
  if (channel.spline !== undefined) {
    for (const grid of channel.spline.after) firstKnot[grid + 1]++;
    for (let i = 1; i < s.length; i++) firstKnot[i] += firstKnot[i - 1];
    return { ...channel, known, firstKnot, jump: new Uint8Array(s.length), slope1: d2, slope2: d2 };
  }
  return {
    ...channel,
    known,
    firstKnot,
    jump: findJumps({ s, period: 0 }, d2, dimension),
    slope1: slopes(d1, dimension, s, known),
    slope2: slopes(d2, dimension, s, known),
  };
}

/**
 * Writes y' and y'' at `s[i] + tau (s[i + 1] - s[i])` to p and q, d each. Returns false, and writes nothing, where they are
 * not known: an unknown grid point says nothing about either of its intervals but leaves the limits at their other ends.
 */
export function derivativesAt(
  c: SampledChannel,
  s: Float64Array,
  i: number,
  tau: number,
  p: Float64Array,
  q: Float64Array,
): boolean {
  const end = tau < 1 ? i : i + 1;
  const inside = tau > 0 && tau < 1;
  if (!c.known[end] || (inside && !c.known[i + 1])) return false;
  const d = c.dimension;
  const h = inside ? s[i + 1] - s[i] : 0;
  if (inside && c.spline !== undefined) {
    splineAt(c, c.spline, i, tau, h, p, q);
    return true;
  }
  for (let k = 0; k < d; k++) {
    p[k] = inside ? hermite(c.d1, c.slope1, d * i + k, d * (i + 1) + k, h, tau) : c.d1[d * end + k];
    q[k] = inside ? hermite(c.d2, c.slope2, d * i + k, d * (i + 1) + k, h, tau) : c.d2[d * end + k];
  }
  return true;
}

/** The derivatives inside interval i of a spline: y'' straight between the knots on either side, y' its integral. */
function splineAt(
  c: SampledChannel,
  { share, d1, d2 }: KnotsBetween,
  i: number,
  tau: number,
  h: number,
  p: Float64Array,
  q: Float64Array,
): void {
  const d = c.dimension;
  let next = c.firstKnot[i];
  const last = c.firstKnot[i + 1];
  while (next < last && share[next] < tau) next++;
  const inner = next > c.firstKnot[i];
  const from = inner ? share[next - 1] : 0;
  const to = next < last ? share[next] : 1;
  for (let k = 0; k < d; k++) {
    const first = inner ? d1[d * (next - 1) + k] : c.d1[d * i + k];
    const a = inner ? d2[d * (next - 1) + k] : c.d2[d * i + k];
    const b = next < last ? d2[d * next + k] : c.d2[d * (i + 1) + k];
    q[k] = a + ((tau - from) / (to - from)) * (b - a);
    p[k] = first + ((tau - from) * h * (a + q[k])) / 2;
  }
}

/**
 * Like `derivativesAt` in an interval in which y'' jumps: y'' as it goes on from the interval's beginning, or, `backward`,
 * from its end. Both hold on a part of the interval, and nobody knows on which.
 */
export function derivativesAside(
  c: SampledChannel,
  s: Float64Array,
  i: number,
  tau: number,
  backward: boolean,
  p: Float64Array,
  q: Float64Array,
): boolean {
  if (!derivativesAt(c, s, i, tau, p, q)) return false;
  const end = backward ? i + 1 : i;
  const way = (backward ? tau - 1 : tau) * (s[i + 1] - s[i]);
  for (let k = 0; k < c.dimension; k++) q[k] = c.d2[c.dimension * end + k] + way * c.slope2[c.dimension * end + k];
  return true;
}

/** Scalar product of the first d entries. */
export function dotOf(a: Float64Array, b: Float64Array, d: number): number {
  let sum = 0;
  for (let k = 0; k < d; k++) sum += a[k] * b[k];
  return sum;
}

/** Room for the vectors of the widest of the channels. */
export function vectorFor(channels: readonly Channel[]): Float64Array {
  return new Float64Array(channels.reduce((most, c) => Math.max(most, c.dimension), 0));
}

function hermite(y: Float64Array, slope: Float64Array, a: number, b: number, h: number, tau: number): number {
  const rise = y[b] - y[a];
  const ma = slope[a] * h - rise;
  const mb = rise - slope[b] * h;
  return y[a] + tau * (rise + (1 - tau) * ((1 - tau) * ma + tau * mb));
}

/**
 * Slopes for cubic Hermite interpolation: those of the polynomial through five neighbours, fourth order, with no stencil
 * across an unknown or a jump, so that neither is smeared over the grid points beside it.
 */
function slopes(y: Float64Array, d: number, s: Float64Array, known: Uint8Array): Float64Array {
  if (y.every((value) => value === 0)) return new Float64Array(y.length);
  const begins = findJumps({ s, period: 0 }, y, d);
  for (let i = 1; i < s.length; i++) if (known[i] !== known[i - 1]) begins[i] = 1;
  const slope = differentiate({ s, period: 0, begins }, y, d, 5).first;
  return slope.map((value) => (Number.isFinite(value) ? value : 0));
}
