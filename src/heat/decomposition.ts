// How much of a plastic is lost where it gets hot: first-order kinetics after Arrhenius, dx/dt = A exp(-E / (R T)) (1 - x).
import { exp, log } from '../geometry/elementary.ts';
import type { Thermal } from '../model/material.ts';

export type Kinetics = NonNullable<Thermal['kinetics']>;

/** Molar gas constant, J/(mol K) (exact in the SI of 2019). */
const GAS = 8.31446261815324;
const ZERO_CELSIUS = 273.15;

/** Share that may be lost. */
export const LOST = 0.01;

/** Share lost in a history of temperatures (degC) at increasing times (s), by trapezoids. */
export function lostShare(kinetics: Kinetics, times: Float64Array, temperatures: Float64Array): number {
  const rate = temperatures.map((t) => kinetics.rate * exp(-kinetics.energy / (GAS * (t + ZERO_CELSIUS))));
  let sum = 0;
  for (let k = 1; k < times.length; k++) sum += 0.5 * (rate[k] + rate[k - 1]) * (times[k] - times[k - 1]);
  return 1 - exp(-sum);
}

/** Temperature, degC, at which the share `lost` goes in `time` s. */
export function lossTemperature(kinetics: Kinetics, time: number, lost = LOST): number {
  return kinetics.energy / (GAS * log((kinetics.rate * time) / -log(1 - lost))) - ZERO_CELSIUS;
}
