// The heat's part of plan.json: what the joint sees over its ribbon, the process window, what a preheat buys.
import type { Heat, Half } from '../model/heat.ts';
import type { PreheatEffect } from '../model/preheat.ts';
import type { ProcessWindow } from '../model/process-window.ts';
import { roundedNumber, significantNumber } from './decimal-text.ts';
import { QUANTITY, type Quantity } from './quantity.ts';

const Q = QUANTITY;
const list = (values: ArrayLike<number>, { scale, decimals }: Quantity): (number | null)[] =>
  Array.from(values, (value) => roundedNumber(value * scale, decimals));
const one = (value: number, quantity: Quantity): number | null => list([value], quantity)[0];

/** The ribbon has many values, and none is known better than this. */
const RIBBON = {
  fluence: { ...Q.fluence, decimals: 4 },
  temperature: { ...Q.temperature, decimals: 1 },
  time: { ...Q.time, decimals: 4 },
};

/** Value of line j at station i stands at i x (number of lines) + j; null off the joint face or where it is not known. */
export function describeHeat(heat: Heat | null): object | null {
  if (heat === null) return null;
  const { medium, limits } = heat;
  return {
    start_C: one(limits.start, Q.temperature),
    melting_C: one(limits.melting, Q.temperature),
    weld_onset_C: one(limits.onset, Q.temperature),
    decomposition_C: one(limits.decomposition, Q.temperature),
    latent_K: one(limits.latent, Q.temperature),
    absorber: { ...describeHalf(medium.absorber), absorption_1_mm: significantNumber(medium.absorption) },
    layer: {
      ...describeHalf(medium.layer),
      absorption_1_mm: significantNumber(medium.layerAbsorption),
      thickness_mm: one(medium.layerThickness, Q.length),
    },
    delivered_J: significantNumber(heat.delivered),
    on_ribbon_J: significantNumber(heat.onRibbon),
    near_passes: heat.neighbours.map(({ row, other, distance, delay, peak }) => ({
      row,
      other_row: other,
      distance_mm: one(distance, Q.length),
      delay_s: one(delay, Q.time),
      peak_C: one(peak, Q.temperature),
    })),
    ribbon: {
      across_mm: list(heat.offset, Q.length),
      fluence_J_mm2: list(heat.fluence, RIBBON.fluence),
      peak_C: list(heat.peak, RIBBON.temperature),
      hottest_C: list(heat.hottest, RIBBON.temperature),
      above_melt_s: list(heat.aboveOnset, RIBBON.time),
    },
  };
}

function describeHalf({ diffusivity, heatCapacity }: Half): object {
  return { diffusivity_mm2_s: significantNumber(diffusivity), heat_J_mm3K: significantNumber(heatCapacity) };
}

/** Width at speed k and line energy j stands at k x (number of energies) + j; line energies are those at the joint. */
export function describeWindow(window: ProcessWindow | null): object | null {
  if (window === null) return null;
  const { plan } = window;
  const energies = (values: Float64Array) => list(values, Q.lineEnergy);
  return {
    speed_mm_s: list(window.speeds, Q.speed),
    line_energy_J_mm: energies(window.energies),
    width_mm: list(window.widths, Q.length),
    borders_J_mm: {
      melting_begins: energies(window.onset),
      wanted_width_melts: energies(window.melts),
      decomposes: energies(window.spoils),
      hundredth_lost: window.loses && energies(window.loses),
      source_most: energies(window.most),
      source_least: energies(window.least),
    },
    transmitted: one(window.transmitted, Q.share),
    plan: {
      speed_mm_s: one(plan.speed, Q.speed),
      line_energy_J_mm: one(plan.lineEnergy, Q.lineEnergy),
      incident_J_mm: one(plan.incident, Q.lineEnergy),
      width_mm: one(plan.width, Q.length),
      wanted_mm: one(plan.wanted, Q.length),
      peak_C: one(plan.peak, Q.temperature),
      hottest_C: one(plan.hottest, Q.temperature),
      over_melting: one(plan.overMelting, Q.ratio),
      under_spoiling: one(plan.underSpoiling, Q.ratio),
      under_power: one(plan.underPower, Q.ratio),
    },
  };
}

/** For the same melted width: energy with over without; speed and time of the seam at the plan's power. */
export function describePreheat(effect: PreheatEffect | null): object | null {
  if (effect === null) return null;
  return {
    rise_K: one(effect.rise, Q.temperature),
    energy_ratio: one(effect.energyRatio, Q.ratio),
    speed_without_mm_s: one(effect.speedWithout, Q.speed),
    speed_with_mm_s: one(effect.speedWith, Q.speed),
    cycle_without_s: one(effect.cycleWithout, Q.time),
    cycle_with_s: one(effect.cycleWith, Q.time),
  };
}
