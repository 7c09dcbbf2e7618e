// Which tracks the strip shows: those of the seam, and any column that was chosen besides.
import type { SeamView } from '../../output/view/plan-view.ts';
import type { Track } from '../../output/picture/tracks.ts';
import { quantityNames } from '../stage/quantities.ts';

/** Decimals shown on the screen at most; the files keep more. */
const MOST_DECIMALS = 3;

/** Titles that fit beside a track. */
const SHORT: Readonly<Record<string, string>> = {
  peak_C: 'peak',
  hottest_C: 'hottest',
  above_melt_s: 'time molten',
  weld_width_mm: 'weld width',
  fluence_J_mm2: 'fluence',
  head_speed_mm_s: 'head speed',
  incident_J_mm: 'incident',
  spot_along_mm: 'spot along',
  spot_across_mm: 'spot across',
};

/** Findings that hatch a column, and what it is held against. */
const NOT_HELD: Held = { codes: [], limits: () => [] };
const MARGIN: Held = { codes: [], limits: () => [{ name: 'none left', value: 0 }] };
const HELD: Readonly<Record<string, Held>> = {
  peak_C: { codes: ['joint-cold', 'joint-spoilt'], limits: () => [] },
  hottest_C: { codes: ['joint-spoilt'], limits: () => [] },
  weld_width_mm: { codes: ['seam-narrow'], limits: ({ width }) => [{ name: 'wanted', value: width }] },
};

interface Held {
  readonly codes: readonly string[];
  readonly limits: (seam: SeamView) => Track['limits'];
}

/** The tracks in their order; a column that this seam does not know is passed over, unless its values are still to come. */
export function stripTracks(seam: SeamView, extra: readonly string[], toCome = false): readonly Track[] {
  return [...seam.tracks, ...extra.flatMap((name) => columnTrack(seam, name, toCome))];
}

function columnTrack(seam: SeamView, name: string, toCome: boolean): Track[] {
  const isMargin = seam.margins.some((margin) => margin.name === name);
  const column = [...seam.columns, ...seam.margins].find((candidate) => candidate.name === name);
  if (column === undefined) return [];
  if (!toCome && !column.values.some((value) => Number.isFinite(value))) return [];
  const { unit, values } = column;
  const title = SHORT[name] ?? column.title;
  const { codes, limits } = HELD[name] ?? (isMargin ? MARGIN : NOT_HELD);
  const decimals = Math.min(column.decimals, unit === 'Cel' ? 0 : MOST_DECIMALS);
  const series = [{ name: title.toLowerCase(), values, dashed: false }];
  return [{ title: capital(title), unit, decimals, series, limits: limits(seam), codes }];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Columns that can be shown besides the tracks, by name. */
export function columnChoices(seam: SeamView): readonly { readonly name: string; readonly title: string }[] {
  const columns = new Set([...seam.columns, ...seam.margins].map(({ name }) => name));
  return quantityNames(seam).filter(({ name }) => columns.has(name));
}
