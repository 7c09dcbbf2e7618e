// Which of the up to eight ways a posture stands in: shoulder, elbow and wrist of an arm with a spherical wrist.
import { cos, sin } from '../geometry/elementary.ts';
import type { Arm } from '../model/arm.ts';

/**
 * For each posture of `angle` (6 x m, rad) the branch as `inverse` numbers it: 4 with the wrist behind axis 1, 2 with the forearm
 * bent back from the upper arm's line, 1 with the wrist flipped (t5 < 0); -1 without a posture, and for a general chain.
 */
export function branchesOf(arm: Arm, angle: Float64Array): Int8Array {
  const { model } = arm;
  const m = angle.length / arm.axes.length;
  if (model.kind !== 'ortho-parallel') return new Int8Array(m).fill(-1);
  const { a1, a2, c2, c3, signs, offsets } = model;
  return Int8Array.from({ length: m }, (_, i) => {
    if (Number.isNaN(angle[6 * i])) return -1;
    const [, t2, t3, , t5] = signs.map((sign, j) => sign * angle[6 * i + j] - offsets[j]);
    const across = a2 * cos(t3) + c3 * sin(t3);
    const forward = a1 + c2 * sin(t2) + a2 * cos(t2 + t3) + c3 * sin(t2 + t3);
    return (forward < 0 ? 4 : 0) + (across < 0 ? 2 : 0) + (sin(t5) < 0 ? 1 : 0);
  });
}
