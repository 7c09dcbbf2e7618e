// Postures along the rows for a given turn of the tool, each the one closest to that of the row before, and what they cost.
import type { Rigid } from '../geometry/rigid.ts';
import { beyondLimits, follow, type Kinematics } from './kinematics.ts';
import { limitPrice, type SearchSettings } from './search-posture.ts';
import { flangePose, type ToolPath } from './tool-path.ts';

/** Rows `from` .. `to` (inclusive), all with a posture, none of them left out between. */
export interface Run {
  readonly from: number;
  readonly to: number;
}

/** The runs of rows whose node is not -1. */
export function runsOf(node: Int32Array): Run[] {
  const runs: Run[] = [];
  for (let i = 0; i < node.length; i++) {
    if (node[i] < 0) continue;
    const from = i;
    while (i + 1 < node.length && node[i + 1] >= 0) i++;
    runs.push({ from, to: i });
  }
  return runs;
}

/**
 * Joint angles (n x m, rad; NaN outside the runs) that carry the tool, turned by turn[i] about its z, over the rows. At the
 * first row of a run the posture closest to `start` (n x m) there is taken, then each the closest to the one before. Null
 * where an axis would jump by more than `jump` or pass its limit.
 */
export function followPath(
  arm: Kinematics,
  path: ToolPath,
  toolToFlange: Rigid,
  turn: Float64Array,
  runs: readonly Run[],
  start: Float64Array,
  jump: number,
): Float64Array | null {
  const n = arm.axes;
  const angle = new Float64Array(start.length).fill(Number.NaN);
  const pose = new Float64Array(12);
  for (const { from, to } of runs) {
    for (let i = from; i <= to; i++) {
      flangePose(path.position, 3 * i, path.frame, 4 * i, turn[i], toolToFlange, pose, 0);
      const source = i === from ? start.subarray(n * i, n * i + n) : angle.subarray(n * (i - 1), n * i);
      angle.set(source, n * i);
      if (!follow(arm, pose, 0, angle, n * i, jump)) return null;
      if (beyondLimits(arm, angle, n * i).axis >= 0) return null;
    }
  }
  return angle;
}

/** What the search charges for these postures, s, without rows left out. */
export function pathCost(
  arm: Kinematics,
  path: ToolPath,
  angle: Float64Array,
  runs: readonly Run[],
  settings: SearchSettings,
): number {
  const n = arm.axes;
  let cost = 0;
  let before = 0;
  for (const { from, to } of runs) {
    for (let i = from; i <= to; i++) {
      const time = (path.s[i] - path.s[i - 1]) / settings.speed;
      let slowest = 0;
      let squares = 0;
      let price = 0;
      for (let j = 0; j < n; j++) {
        const q = angle[n * i + j];
        price += limitPrice(Math.min(q - arm.min[j], arm.max[j] - q), settings);
        const share = i > from ? Math.abs(q - angle[n * (i - 1) + j]) / arm.speed[j] : 0;
        slowest = Math.max(slowest, share);
        squares += share * share;
      }
      // Limits by the trapezium rule: each row for half of the steps beside it.
      if (i > from)
        cost += Math.max(time, slowest) + (settings.smoothness * squares) / time + ((before + price) * time) / 2;
      before = price;
    }
  }
  return cost;
}
