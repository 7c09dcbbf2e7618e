// Which tracks the strip shows: those of the seam, and any column that was chosen besides.
import type { SeamView } from '../../output/view/plan-view.ts';
import type { Track } from '../../output/picture/tracks.ts';
import { quantityNames } from '../stage/quantities.ts';

/** Decimals shown on the screen at most; the files keep more. */
const MOST_DECIMALS = 3;

/** The tracks in their order; a column that this seam does not know is passed over. */
export function stripTracks(seam: SeamView, extra: readonly string[]): readonly Track[] {
  return [...seam.tracks, ...extra.flatMap((name) => columnTrack(seam, name))];
}

function columnTrack(seam: SeamView, name: string): Track[] {
  const column = seam.columns.find((candidate) => candidate.name === name);
  if (column === undefined || !column.values.some((value) => Number.isFinite(value))) return [];
  const { title, unit, values } = column;
  const decimals = Math.min(column.decimals, unit === 'Cel' ? 0 : MOST_DECIMALS);
  const series = [{ name: title.toLowerCase(), values, dashed: false }];
  return [{ title: capital(title), unit, decimals, series, limits: [], codes: [] }];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Columns that can be shown besides the tracks, by name. */
export function columnChoices(seam: SeamView): readonly { readonly name: string; readonly title: string }[] {
  const columns = new Set(seam.columns.map(({ name }) => name));
  return quantityNames(seam).filter(({ name }) => columns.has(name));
}
