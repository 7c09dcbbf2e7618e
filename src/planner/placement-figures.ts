// Figures of a placement from those of its seams.
import type { PlacementBlock, PlacementFigures } from '../model/placement.ts';
import type { Blocked } from '../model/posture.ts';

/** What one seam has to say; arrays over its m rows. */
export interface SeamFigures
  extends Pick<PlacementFigures, 'margin' | 'marginAxis' | 'singularity' | 'clearance' | 'cycle' | 'blocks'> {
  /** Length that each row stands for, mm. */
  readonly rowLength: Float64Array;
  /** 1 at rows of the weld, at those that the arm can do, and at those at process speed. */
  readonly weld: Uint8Array;
  readonly done: Uint8Array;
  readonly full: Uint8Array;
}

/** Half of the steps beside each row, mm, from arc lengths (mm, increasing). */
export function rowLengths(s: Float64Array): Float64Array {
  const last = s.length - 1;
  return s.map((_, i) => (s[Math.min(i + 1, last)] - s[Math.max(i - 1, 0)]) / 2);
}

/** Blocked stretches of a seam with the length of their rows. */
export function blocksOf(seam: string, rowLength: Float64Array, blocked: readonly Blocked[]): PlacementBlock[] {
  return blocked.map(({ firstRow, lastRow, from, to, why, axis, excess }) => {
    const length = lengthOf(rowLength, firstRow, lastRow);
    return { seam, move: '', why, axis, pair: '', from, to, length, excess };
  });
}

/** Length of the rows first .. last, mm. */
export const lengthOf = (rowLength: Float64Array, first: number, last: number): number =>
  rowLength.subarray(first, last + 1).reduce((sum, l) => sum + l, 0);

/** Sums lengths and times, keeps the smallest margins. */
export function sumFigures(seams: readonly SeamFigures[]): PlacementFigures {
  let length = 0;
  let done = 0;
  let weld = 0;
  let full = 0;
  for (const seam of seams) {
    seam.rowLength.forEach((l, i) => {
      length += l;
      if (seam.done[i] === 1) done += l;
      if (seam.weld[i] === 1) weld += l;
      if (seam.weld[i] === 1 && seam.done[i] === 1 && seam.full[i] === 1) full += l;
    });
  }
  const least = (of: (seam: SeamFigures) => number): number => {
    const known = seams.map(of).filter((value) => !Number.isNaN(value));
    return known.length === 0 ? Number.NaN : Math.min(...known);
  };
  const margin = least((seam) => seam.margin);
  return {
    length,
    done,
    speedShare: weld > 0 ? full / weld : 0,
    margin,
    marginAxis: seams.find((seam) => seam.margin === margin)?.marginAxis ?? -1,
    singularity: least((seam) => seam.singularity),
    clearance: least((seam) => seam.clearance),
    cycle: seams.reduce((sum, seam) => sum + seam.cycle, 0),
    blocks: seams.flatMap((seam) => seam.blocks),
  };
}
