// Tool frames row by row: the stations' quaternions, with signs that go on over the closing point of a closed seam.
import { alignSigns } from '../geometry/quaternion.ts';
import type { SeamPlan } from '../planner/plan.ts';

/** Unit quaternions w x y z, 4 x rows; NaN where the frame is unknown. */
export function rowFrames({ path, aim }: SeamPlan): Float64Array {
  const { count, station } = path.rows;
  const frame = new Float64Array(4 * count);
  for (let row = 0; row < count; row++) {
    frame.set(aim.frame.subarray(4 * station[row], 4 * station[row] + 4), 4 * row);
  }
  alignSigns(frame, count);
  return frame;
}
