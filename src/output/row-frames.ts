// Tool frames row by row: the stations' quaternions, turned about the beam as the arm holds the head, with signs that go on
// over the closing point of a closed seam.
import { cos, sin } from '../geometry/elementary.ts';
import { alignSigns, multiply } from '../geometry/quaternion.ts';
import type { SeamPlan } from '../planner/plan.ts';

/** Unit quaternions w x y z, 4 x rows; NaN where the frame is unknown. */
export function rowFrames({ path, aim, carried }: SeamPlan): Float64Array {
  const { count, station } = path.rows;
  const frame = new Float64Array(4 * count);
  for (let row = 0; row < count; row++) {
    frame.set(aim.frame.subarray(4 * station[row], 4 * station[row] + 4), 4 * row);
    if (carried === null) continue;
    const half = carried.stand.turn[row] / 2;
    multiply(frame, 4 * row, Float64Array.of(cos(half), 0, 0, sin(half)), 0, frame, 4 * row);
  }
  alignSigns(frame, count);
  return frame;
}
