// Two plans of one job side by side: cycle times, tracks, findings that are gone and that have come.
import type { Finding, Severity } from '../../model/finding.ts';
import type { Track } from '../picture/tracks.ts';
import type { PlanView, SeamView } from './plan-view.ts';

export interface SeriesDifference {
  /** Track and series, as the strip names them. */
  readonly track: string;
  readonly name: string;
  readonly unit: string;
  readonly decimals: number;
  /** The earlier plan's values on the rows of the later one, and later less earlier; NaN where either is unknown. */
  readonly before: Float64Array;
  readonly difference: Float64Array;
  /** The largest difference by size, with its sign, and the arc length where it stands, mm; NaN where there is none. */
  readonly largest: number;
  readonly at: number;
}

export interface SeamDifference {
  readonly name: string;
  /** s */
  readonly cycle: readonly [before: number, after: number];
  /** mm */
  readonly length: readonly [before: number, after: number];
  readonly series: readonly SeriesDifference[];
}

export interface ViewDifference {
  /** Seams of the later plan that the earlier one has too, by name. */
  readonly seams: readonly SeamDifference[];
  readonly seamsGone: readonly string[];
  readonly seamsCome: readonly string[];
  /** The graver ones first. */
  readonly gone: readonly Finding[];
  readonly come: readonly Finding[];
}

/** What changes from `before` to `after`. */
export function compareViews(before: PlanView, after: PlanView): ViewDifference {
  const earlier = new Map(before.seams.map((seam, k) => [seam.name, { seam, cycle: cycleOf(before, k) }]));
  const names = new Set(after.seams.map((seam) => seam.name));
  return {
    seams: after.seams.flatMap((seam, k) => {
      const was = earlier.get(seam.name);
      if (was === undefined) return [];
      const cycle = [was.cycle, cycleOf(after, k)] as const;
      return [
        { name: seam.name, cycle, length: [was.seam.length, seam.length] as const, series: seriesOf(was.seam, seam) },
      ];
    }),
    seamsGone: before.seams.map((seam) => seam.name).filter((name) => !names.has(name)),
    seamsCome: after.seams.map((seam) => seam.name).filter((name) => !earlier.has(name)),
    gone: without(before.findings, after.findings),
    come: without(after.findings, before.findings),
  };
}

const cycleOf = (view: PlanView, seam: number): number => view.summary.seams[seam].cycle_s.total;

function seriesOf(before: SeamView, after: SeamView): SeriesDifference[] {
  return after.tracks.flatMap((track) => {
    const was = before.tracks.find(({ title, unit }) => title === track.title && unit === track.unit);
    return was === undefined ? [] : trackDifferences(was, track, before.s, after.s);
  });
}

function trackDifferences(was: Track, is: Track, sBefore: Float64Array, s: Float64Array): SeriesDifference[] {
  return is.series.flatMap(({ name, values }) => {
    const old = was.series.find((series) => series.name === name);
    if (old === undefined) return [];
    const before = resampled(sBefore, old.values, s);
    const difference = values.map((value, row) => value - before[row]);
    let worst = -1;
    difference.forEach((value, row) => {
      if (!Number.isNaN(value) && (worst < 0 || Math.abs(value) > Math.abs(difference[worst]))) worst = row;
    });
    return [
      {
        track: is.title,
        name,
        unit: is.unit,
        decimals: is.decimals,
        before,
        difference,
        largest: worst < 0 ? Number.NaN : difference[worst],
        at: worst < 0 ? Number.NaN : s[worst],
      },
    ];
  });
}

/** Values over `s` (increasing), at the places `at` (increasing): linear between rows, NaN beyond them and beside an unknown one. */
function resampled(s: Float64Array, values: Float64Array, at: Float64Array): Float64Array {
  const out = new Float64Array(at.length).fill(Number.NaN);
  let k = 0;
  for (let i = 0; i < at.length; i++) {
    while (k + 1 < s.length && s[k + 1] < at[i]) k++;
    if (at[i] === s[k]) out[i] = values[k];
    else if (k + 1 < s.length && at[i] === s[k + 1]) out[i] = values[k + 1];
    else if (k + 1 < s.length && at[i] > s[k]) {
      const share = (at[i] - s[k]) / (s[k + 1] - s[k]);
      out[i] = values[k] + share * (values[k + 1] - values[k]);
    }
  }
  return out;
}

const GRAVITY: Readonly<Record<Severity, number>> = { blocks: 0, warns: 1, notes: 2 };

/** Findings of `list` that `others` does not have: same code and seam, on stretches that meet. */
const without = (list: readonly Finding[], others: readonly Finding[]): readonly Finding[] =>
  list
    .filter((finding) => !others.some((other) => isSame(finding, other)))
    .toSorted((a, b) => GRAVITY[a.severity] - GRAVITY[b.severity]);

function isSame(a: Finding, b: Finding): boolean {
  if (a.code !== b.code || a.seam !== b.seam) return false;
  return !Number.isFinite(a.from) || !Number.isFinite(b.from) || (a.from <= b.to && b.from <= a.to);
}
