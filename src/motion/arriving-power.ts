// What the head really gives when the cell sets its power late and in steps. The cell sets, at instants one update period
// apart, the power that the speed asks for one lead later; it holds it until the next, and the source gives it one lag
// later. So the power at t is the one asked for at t - d, with d between lag - lead and that plus one period.
//
// The lag is a pure delay, not a first-order lag. Braking from 50 to 12.5 mm/s at 2000 mm/s2 takes 18.75 ms; after it a delay
// of 30 ms still gives the power of 50 mm/s, +300 %, and after speeding up again that of 12.5, -75 %: the known check
// values. A time constant tau of 30 ms would give 12.5 + a tau (1 - exp(-T / tau)) = 40.4 mm/s worth of power, +223 %, and
// -56 %. Well inside a speed ramp that lasts much longer than tau both come to the same, dE / E = -a tau / v.
import type { Optics } from '../model/optics.ts';

/**
 * The power asked for over the rows. Between two rows with the beam on it runs straight in time, exactly so where the speed
 * changes evenly and the transmitted share stays; else it is 0.
 */
export interface AskedPower {
  /** m, s, increasing from 0. */
  readonly time: Float64Array;
  /** m, W; 0 with the beam off, NaN where unknown. */
  readonly power: Float64Array;
  /** m */
  readonly beam: Uint8Array;
}

/** How the cell follows: s, s, W. */
export interface Following {
  /** lag - lead: the shortest delay; negative where the power comes early. */
  readonly delay: number;
  readonly update: number;
  readonly threshold: number;
}

/** An instant this share of a period before a step already counts as on it. */
const ON_STEP = 1e-9;

export function followingOf(optics: Optics): Following {
  return { delay: optics.powerLag - optics.powerLead, update: optics.powerUpdate, threshold: optics.powerThreshold };
}

/** Power that leaves the head at each row, m, W, when the steps count from the first row. */
export function arrivingPower(asked: AskedPower, optics: Optics): Float64Array {
  const { time } = asked;
  const { powerLag, powerLead, powerUpdate, powerThreshold } = optics;
  let k = 0;
  return time.map((t) => {
    const set = powerUpdate > 0 ? powerUpdate * Math.floor((t - powerLag) / powerUpdate + ON_STEP) : t - powerLag;
    // Lag and lead taken together first, so that equal ones cancel to the last bit.
    const u = powerUpdate > 0 ? set + powerLead : t - (powerLag - powerLead);
    k = rowBefore(time, u, k);
    return emitted(powerAt(asked, k, u), powerThreshold);
  });
}

/**
 * Farthest deviation of the arriving power from the one asked for at each row, share with its sign, over all instants at
 * which the steps may fall: the cell's clock is not tied to the motion. Written to `out` for the rows with `judged`, NaN
 * for the others. Transmitted share and speed are those of the row, so it is the deviation of the line energy too.
 */
export function arrivingDeviation(
  asked: AskedPower,
  following: Following,
  judged: Uint8Array,
  out: Float64Array,
): void {
  const { time, power } = asked;
  const { delay, update, threshold } = following;
  let k = 0;
  for (let i = 0; i < time.length; i++) {
    out[i] = Number.NaN;
    if (!judged[i]) continue;
    const to = time[i] - delay;
    k = rowBefore(time, to - update, k);
    let low = powerAt(asked, k, to - update);
    let high = low;
    let last = k;
    while (last + 1 < time.length && time[last + 1] <= to) {
      last++;
      low = Math.min(low, power[last]);
      high = Math.max(high, power[last]);
    }
    const newest = powerAt(asked, last, to);
    const below = emitted(Math.min(low, newest), threshold) / power[i] - 1;
    const above = emitted(Math.max(high, newest), threshold) / power[i] - 1;
    out[i] = above > -below ? above : below;
  }
}

/** Index of the last row at or before u, -1 before the first; found by walking from `start`. */
function rowBefore(time: Float64Array, u: number, start: number): number {
  let k = Math.max(0, start);
  while (k + 1 < time.length && time[k + 1] <= u) k++;
  while (k >= 0 && time[k] > u) k--;
  return k;
}

/** Power asked for at u, between rows k and k + 1. */
function powerAt({ time, power, beam }: AskedPower, k: number, u: number): number {
  if (k < 0) return 0;
  if (u === time[k]) return power[k];
  if (k + 1 >= time.length || !beam[k] || !beam[k + 1]) return 0;
  return power[k] + ((u - time[k]) / (time[k + 1] - time[k])) * (power[k + 1] - power[k]);
}

function emitted(power: number, threshold: number): number {
  return power < threshold ? 0 : power;
}
