// Names the stretches that the arm cannot do, and why: nothing reaches them, a limit stands in the way, or there are
// postures but no way from one to the next.
import type { Rigid } from '../geometry/rigid.ts';
import type { Blocked } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import type { Ladder } from './build-ladder.ts';
import { solveChain } from './chain-kinematics.ts';
import { beyondLimits, follow, type Kinematics, lift, solveAll } from './kinematics.ts';
import { BRANCHES, reachMargin } from './opw-kinematics.ts';
import { flangePose, type ToolPath } from './tool-path.ts';

/** Change of an axis up to which a posture counts as going on from another, rad. */
const JUMP = 0.5;

type Cause = Pick<Blocked, 'why' | 'axis' | 'excess'>;

/** Postures found so far: turn (m, rad) and angles (n x m, rad), NaN in rows without one. */
interface Found {
  readonly turn: Float64Array;
  readonly angle: Float64Array;
}

/**
 * The rows whose node is -1 as stretches of one cause each. `turns`: places of the ladder's grid that the path could have
 * used there (one for a constant turn).
 */
export async function nameBlocked(
  arm: Kinematics,
  path: ToolPath,
  ladder: Ladder,
  node: Int32Array,
  found: Found,
  turns: readonly number[],
  toolToFlange: Rigid,
  task: Task,
): Promise<Blocked[]> {
  const blocked: Blocked[] = [];
  // A numeric solution that fails takes long: a few turns must do.
  const looked = arm.model === null ? turns.filter((_, t) => t % 12 === 0) : turns;
  for (let i = 0; i < node.length; i++) {
    if (node[i] >= 0) continue;
    await task.pause('naming what stands in the way', i / node.length);
    const local = causeAt(arm, path, ladder, i, turns, looked, toolToFlange);
    const cause = local.why === 'no-continuous-branch' ? whyNoWay(arm, path, found, i, toolToFlange) : local;
    const last = blocked.at(-1);
    if (last !== undefined && last.lastRow === i - 1 && last.why === cause.why && last.axis === cause.axis) {
      const excess = Math.max(last.excess, cause.excess);
      blocked[blocked.length - 1] = { ...last, lastRow: i, to: path.s[i], excess };
    } else {
      blocked.push({ firstRow: i, lastRow: i, from: path.s[i], to: path.s[i], ...cause });
    }
  }
  return blocked;
}

/** Why a row has no posture: of the turns looked at and their branches, the one that misses by least. */
function causeAt(
  arm: Kinematics,
  path: ToolPath,
  ladder: Ladder,
  row: number,
  turns: readonly number[],
  looked: readonly number[],
  toolToFlange: Rigid,
): Cause {
  const pose = new Float64Array(12);
  const q = new Float64Array(arm.axes);
  let reach = Number.NEGATIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  let axis = -1;
  const weigh = (): void => {
    const missed = missedLimit(arm, q);
    if (missed.excess < least) {
      least = missed.excess;
      axis = missed.axis;
    }
  };
  for (const t of turns) {
    const at = ladder.axes * ladder.branches * (row * ladder.turns + t);
    for (let b = 0; b < ladder.branches; b++) {
      const first = ladder.angle[at + ladder.axes * b];
      if (!Number.isNaN(first)) return { why: 'no-continuous-branch', axis: -1, excess: 0 };
    }
  }
  for (const t of looked) {
    flangePose(path.position, 3 * row, path.frame, 4 * row, ladder.turn[t], toolToFlange, pose, 0);
    if (arm.model === null) {
      q.set(ladder.min.map((min, j) => (min + ladder.max[j]) / 2));
      if (solveChain(arm.chain, pose, 0, q, 0, arm.space)) weigh();
      continue;
    }
    const mask = solveAll(arm, pose, 0);
    reach = Math.max(reach, reachMargin(arm.model, arm.local, 0));
    for (let b = 0; b < BRANCHES; b++) {
      if ((mask & (1 << b)) === 0) continue;
      q.set(arm.solutions.subarray(6 * b, 6 * b + 6));
      weigh();
    }
  }
  if (axis >= 0) return { why: 'joint-limit', axis, excess: least };
  return { why: 'out-of-reach', axis: -1, excess: arm.model === null ? Number.NaN : Math.max(-reach, 0) };
}

/**
 * Why the arm cannot go on although the row has postures: going on as it stands in the row before (else backward from the row
 * after) takes an axis past its limit sooner or later, or no posture is near enough. `excess`: how far that axis would have
 * to go beyond its limit until the path's end.
 */
function whyNoWay(arm: Kinematics, path: ToolPath, found: Found, row: number, toolToFlange: Rigid): Cause {
  const n = arm.axes;
  const pose = new Float64Array(12);
  for (const step of [1, -1]) {
    const turn = found.turn[row - step];
    if (turn === undefined || Number.isNaN(turn)) continue;
    const q = found.angle.slice(n * (row - step), n * (row - step) + n);
    let axis = -1;
    let excess = 0;
    for (let i = row; i >= 0 && i < path.count; i += step) {
      flangePose(path.position, 3 * i, path.frame, 4 * i, turn, toolToFlange, pose, 0);
      if (!follow(arm, pose, 0, q, 0, JUMP)) break;
      if (axis < 0) axis = beyondLimits(arm, q, 0).axis;
      if (axis >= 0) excess = Math.max(excess, q[axis] - arm.max[axis], arm.min[axis] - q[axis]);
    }
    if (axis >= 0) return { why: 'joint-limit', axis, excess };
  }
  return { why: 'no-continuous-branch', axis: -1, excess: 0 };
}

/** By how much a posture misses its limits with each angle taken to the whole turn that misses by least. */
function missedLimit(arm: Kinematics, q: Float64Array): { readonly excess: number; readonly axis: number } {
  for (let j = 0; j < arm.axes; j++) {
    const above = lift(q[j], arm.min[j]);
    const below = above - 2 * Math.PI;
    q[j] = above - arm.max[j] > arm.min[j] - below ? below : above;
  }
  return beyondLimits(arm, q, 0);
}
