// The ladder that the posture search climbs: for every row and every turn of the tool about the beam, the postures that
// reach it within the limits. Closed form where the arm has one; else lanes followed from row to row by the numeric
// solver, begun from a fixed set of seeds.
import type { Rigid } from '../geometry/rigid.ts';
import type { Task } from '../model/task.ts';
import { follow, type Kinematics, lift, solveAll } from './kinematics.ts';
import { solveChain } from './chain-kinematics.ts';
import { BRANCHES, holdWrist } from './opw-kinematics.ts';
import { flangePose, type ToolPath } from './tool-path.ts';

const TWO_PI = 2 * Math.PI;
/** An axis that may turn more than this often is searched over so many turns about the middle of its range or home. */
const MOST_TURNS = 3;

/** Postures over rows x turns x branches. */
export interface Ladder {
  /** Rows m, turns T, branches B, axes n. */
  readonly rows: number;
  readonly turns: number;
  readonly branches: number;
  readonly axes: number;
  /** Arc length, m, mm, strictly increasing. */
  readonly s: Float64Array;
  /** Turn of each grid place, T, rad; evenly spaced round the circle when T > 1. */
  readonly turn: Float64Array;
  /** Angles, n x B x T x m (axis fastest), rad, each the smallest within its limits; NaN where there is no posture. */
  readonly angle: Float32Array;
  /** Limits within which the angles are unwrapped, n, rad, finite. */
  readonly min: Float64Array;
  readonly max: Float64Array;
  /** Largest speed of each axis, n, rad/s. */
  readonly speed: Float64Array;
  /** 1 where a posture of one branch may go on in another, B x B: never from shoulder to shoulder or elbow to elbow. */
  readonly passes: Uint8Array;
}

/** Limits for the search: those of the axes, with endless or many-turn axes cut to a few turns about `home`. */
function searchRange(arm: Kinematics, home: ArrayLike<number>): { min: Float64Array; max: Float64Array } {
  const min = Float64Array.from(arm.min);
  const max = Float64Array.from(arm.max);
  for (let j = 0; j < arm.axes; j++) {
    if (max[j] - min[j] <= MOST_TURNS * TWO_PI) continue;
    min[j] = Math.max(min[j], home[j] - MOST_TURNS * Math.PI);
    max[j] = Math.min(max[j], min[j] + MOST_TURNS * TWO_PI);
    min[j] = Math.max(arm.min[j], max[j] - MOST_TURNS * TWO_PI);
  }
  return { min, max };
}

export interface LadderSettings {
  /** Turns of the tool about the beam to look at, rad. */
  readonly turn: Float64Array;
  readonly toolToFlange: Rigid;
  /** Posture that many-turn axes are unwrapped about and numeric lanes begin from, n, rad. */
  readonly home: ArrayLike<number>;
  /** Largest change of an axis from row to row when lanes are followed, rad. */
  readonly jump: number;
}

export async function buildLadder(
  arm: Kinematics,
  path: ToolPath,
  settings: LadderSettings,
  task: Task,
): Promise<Ladder> {
  const { turn } = settings;
  const n = arm.axes;
  const branches = BRANCHES;
  const angle = new Float32Array(path.count * turn.length * branches * n).fill(Number.NaN);
  const { min, max } = searchRange(arm, settings.home);
  const passes = new Uint8Array(branches * branches);
  for (let a = 0; a < branches; a++) {
    for (let b = 0; b < branches; b++) passes[branches * a + b] = arm.model === null || a >> 1 === b >> 1 ? 1 : 0;
  }
  const ladder = {
    rows: path.count,
    turns: turn.length,
    branches,
    axes: n,
    s: path.s,
    turn,
    angle,
    min,
    max,
    speed: arm.speed,
    passes,
  };
  if (arm.model === null) {
    await fillByFollowing(arm, path, settings, ladder, task);
    await fillBackward(arm, path, settings, ladder, task);
  } else await fillInClosedForm(arm, path, settings, ladder, task);
  if (path.round !== null) {
    // The same station: the same postures, to the last bit.
    const size = turn.length * branches * n;
    angle.copyWithin(path.round.to * size, path.round.from * size, (path.round.from + 1) * size);
  }
  return ladder;
}

async function fillInClosedForm(
  arm: Kinematics,
  path: ToolPath,
  { turn, toolToFlange }: LadderSettings,
  ladder: Ladder,
  task: Task,
): Promise<void> {
  const pose = new Float64Array(12);
  const { solutions } = arm;
  const size = 6 * BRANCHES;
  for (let i = 0; i < path.count; i++) {
    if ((i & 15) === 0) await task.pause('solving for postures', i / path.count);
    for (let t = 0; t < turn.length; t++) {
      flangePose(path.position, 3 * i, path.frame, 4 * i, turn[t], toolToFlange, pose, 0);
      const mask = solveAll(arm, pose, 0);
      const at = size * (i * turn.length + t);
      if (mask >> BRANCHES !== 0 && i > 0) holdStraightWrists(arm, mask, ladder.angle, at - size * turn.length);
      for (let b = 0; b < BRANCHES; b++) {
        if ((mask & (1 << b)) !== 0) store(ladder, solutions, 6 * b, at + 6 * b);
      }
    }
  }
}

/** A straight wrist leaves axis 4 free: it keeps what it had in the row before, branch by branch. */
function holdStraightWrists(arm: Kinematics, mask: number, angle: Float32Array, before: number): void {
  if (arm.model === null) return;
  for (let b = 0; b < BRANCHES; b++) {
    const kept = angle[before + 6 * b + 3];
    if ((mask & (1 << (BRANCHES + (b >> 1)))) !== 0 && !Number.isNaN(kept))
      holdWrist(arm.model, arm.solutions, 6 * b, kept);
  }
}

/** Writes a posture to the ladder if its angles, unwrapped, lie within the limits. */
function store(ladder: Ladder, q: Float64Array, k: number, at: number): void {
  const { min, max, angle, axes } = ladder;
  for (let j = 0; j < axes; j++) {
    const lifted = lift(q[k + j], min[j]);
    if (!(lifted <= max[j] + 1e-9)) {
      angle.fill(Number.NaN, at, at + axes);
      return;
    }
    angle[at + j] = lifted;
  }
}

/** Seeds tried for a row with no lane, how many of them at turns after the first, and how many rows pass until they are tried again. */
const SEEDS = 48;
const FEW_SEEDS = 4;
const RETRY = 32;

async function fillByFollowing(
  arm: Kinematics,
  path: ToolPath,
  settings: LadderSettings,
  ladder: Ladder,
  task: Task,
): Promise<void> {
  const { turn, toolToFlange, jump } = settings;
  const n = arm.axes;
  const size = n * BRANCHES;
  const lane = new Float64Array(size * turn.length).fill(Number.NaN);
  const pose = new Float64Array(12);
  const seeds = seedPostures(ladder, settings.home);
  for (let i = 0; i < path.count; i++) {
    for (let t = 0; t < turn.length; t++) {
      if ((t & 7) === 0) await task.pause('solving for postures', (i + t / turn.length) / path.count);
      flangePose(path.position, 3 * i, path.frame, 4 * i, turn[t], toolToFlange, pose, 0);
      let alive = 0;
      for (let b = 0; b < BRANCHES; b++) {
        const k = size * t + n * b;
        if (!Number.isNaN(lane[k]) && !follow(arm, pose, 0, lane, k, jump)) lane.fill(Number.NaN, k, k + n);
        // A lane that is not there goes on from the same lane of the turn before.
        if (Number.isNaN(lane[k]) && t > 0 && !Number.isNaN(lane[k - size])) {
          lane.copyWithin(k, k - size, k - size + n);
          if (!follow(arm, pose, 0, lane, k, Math.PI)) lane.fill(Number.NaN, k, k + n);
        }
        if (!Number.isNaN(lane[k])) alive++;
      }
      if (alive === 0 && i % RETRY === 0) {
        beginLanes(arm, pose, t === 0 ? seeds : seeds.slice(0, FEW_SEEDS), lane, size * t);
      }
      for (let b = 0; b < BRANCHES; b++) {
        const k = size * t + n * b;
        if (!Number.isNaN(lane[k])) store(ladder, lane, k, size * (i * turn.length + t) + n * b);
      }
    }
  }
}

/** Lanes that begin at a row are followed back from there, as far as they go: they were there before they were found. */
async function fillBackward(
  arm: Kinematics,
  path: ToolPath,
  { turn, toolToFlange, jump }: LadderSettings,
  ladder: Ladder,
  task: Task,
): Promise<void> {
  const n = arm.axes;
  const size = n * BRANCHES;
  const pose = new Float64Array(12);
  const q = new Float64Array(n);
  for (let i = path.count - 2; i >= 0; i--) {
    await task.pause('solving for postures', 1 - i / path.count);
    for (let t = 0; t < turn.length; t++) {
      const at = size * (i * turn.length + t);
      const next = at + size * turn.length;
      flangePose(path.position, 3 * i, path.frame, 4 * i, turn[t], toolToFlange, pose, 0);
      for (let k = 0; k < size; k += n) {
        if (!Number.isNaN(ladder.angle[at + k]) || Number.isNaN(ladder.angle[next + k])) continue;
        q.set(ladder.angle.subarray(next + k, next + k + n));
        if (follow(arm, pose, 0, q, 0, jump)) store(ladder, q, 0, at + k);
      }
    }
  }
}

/** Home, and postures spread over the limits by the fractional parts of multiples of irrational numbers (Richtmyer 1951). */
function seedPostures(ladder: Ladder, home: ArrayLike<number>): Float64Array[] {
  const seeds = [Float64Array.from(home)];
  const primes = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29];
  for (let i = 1; i < SEEDS; i++) {
    seeds.push(
      Float64Array.from({ length: ladder.axes }, (_, j) => {
        const x = i * Math.sqrt(primes[j % primes.length]);
        return ladder.min[j] + (x - Math.floor(x)) * (ladder.max[j] - ladder.min[j]);
      }),
    );
  }
  return seeds;
}

/** Solutions of a pose from the seeds, each once, into the lanes at lane[k..]. */
function beginLanes(arm: Kinematics, pose: Float64Array, seeds: Float64Array[], lane: Float64Array, k: number): void {
  const n = arm.axes;
  const q = new Float64Array(n);
  let found = 0;
  for (const seed of seeds) {
    if (found === BRANCHES) return;
    q.set(seed);
    if (!solveChain(arm.chain, pose, 0, q, 0, arm.space)) continue;
    let known = false;
    for (let b = 0; b < found && !known; b++) {
      known = true;
      for (let j = 0; j < n; j++) {
        const d = q[j] - lane[k + n * b + j];
        if (Math.abs(d - TWO_PI * Math.round(d / TWO_PI)) > 1e-3) known = false;
      }
    }
    if (!known) lane.set(q, k + n * found++);
  }
}
