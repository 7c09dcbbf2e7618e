// The highest speed along a path under the limits of any number of channels, with limits that hold between grid points:
// solve by reachability analysis, look at every interval on a grid ten times finer, divide the intervals that exceed a
// limit there, and solve again.
import type { Task } from '../model/task.ts';
import { derivativesAt, dotOf, vectorFor } from './channel.ts';
import { BATCH, highestProfile } from './reach.ts';
import type { MotionProblem } from './step-limits.ts';
import { stepLimits } from './step-limits.ts';

/** Points that an interval is looked at, its ends included: ten steps. */
const LOOKS = 10;

/** Share by which a limit may be exceeded between grid points before an interval is divided. */
const EXCESS = 5e-4;

/** Most parts an interval is divided into, and so the number of rounds. */
const MOST_PARTS = 32;

/** Speeds at the grid points; x = v^2 runs linearly between them. */
export interface HighestSpeed {
  /** n, mm2/s2. */
  readonly x: Float64Array;
  /** Largest utilisation of a limit between grid points on the ten times finer grid, 1 at the limit. */
  readonly utilisation: number;
}

/**
 * Highest profile from `startSpeed` to `endSpeed` (mm/s; wishes: lowered where the limits cannot hold them). Grid points
 * at which a channel is not known (NaN) carry no limit of that channel.
 */
export async function highestSpeed(
  problem: MotionProblem,
  startSpeed: number,
  endSpeed: number,
  task?: Task,
): Promise<HighestSpeed> {
  const parts = new Uint8Array(problem.s.length).fill(1);
  const share = createShare(problem);
  for (;;) {
    const limits = await stepLimits(problem, parts, task);
    const x = await highestProfile(limits, startSpeed * startSpeed, endSpeed * endSpeed, task);
    let worst = 0;
    let divided = false;
    for (let i = 0; i + 1 < x.length; i++) {
      const most = mostUsed(problem, x, i, share);
      worst = Math.max(worst, most);
      if (most > 1 + EXCESS && parts[i] < MOST_PARTS) {
        parts[i] *= 2;
        divided = true;
      }
      if (i % BATCH === 0) await task?.pause('time law', i / x.length);
    }
    if (!divided) return { x, utilisation: worst };
  }
}

/** Vectors that `shareUsed` works in, and what it writes. */
export interface Share {
  readonly p: Float64Array;
  readonly q: Float64Array;
  /** Share of the speed limit and of the acceleration limit: 1 at the limit, 0 where the channel is not known. */
  speed: number;
  acceleration: number;
}

export function createShare(problem: MotionProblem): Share {
  return { p: vectorFor(problem.channels), q: vectorFor(problem.channels), speed: 0, acceleration: 0 };
}

/** Writes to `out` what channel c uses of its limits at share `tau` of interval i under the profile x. */
export function shareUsed(
  problem: MotionProblem,
  x: Float64Array,
  i: number,
  tau: number,
  c: number,
  out: Share,
): void {
  const { p, q } = out;
  const channel = problem.channels[c];
  const d = channel.dimension;
  out.speed = 0;
  out.acceleration = 0;
  if (!derivativesAt(channel, problem.s, i, tau, p, q)) return;
  const here = (1 - tau) * x[i] + tau * x[i + 1];
  const u = (0.5 * (x[i + 1] - x[i])) / (problem.s[i + 1] - problem.s[i]);
  out.speed = Math.sqrt(dotOf(p, p, d) * here) / channel.speed;
  for (let k = 0; k < d; k++) p[k] = p[k] * u + q[k] * here;
  out.acceleration = Math.sqrt(dotOf(p, p, d)) / channel.acceleration;
}

function mostUsed(problem: MotionProblem, x: Float64Array, i: number, share: Share): number {
  let most = 0;
  for (let c = 0; c < problem.channels.length; c++) {
    for (let k = 0; k <= LOOKS; k++) {
      shareUsed(problem, x, i, k / LOOKS, c, share);
      most = Math.max(most, share.speed, share.acceleration);
    }
  }
  return most;
}
