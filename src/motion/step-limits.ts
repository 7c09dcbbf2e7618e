// The limits of channels written as ellipses and strips in (x, y), the squared speeds at the two ends of an interval.
// Between its ends x runs linearly and u = (y - x) / (2 h) is constant: a limit is asked at both ends (collocation) and,
// where an interval is divided, at the points that divide it.
import type { Task } from '../model/task.ts';
import type { SampledChannel } from './channel.ts';
import { derivativesAside, derivativesAt, dotOf, vectorFor } from './channel.ts';
import type { StepLimits } from './reach.ts';
import { BATCH } from './reach.ts';

export interface MotionProblem {
  /** Arc length, n, mm, strictly increasing. */
  readonly s: Float64Array;
  /** Largest squared speed at each grid point, n, mm2/s2, finite; 0 demands a stop. Between grid points it is not asked. */
  readonly cap: Float64Array;
  /** Limit on |u|, the acceleration along the path, mm/s2; Infinity for none. */
  readonly acceleration: number;
  readonly channels: readonly SampledChannel[];
}

/** Writes the limits of every interval; interval i is asked at `parts[i]` + 1 evenly spaced points, its ends included. */
export async function stepLimits(problem: MotionProblem, parts: Uint8Array, task?: Task): Promise<StepLimits> {
  const { s, channels, acceleration } = problem;
  const n = s.length;
  const cap = Float64Array.from(problem.cap);
  const first = new Uint32Array(n);
  const form = new Float64Array(4 * mostForms(parts, channels.length));
  const p = vectorFor(channels);
  const q = vectorFor(channels);
  for (const c of channels) {
    for (let i = 0; i < n; i++) {
      if (c.known[i] && derivativesAt(c, s, i, 0, p, q)) cap[i] = Math.min(cap[i], largestStill(c, p, q));
    }
  }
  let f = 0;
  for (let i = 0; i + 1 < n; i++) {
    first[i] = f / 4;
    if (i % BATCH === 0) await task?.pause('time law', i / n);
    const e = 0.5 / (s[i + 1] - s[i]);
    if (acceleration < Number.POSITIVE_INFINITY) {
      f = writeStrip(e / acceleration, -e / acceleration, form, f);
    }
    for (const c of channels) {
      const jumps = c.jump[i + 1] === 1;
      for (let k = 0; k <= parts[i]; k++) {
        const tau = k / parts[i];
        for (let side = 0; side < (jumps ? 2 : 1); side++) {
          const known = jumps ? derivativesAside(c, s, i, tau, side === 1, p, q) : derivativesAt(c, s, i, tau, p, q);
          if (!known) continue;
          if (c.acceleration < Number.POSITIVE_INFINITY && dotOf(p, p, c.dimension) > 0) {
            f = writePull(c, p, q, tau, e, form, f);
          }
          const still = largestStill(c, p, q);
          if (k === 0) cap[i] = Math.min(cap[i], still);
          else if (k === parts[i]) cap[i + 1] = Math.min(cap[i + 1], still);
          else if (still < Number.POSITIVE_INFINITY) f = writeStrip(tau / still, (1 - tau) / still, form, f);
        }
      }
    }
  }
  first[n - 1] = f / 4;
  return { cap, first, form: form.subarray(0, f) };
}

/** |p u + q x| <= limit at share tau, where it is |py y + px x| with py = p e + q tau, px = -p e + q (1 - tau), e = 1 / (2 h). */
function writePull(
  c: SampledChannel,
  p: Float64Array,
  q: Float64Array,
  tau: number,
  e: number,
  form: Float64Array,
  f: number,
): number {
  let yy = 0;
  let xy = 0;
  let xx = 0;
  for (let k = 0; k < c.dimension; k++) {
    const y = (p[k] * e + q[k] * tau) / c.acceleration;
    const x = (-p[k] * e + q[k] * (1 - tau)) / c.acceleration;
    yy += y * y;
    xy += x * y;
    xx += x * x;
  }
  form[f] = yy;
  form[f + 1] = xy;
  form[f + 2] = xx;
  if (c.dimension === 1) return f + 4;
  // a c - b^2 from p and q themselves: from a, b, c it would drown in rounding where e is large.
  const d = c.dimension;
  const pq = dotOf(p, q, d);
  const shrink = e / (c.acceleration * c.acceleration);
  form[f + 3] = Math.max(0, dotOf(p, p, d) * dotOf(q, q, d) - pq * pq) * shrink * shrink;
  return f + 4;
}

/** |py y + px x| <= 1; returns where the next limit goes. */
function writeStrip(py: number, px: number, form: Float64Array, f: number): number {
  form[f] = py * py;
  form[f + 1] = py * px;
  form[f + 2] = px * px;
  return f + 4;
}

/** Largest x that the channel allows at a point whatever u is: from its speed, and from |y''| where y' vanishes. */
function largestStill(c: SampledChannel, p: Float64Array, q: Float64Array): number {
  const pp = dotOf(p, p, c.dimension);
  return pp > 0 ? (c.speed * c.speed) / pp : c.acceleration / Math.sqrt(dotOf(q, q, c.dimension));
}

function mostForms(parts: Uint8Array, channels: number): number {
  let most = 0;
  for (let i = 0; i + 1 < parts.length; i++) most += 1 + channels * 4 * (parts[i] + 1);
  return most;
}
