// The power asked for along a straight way driven at stretches of even speed or even acceleration, by the closed forms of
// uniformly accelerated motion: proportional to the speed, 1 W for 1 mm/s, so that powers read as speeds.
import type { Judging } from '../../src/motion/best-lead.ts';

/** From one speed to another (mm/s) at an acceleration (mm/s2, by size); or, where they are equal, for so long (s). */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly acceleration?: number;
  readonly lasts?: number;
}

const timeOf = ({ from, to, acceleration = Number.NaN, lasts = 0 }: Stretch): number =>
  from === to ? lasts : Math.abs(to - from) / acceleration;

/** Speed at a time since the start, mm/s. */
export function speedAt(stretches: readonly Stretch[], t: number): number {
  let since = t;
  for (const stretch of stretches) {
    const time = timeOf(stretch);
    if (since <= time) return stretch.from + (since / time) * (stretch.to - stretch.from);
    since -= time;
  }
  return Number.NaN;
}

/** Rows about `step` s apart, one at every seam of two stretches; beam on and in full throughout. */
export function drivenPower(stretches: readonly Stretch[], step: number, band = 0.1): Judging {
  const time = [0];
  const power = [stretches[0].from];
  const s = [0];
  for (const stretch of stretches) {
    const [t0, s0] = [time[time.length - 1], s[s.length - 1]];
    const lasts = timeOf(stretch);
    const parts = Math.max(1, Math.round(lasts / step));
    for (let k = 1; k <= parts; k++) {
      const v = stretch.from + (k / parts) * (stretch.to - stretch.from);
      time.push(t0 + (k / parts) * lasts);
      power.push(v);
      s.push(s0 + ((stretch.from + v) / 2) * (k / parts) * lasts);
    }
  }
  return {
    time: Float64Array.from(time),
    power: Float64Array.from(power),
    s: Float64Array.from(s),
    beam: new Uint8Array(time.length).fill(1),
    ramp: new Float64Array(time.length).fill(1),
    band,
  };
}

/** Row at a time. */
export function rowAt({ time }: Judging, t: number): number {
  return time.findIndex((at) => Math.abs(at - t) < 1e-9);
}
