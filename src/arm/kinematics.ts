// One way to ask any arm for its postures: closed form where the geometry allows it, numeric elsewhere, within the limits
// of axes and umbilical.
import { invertRigid, rigidFromAngles } from '../geometry/rigid.ts';
import type { Arm, OrthoParallel } from '../model/arm.ts';
import type { Head } from '../model/head.ts';
import { type Chain, chainOf, compose, type SolverSpace, solveChain, solverSpace } from './chain-kinematics.ts';
import { BRANCHES, holdWrist, inverse, SOLUTION_SIZE } from './opw-kinematics.ts';

/** Rounding that a limit forgives, rad. */
const FORGIVEN = 1e-9;
const TWO_PI = 2 * Math.PI;

/** An arm laid out for computing; poses are flange poses in the arm's base frame. */
export interface Kinematics {
  /** Number of axes, n. */
  readonly axes: number;
  readonly chain: Chain;
  /** The closed form, or null for a general chain. */
  readonly model: OrthoParallel | null;
  /** Limits, n, rad, those of the umbilical on the last axis included. */
  readonly min: Float64Array;
  readonly max: Float64Array;
  /** n, rad/s and rad/s2. */
  readonly speed: Float64Array;
  readonly acceleration: Float64Array;
  /** Inverse of the model's base as 12 numbers. */
  readonly fromBase: Float64Array;
  readonly space: SolverSpace;
  /** A pose in the model's root, and all solutions of it. */
  readonly local: Float64Array;
  readonly solutions: Float64Array;
}

/** Lays an arm out; the head's umbilical narrows the last axis. */
export function kinematicsOf(arm: Arm, umbilical: Head['umbilical']): Kinematics {
  const chain = chainOf(arm);
  const n = chain.count;
  const min = Float64Array.from(arm.axes, (axis) => axis.min);
  const max = Float64Array.from(arm.axes, (axis) => axis.max);
  if (umbilical !== null) {
    min[n - 1] = Math.max(min[n - 1], umbilical.neutral - umbilical.limit);
    max[n - 1] = Math.min(max[n - 1], umbilical.neutral + umbilical.limit);
  }
  const inverseBase = invertRigid(rigidFromAngles(arm.base.position, arm.base.rotation));
  return {
    axes: n,
    chain,
    model: arm.model.kind === 'ortho-parallel' ? arm.model : null,
    min,
    max,
    speed: Float64Array.from(arm.axes, (axis) => axis.speed),
    acceleration: Float64Array.from(arm.axes, (axis) => axis.acceleration),
    fromBase: Float64Array.of(...inverseBase.rotation, ...inverseBase.translation),
    space: solverSpace(chain),
    local: new Float64Array(12),
    solutions: new Float64Array(SOLUTION_SIZE),
  };
}

/** All closed-form solutions of pose[at..] into `arm.solutions`; mask as `inverse` gives it. For ortho-parallel arms. */
export function solveAll(arm: Kinematics, pose: Float64Array, at: number): number {
  if (arm.model === null) throw new Error('an arm without a closed form has no list of solutions');
  compose(arm.fromBase, 0, pose, at, arm.local, 0);
  return inverse(arm.model, arm.local, 0, arm.solutions);
}

/**
 * The posture at pose[at..] that lies closest to q[k..k+n-1] (rad, overwritten): every angle taken to the turn nearest to
 * the one before. `jump`: largest change of an axis, rad. Limits are not looked at. Returns false, with q untouched,
 * where the arm has no such posture.
 */
export function follow(
  arm: Kinematics,
  pose: Float64Array,
  at: number,
  q: Float64Array,
  k: number,
  jump: number,
): boolean {
  const n = arm.axes;
  if (arm.model === null) {
    const before = q.slice(k, k + n);
    let near = solveChain(arm.chain, pose, at, q, k, arm.space);
    for (let j = 0; j < n && near; j++) near = Math.abs(q[k + j] - before[j]) <= jump;
    if (!near) q.set(before, k);
    return near;
  }
  const mask = solveAll(arm, pose, at);
  const { solutions } = arm;
  if (mask >> BRANCHES !== 0) {
    for (let b = 0; b < BRANCHES; b++) {
      if ((mask & (1 << (BRANCHES + (b >> 1)))) !== 0) holdWrist(arm.model, solutions, 6 * b, q[k + 3]);
    }
  }
  let best = -1;
  let least = jump;
  for (let b = 0; b < BRANCHES; b++) {
    if ((mask & (1 << b)) === 0) continue;
    let largest = 0;
    for (let j = 0; j < 6; j++) {
      const d = solutions[6 * b + j] - q[k + j];
      largest = Math.max(largest, Math.abs(d - TWO_PI * Math.round(d / TWO_PI)));
    }
    if (largest <= least) {
      least = largest;
      best = b;
    }
  }
  if (best < 0) return false;
  for (let j = 0; j < 6; j++) q[k + j] = nearestTurn(solutions[6 * best + j], q[k + j]);
  return true;
}

/** The angle plus the whole turns that bring it closest to `near`, rad. */
export const nearestTurn = (angle: number, near: number): number =>
  angle - TWO_PI * Math.round((angle - near) / TWO_PI);

/** By how much the posture q[k..] lies beyond the axes' limits (rad, 0 within), and which axis does so most. */
export function beyondLimits(
  arm: Kinematics,
  q: Float64Array,
  k: number,
): { readonly excess: number; readonly axis: number } {
  let excess = FORGIVEN;
  let axis = -1;
  for (let j = 0; j < arm.axes; j++) {
    const over = Math.max(q[k + j] - arm.max[j], arm.min[j] - q[k + j]);
    if (over > excess) {
      excess = over;
      axis = j;
    }
  }
  return { excess: axis < 0 ? 0 : excess, axis };
}

/** The angle as the smallest one at or above `min` that differs by whole turns, rad; as it is where there is no such limit. */
export function lift(angle: number, min: number): number {
  if (min === Number.NEGATIVE_INFINITY) return angle;
  const lifted = angle + TWO_PI * Math.ceil((min - FORGIVEN - angle) / TWO_PI);
  return Math.max(lifted, min);
}
