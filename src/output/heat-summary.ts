// What the heat of a seam comes to in a few figures, as a record and as the lines that the command line prints.
import { bestOfStations } from '../checks/check-heat.ts';
import type { Heat } from '../model/heat.ts';
import { PHASES } from '../model/path.ts';
import type { PreheatEffect } from '../model/preheat.ts';
import type { WindowPlan } from '../model/process-window.ts';
import type { SeamPlan } from '../planner/plan.ts';
import { range, type Span, spanOf } from './span.ts';

/** Spans run over the stations of the seam, each with the best of its passes. */
export interface HeatSummary {
  readonly fluence_J_mm2: Span;
  readonly peak_C: Span;
  readonly hottest_C: Span;
  readonly above_melt_s: Span;
  readonly weld_width_mm: Span;
  readonly wanted_width_mm: number;
  readonly start_C: number;
  readonly melting_C: number;
  readonly weld_onset_C: number;
  readonly decomposition_C: number;
  /** The plan in its process window: how much more energy than the wanted width needs, how much more would spoil, and what the source has left, %; null where there is no such energy. */
  readonly window: {
    readonly over_melting_pct: number | null;
    readonly under_spoiling_pct: number | null;
    readonly under_power_pct: number | null;
  } | null;
  /** Both passes over the overlap of a closed seam; null where there is none at full power. */
  readonly closing: { readonly first_C: Span; readonly second_C: Span; readonly delay_s: Span } | null;
  /** Hottest that a pass beside the seam makes it again, after it was welded; null where none comes near. */
  readonly warmed_again_C: number | null;
  readonly preheat: {
    readonly rise_K: number;
    /** For the same width at the process speed. */
    readonly energy_pct: number | null;
    /** Without and with, at the same power; null where the wanted width does not melt. */
    readonly speed_mm_s: readonly [number | null, number | null];
    readonly cycle_s: readonly [number | null, number | null];
  } | null;
}

/** Null where the heat is not known. */
export function summariseHeat(plan: SeamPlan): HeatSummary | null {
  const { heat, path, window, job, preheat } = plan;
  if (heat === null) return null;
  const best = bestOfStations(path, heat);
  const overSeam = (values: Float64Array) => spanOf(values, (i) => path.onSeam[i] === 1, 1);
  const { limits, across } = heat;
  const fluence = Float64Array.from(path.s, (_, i) =>
    heat.fluence.subarray(i * across, (i + 1) * across).reduce((most, value) => Math.max(most, value)),
  );
  return {
    fluence_J_mm2: overSeam(fluence),
    peak_C: overSeam(best.peak),
    hottest_C: overSeam(best.hottest),
    above_melt_s: overSeam(best.aboveOnset),
    weld_width_mm: overSeam(best.width),
    wanted_width_mm: job.width,
    start_C: limits.start,
    melting_C: limits.melting,
    weld_onset_C: limits.onset,
    decomposition_C: limits.decomposition,
    window: window && summariseWindow(window.plan),
    closing: closingPasses(plan, heat),
    warmed_again_C: warmedAgain(heat),
    preheat: preheat && summarisePreheat(preheat),
  };
}

const known = (value: number): number | null => (Number.isFinite(value) ? value : null);
const percent = (share: number): number | null => known(100 * share);

function summariseWindow({ overMelting, underSpoiling, underPower }: WindowPlan): HeatSummary['window'] {
  return {
    over_melting_pct: percent(overMelting),
    under_spoiling_pct: percent(underSpoiling),
    under_power_pct: percent(underPower),
  };
}

/** Peaks of the first and the second pass where the second has full power, and the time between them. */
function closingPasses({ path, timing }: SeamPlan, { rows }: Heat): HeatSummary['closing'] {
  const { count, station, phase } = path.rows;
  const first = new Map<number, number>();
  for (let row = 0; row < count; row++) if (PHASES[phase[row]] === 'weld') first.set(station[row], row);
  const again = (row: number) => PHASES[phase[row]] === 'overlap' && timing.ramp[row] === 1 && first.has(station[row]);
  const before = Array.from(station, (i) => first.get(i) ?? -1);
  const second = spanOf(rows.peak, again, 1);
  if (second === null) return null;
  return {
    first_C: spanOf(
      before.map((row) => rows.peak[row]),
      again,
      1,
    ),
    second_C: second,
    delay_s: spanOf(
      before.map((earlier, row) => timing.time[row] - timing.time[earlier]),
      again,
      1,
    ),
  };
}

function warmedAgain({ neighbours }: Heat): number | null {
  const later = neighbours.filter(({ delay }) => delay > 0).map(({ peak }) => peak);
  return later.length === 0 ? null : later.reduce((most, peak) => Math.max(most, peak));
}

function summarisePreheat(effect: PreheatEffect): HeatSummary['preheat'] {
  return {
    rise_K: effect.rise,
    energy_pct: percent(effect.energyRatio),
    speed_mm_s: [known(effect.speedWithout), known(effect.speedWith)],
    cycle_s: [known(effect.cycleWithout), known(effect.cycleWith)],
  };
}

/** Label and text of each line. */
export function heatLines(heat: HeatSummary | null): (readonly [string, string])[] {
  if (heat === null) return [['heat', 'not computed: too little is known of the materials']];
  return [
    [
      'heat',
      `bond plane ${range(heat.peak_C, 0, 'degC')} (bonds from ${heat.weld_onset_C.toFixed(0)}), ` +
        `hottest below it ${range(heat.hottest_C, 0, 'degC')} (decomposes from ${heat.decomposition_C.toFixed(0)})`,
    ],
    [
      'width',
      `${range(heat.weld_width_mm, 2, 'mm')} above the weld onset (wanted ${heat.wanted_width_mm.toFixed(2)}), ` +
        `for ${range(heat.above_melt_s, 2, 's')}; ${range(heat.fluence_J_mm2, 2, 'J/mm2')}`,
    ],
    ...windowLines(heat.window),
    ...closingLines(heat),
    ...preheatLines(heat.preheat),
  ];
}

function windowLines(window: HeatSummary['window']): (readonly [string, string])[] {
  if (window === null) return [];
  const { over_melting_pct: over, under_spoiling_pct: under, under_power_pct: power } = window;
  const melts =
    over === null
      ? 'no energy melts the wanted width'
      : `${Math.abs(over).toFixed(1)} % ${over < 0 ? 'less' : 'more'} energy than the wanted width needs`;
  const rise = (pct: number | null, more: string, already: string) =>
    pct === null ? '' : pct < 0 ? `; ${already}` : `; ${more.replace('#', `${pct.toFixed(1)} %`)}`;
  return [
    [
      'window',
      melts + rise(under, 'spoils with # more', 'spoils') + rise(power, 'the source has # left', 'beyond the source'),
    ],
  ];
}

/** A pass beside the seam is spoken of where it brings at least half of the rise to melting. */
function closingLines({
  closing,
  warmed_again_C: again,
  start_C,
  melting_C,
}: HeatSummary): (readonly [string, string])[] {
  const lines: (readonly [string, string])[] = [];
  if (closing !== null) {
    const { first_C, second_C, delay_s } = closing;
    const text = `overlap at ${range(first_C, 0, 'degC')} in the first pass, at ${range(second_C, 0, 'degC')} in the second, ${range(delay_s, 1, 's')} later`;
    lines.push(['closing', text]);
  }
  if (again !== null && again > 0.5 * (start_C + melting_C))
    lines.push(['near pass', `warms the seam again to ${again.toFixed(0)} degC`]);
  return lines;
}

function preheatLines(preheat: HeatSummary['preheat']): (readonly [string, string])[] {
  if (preheat === null) return [];
  const { rise_K, energy_pct, speed_mm_s, cycle_s } = preheat;
  const energy = energy_pct === null ? '' : `, ${energy_pct.toFixed(1)} % of the energy for the same width`;
  const [slow, fast] = speed_mm_s;
  const [long, short] = cycle_s;
  const figure = (value: number | null, digits: number) => (value === null ? 'none' : value.toFixed(digits));
  return [
    ['preheat', `${rise_K.toFixed(1)} K before the spot${energy}`],
    [
      '',
      `or, at the same power, ${figure(fast, 1)} mm/s (without ${figure(slow, 1)}), cycle ${figure(short, 2)} s (without ${figure(long, 2)}); common practice, no source`,
    ],
  ];
}
