// The speed of the spot along the rows of a seam: the limits of spot, head, source and axes written as channels, the highest
// profile under them, and what holds it down at each row.
import type { Bound, MotionLimits, SpeedProfile } from '../model/timing.ts';
import { BOUNDS } from '../model/timing.ts';
import type { Task } from '../model/task.ts';
import type { Channel, SampledChannel } from './channel.ts';
import { sampleChannel } from './channel.ts';
import { createShare, highestSpeed, shareUsed } from './highest-speed.ts';
import type { MotionProblem } from './step-limits.ts';

/** A channel's limits and the names of what its speed and its acceleration limit are called. */
interface NamedChannel {
  readonly channel: Channel;
  readonly speedBound: Bound;
  readonly accelerationBound: Bound;
}

/** Squared speed within which a row counts as held by a limit, relative: the collocation tolerance of the solver. */
const HELD = 1e-6;

/**
 * Highest speed under all limits, constant where nothing but the process speed binds. A start or end speed that the
 * limits cannot hold is lowered (the profile's own ends say to what). Rows with NaN in a limit carry no limit of that
 * kind: whoever gives it must say so elsewhere. A kink is driven as if it were rounded over the rows on either side.
 */
export async function solveSpeed(limits: MotionLimits, task?: Task): Promise<SpeedProfile> {
  const { s } = limits;
  const named = channelsOf(limits);
  const channels: SampledChannel[] = [];
  for (const { channel } of named) {
    channels.push(sampleChannel(channel, s));
    await task?.pause('time law', 0);
  }
  const problem: MotionProblem = {
    s,
    cap: capsOf(limits),
    acceleration: limits.spotAcceleration,
    channels,
  };
  const { x } = await highestSpeed(problem, limits.startSpeed, limits.endSpeed, task);
  return { ...timesOf(s, x, problem), bound: boundsOf(limits, problem, named, x) };
}

function channelsOf(limits: MotionLimits): NamedChannel[] {
  const m = limits.s.length;
  const none = new Float64Array(m);
  const free = Number.POSITIVE_INFINITY;
  const scalar = { dimension: 1, d1: none, d2: none, speed: free, acceleration: free };
  return [
    {
      channel: { ...scalar, d2: limits.curvature, acceleration: limits.normalAcceleration },
      speedBound: 'normal-acceleration',
      accelerationBound: 'normal-acceleration',
    },
    {
      // v <= vP is |v / vP| <= 1; with the beam off vP is infinite and nothing is asked.
      channel: { ...scalar, d1: limits.powerSpeed.map((v) => 1 / v), speed: 1 },
      speedBound: 'source-power',
      accelerationBound: 'source-power',
    },
    {
      channel: {
        dimension: 3,
        d1: limits.headD1,
        d2: limits.headD2,
        speed: limits.headSpeed,
        acceleration: limits.headAcceleration,
      },
      speedBound: 'head-speed',
      accelerationBound: 'head-acceleration',
    },
    {
      channel: {
        dimension: 3,
        d1: limits.turnD1,
        d2: limits.turnD2,
        speed: limits.headTurn,
        acceleration: limits.headTurnAcceleration,
      },
      speedBound: 'head-turn',
      accelerationBound: 'head-turn-acceleration',
    },
    ...limits.axes.map(
      ({ between, ...axis }): NamedChannel => ({
        channel: { dimension: 1, ...axis, spline: between },
        speedBound: 'axis-speed',
        accelerationBound: 'axis-acceleration',
      }),
    ),
  ];
}

/** Squared speed of the process, 0 at stops; at a kink the one at which the turn over half of both neighbours keeps to a_n. */
function capsOf(limits: MotionLimits): Float64Array {
  const { s, stop, kink, speed, normalAcceleration } = limits;
  const last = s.length - 1;
  return s.map((_, i) => {
    if (stop[i]) return 0;
    const reach = (s[Math.min(i + 1, last)] - s[Math.max(i - 1, 0)]) / 2;
    return kink[i] > 0 ? Math.min(speed * speed, (normalAcceleration * reach) / kink[i]) : speed * speed;
  });
}

function timesOf(s: Float64Array, x: Float64Array, problem: MotionProblem): Omit<SpeedProfile, 'bound'> {
  const m = s.length;
  const speed = x.map((v) => Math.sqrt(v));
  const acceleration = new Float64Array(m);
  const time = new Float64Array(m);
  for (let i = 0; i + 1 < m; i++) {
    const h = s[i + 1] - s[i];
    const sum = speed[i] + speed[i + 1];
    acceleration[i] = (0.5 * (x[i + 1] - x[i])) / h;
    time[i + 1] = time[i] + (sum > 0 ? (2 * h) / sum : timeFromStopToStop(problem, i));
  }
  return { speed, acceleration, time };
}

/** Time from rest to rest across one interval: half of it speeding up, half slowing down, at what both ends allow. */
function timeFromStopToStop(problem: MotionProblem, i: number): number {
  let a = problem.acceleration;
  for (const c of problem.channels) {
    for (const end of [i, i + 1]) {
      let square = 0;
      for (let k = c.dimension * end; k < c.dimension * (end + 1); k++) square += c.d1[k] * c.d1[k];
      if (c.known[end] && square > 0) a = Math.min(a, c.acceleration / Math.sqrt(square));
    }
  }
  return 2 * Math.sqrt((problem.s[i + 1] - problem.s[i]) / a);
}

/** What each row is held by: its own cap, else the limit used most at the row, on the interval before it or behind it. */
function boundsOf(
  limits: MotionLimits,
  problem: MotionProblem,
  named: readonly NamedChannel[],
  x: Float64Array,
): Uint8Array {
  const last = x.length - 1;
  const share = createShare(problem);
  return Uint8Array.from(x, (here, i) => {
    if (here >= problem.cap[i] * (1 - HELD)) {
      return BOUNDS.indexOf(problem.cap[i] < limits.speed * limits.speed ? 'corner' : 'process-speed');
    }
    let bound: Bound = 'process-speed';
    let most = 0;
    const offer = (used: number, name: Bound) => {
      if (used > most) {
        most = used;
        bound = name;
      }
    };
    for (const before of [true, false]) {
      const interval = before ? i - 1 : i;
      if (interval < 0 || interval >= last) continue;
      const u = (0.5 * (x[interval + 1] - x[interval])) / (problem.s[interval + 1] - problem.s[interval]);
      named.forEach(({ speedBound, accelerationBound }, c) => {
        shareUsed(problem, x, interval, before ? 1 : 0, c, share);
        offer(share.speed, speedBound);
        offer(share.acceleration, accelerationBound);
      });
      offer(Math.abs(u) / problem.acceleration, 'spot-acceleration');
    }
    return BOUNDS.indexOf(bound);
  });
}
