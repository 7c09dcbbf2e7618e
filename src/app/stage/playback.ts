// Drives the cursor along the seam in real time while the page says so.
import type { SeamView } from '../../output/view/plan-view.ts';
import { rowAt } from './row-at.ts';

/** Row after `elapsed` seconds from `start`; null once the seam is driven. */
export function playedRow(seam: SeamView, start: number, elapsed: number): number | null {
  const first = Number.isFinite(seam.time[start]) ? seam.time[start] : 0;
  const now = first + elapsed;
  return now >= seam.time[seam.count - 1] ? null : Math.max(start, rowAt(seam.time, now));
}

/** Where playback begins: at the cursor, from the front where it stands at the end. */
export const playbackStart = (seam: SeamView, row: number): number => (row >= seam.count - 1 ? 0 : row);
