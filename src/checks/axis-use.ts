// What each axis of the arm uses of its speed and of its acceleration under the time law: q' v, and q' u + q'' v2 with the
// spot's own acceleration u on either side of a row.
import type { Arm } from '../model/arm.ts';
import type { Posture } from '../model/posture.ts';
import type { Timing } from '../model/timing.ts';

/** Largest shares of one axis, 1 at its limit, and the rows where it uses them; row -1 where none is known. */
export interface AxisUse {
  readonly speed: number;
  readonly speedRow: number;
  readonly acceleration: number;
  readonly accelerationRow: number;
}

type Limits = Arm['axes'][number];

/** Shares of one axis at a row: of its speed, and of its acceleration on the interval before the row or behind it. */
function useAt(axis: Limits, j: number, posture: Posture, timing: Timing, row: number): [number, number] {
  const first = posture.angleD1[posture.axes * row + j];
  const second = posture.angleD2[posture.axes * row + j];
  const v = timing.speed[row];
  const pull = (u: number) => Math.abs(first * u + second * v * v);
  const most = Math.max(pull(timing.acceleration[row]), row > 0 ? pull(timing.acceleration[row - 1]) : 0);
  return [Math.abs(first * v) / axis.speed, most / axis.acceleration];
}

/** One for each axis. */
export function axisUse({ axes }: Pick<Arm, 'axes'>, posture: Posture, timing: Timing): AxisUse[] {
  return axes.map((axis, j) => {
    const use = { speed: 0, speedRow: -1, acceleration: 0, accelerationRow: -1 };
    for (let i = 0; i < posture.count; i++) {
      const [speed, acceleration] = useAt(axis, j, posture, timing, i);
      if (speed > use.speed) Object.assign(use, { speed, speedRow: i });
      if (acceleration > use.acceleration) Object.assign(use, { acceleration, accelerationRow: i });
    }
    return use;
  });
}

/** The axis that uses most of its speed or its acceleration at a row. */
export function busiestAxis({ axes }: Pick<Arm, 'axes'>, posture: Posture, timing: Timing, row: number): number {
  const shares = axes.map((axis, j) => Math.max(...useAt(axis, j, posture, timing, row)));
  return shares.indexOf(Math.max(...shares));
}
