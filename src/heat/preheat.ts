// A broad source that moves with the head and warms the parts before and while they are welded. That it cuts cycle time is
// common practice, no source; what it does to temperature is computed as for the welding spot.
import type { Medium } from '../model/heat.ts';
import type { Preheat } from '../model/job.ts';
import type { PreheatGain } from '../model/preheat.ts';
import type { Task } from '../model/task.ts';
import { steadyHistory } from './steady-pass.ts';
import { energyForWidth, preheated, unitPass, type WindowCase } from './process-window.ts';

/** Rise of the bond plane, K, that the preheat has brought by the time the spot's middle passes, at a steady speed. */
export function preheatRise(preheat: Preheat, medium: Medium, speed: number): number {
  const { power, radius, absorption, layerAbsorption } = preheat;
  const spot = { profile: 'gaussian' as const, along: radius, across: radius, speed, power };
  return steadyHistory(spot, { ...medium, absorption, layerAbsorption }, 0, Float64Array.of(0))[0];
}

const TURNS = 12;

/** Gain at a `speed` (mm/s) and `lineEnergy` (J/mm); `of` carries the preheat. Cancelled by the task. */
export async function preheatGain(
  of: WindowCase,
  speed: number,
  lineEnergy: number,
  task?: Task,
): Promise<PreheatGain> {
  const cold = { ...of, preheat: () => 0 };
  const pass = unitPass(of, speed);
  const needed = (which: WindowCase) => energyForWidth(pass, preheated(which, speed), of.width);
  const power = lineEnergy * speed;
  return {
    rise: of.preheat(speed),
    energyRatio: needed(of) / needed(cold),
    speedWithout: await highestSpeed(cold, power, speed, task),
    speedWith: await highestSpeed(of, power, speed, task),
  };
}

/** Highest speed, within a factor of 8 of `near`, at which `power` W into the absorber melts the wanted width. */
async function highestSpeed(of: WindowCase, power: number, near: number, task?: Task): Promise<number> {
  const melts = (v: number) => energyForWidth(unitPass(of, v), preheated(of, v), of.width) * v <= power;
  let [low, high] = [near / 8, near * 8];
  if (!melts(low)) return Number.NaN;
  if (melts(high)) return high;
  for (let turn = 0; turn < TURNS; turn++) {
    await task?.pause('finding the speed that the power allows', turn / TURNS);
    const middle = Math.sqrt(low * high);
    if (melts(middle)) low = middle;
    else high = middle;
  }
  return low;
}
