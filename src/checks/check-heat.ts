// What the heat of a seam says: where it stays cold, where it spoils, where it is narrow, where the closing weld does not bond,
// where another pass softens what is welded.
import type { Finding } from '../model/finding.ts';
import type { Heat } from '../model/heat.ts';
import type { JobSeam } from '../model/job.ts';
import type { LaterPass } from '../model/later-pass.ts';
import type { Path } from '../model/path.ts';
import { PHASES } from '../model/path.ts';
import type { Timing } from '../model/timing.ts';
import type { Along } from './ask.ts';
import { ask } from './ask.ts';
import { isOver, isUnder } from './tolerance.ts';

/** Temperatures and widths are computed to this share of the rise, and of the width. */
const ACCURACY = 2e-3;

const OVERLAP = PHASES.indexOf('overlap');

/** Findings from the heat of a seam, along its stations, and along its rows for the closing weld. */
export function checkHeat(path: Path, timing: Timing, heat: Heat, jobSeam: JobSeam): Finding[] {
  const stations: Along = { seam: jobSeam.name, s: path.s, period: path.closed ? path.length : 0 };
  const rows: Along = { seam: jobSeam.name, s: path.rows.s, period: 0 };
  const best = bestOfStations(path, heat);
  const { onset, decomposition, melting } = heat.limits;
  const kelvin = ACCURACY * (decomposition - heat.limits.start);
  const welded = (i: number) => path.onSeam[i] === 1 && best.passes[i] > 0;
  const cold = (i: number) => welded(i) && isUnder(best.peak[i], onset, kelvin);
  return [
    ...ask(rows, {
      code: 'heat-row-unknown',
      out: (row) => timing.beam[row] === 1 && Number.isNaN(heat.rows.peak[row]),
      value: () => Number.NaN,
      limit: Number.NaN,
      unit: '',
      sentence: (_, place) => `How hot the joint gets is not known ${place}`,
    }),
    ...ask(stations, {
      code: 'joint-cold',
      out: cold,
      value: (i) => best.peak[i],
      badness: (i) => -best.peak[i],
      limit: onset,
      unit: 'degC',
      sentence: (value, place) =>
        `The joint gets no hotter than ${value.toFixed(0)} degC ${place} (bonds from ${onset.toFixed(0)} degC)`,
    }),
    ...ask(stations, {
      code: 'joint-spoilt',
      out: (i) => path.onSeam[i] === 1 && isOver(best.hottest[i], decomposition, kelvin),
      value: (i) => best.hottest[i],
      limit: decomposition,
      unit: 'degC',
      sentence: (value, place) =>
        `Below the joint it gets ${value.toFixed(0)} degC hot ${place} (decomposes from ${decomposition.toFixed(0)} degC)`,
    }),
    ...ask(stations, {
      code: 'seam-narrow',
      out: (i) => welded(i) && !cold(i) && isUnder(best.width[i], jobSeam.width, 5 * ACCURACY * jobSeam.width),
      value: (i) => best.width[i],
      badness: (i) => -best.width[i],
      limit: jobSeam.width,
      unit: 'mm',
      sentence: (value, place) =>
        `The seam is ${value.toFixed(2)} mm wide ${place} (wanted ${jobSeam.width.toFixed(2)} mm)`,
    }),
    ...ask(rows, {
      code: 'closing-cold',
      out: (row) =>
        path.rows.phase[row] === OVERLAP && timing.ramp[row] === 1 && isUnder(heat.rows.peak[row], onset, kelvin),
      value: (row) => heat.rows.peak[row],
      badness: (row) => -heat.rows.peak[row],
      limit: onset,
      unit: 'degC',
      sentence: (value, place) =>
        `The second pass brings the joint to ${value.toFixed(0)} degC only ${place} (bonds from ${onset.toFixed(0)} degC)`,
    }),
    ...neighbourFindings(rows, heat, melting),
  ];
}

/** A seam that is welded later, beside this one, and softens it again. */
export function checkLaterPass(path: Path, later: LaterPass, melting: number, seam: string): Finding[] {
  const stations: Along = { seam, s: path.s, period: path.closed ? path.length : 0 };
  return ask(stations, {
    code: 'passes-close',
    out: (i) => later.peak[i] > melting,
    value: (i) => later.peak[i],
    limit: melting,
    unit: 'degC',
    sentence: (value, place, i) =>
      `Seam ${later.seam[i]}, ${later.distance[i].toFixed(2)} mm away, warms the seam again to ${value.toFixed(0)} degC ${place} (softens at ${melting.toFixed(0)} degC)`,
  });
}

interface Best {
  /** Hottest, longest and widest of all passes over each station, NaN where none is known, and how many are, n. */
  readonly peak: Float64Array;
  readonly hottest: Float64Array;
  readonly aboveOnset: Float64Array;
  readonly width: Float64Array;
  readonly passes: Uint8Array;
}

/** What the best of its passes does to each station. */
export function bestOfStations(path: Path, heat: Pick<Heat, 'rows'>): Best {
  const none = () => new Float64Array(path.count).fill(Number.NaN);
  const best = {
    peak: none(),
    hottest: none(),
    aboveOnset: none(),
    width: none(),
    passes: new Uint8Array(path.count),
  };
  for (let row = 0; row < path.rows.count; row++) {
    if (Number.isNaN(heat.rows.peak[row])) continue;
    const i = path.rows.station[row];
    best.passes[i]++;
    for (const field of ['peak', 'hottest', 'aboveOnset', 'width'] as const) {
      const value = heat.rows[field][row];
      if (!(best[field][i] >= value)) best[field][i] = value;
    }
  }
  return best;
}

/** Passes beside the seam that soften it after it was welded. */
function neighbourFindings(rows: Along, heat: Heat, melting: number): Finding[] {
  const hottest = new Map<number, (typeof heat.neighbours)[number]>();
  for (const neighbour of heat.neighbours) {
    const known = hottest.get(neighbour.row);
    if (neighbour.delay > 0 && !(known && known.peak >= neighbour.peak)) hottest.set(neighbour.row, neighbour);
  }
  const peak = (row: number) => hottest.get(row)?.peak ?? Number.NaN;
  return ask(rows, {
    code: 'passes-close',
    out: (row) => peak(row) > melting,
    value: peak,
    limit: melting,
    unit: 'degC',
    sentence: (value, place, row) => {
      const { distance, delay } = hottest.get(row) ?? { distance: Number.NaN, delay: Number.NaN };
      return `A pass ${distance.toFixed(2)} mm away warms the seam again to ${value.toFixed(0)} degC ${place}, ${delay.toFixed(2)} s later (softens at ${melting.toFixed(0)} degC)`;
    },
  });
}
