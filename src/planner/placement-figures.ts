// Figures of a placement from those of its seams.
import type { PlacementBlock, PlacementFigures } from '../model/placement.ts';
import type { Blocked } from '../model/posture.ts';

/** What one seam has to say; arrays over its m rows. */
export interface SeamFigures
  extends Pick<PlacementFigures, 'margin' | 'marginAxis' | 'singularity' | 'cycle' | 'blocks'> {
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
export function blocksOf(seam: string, s: Float64Array, blocked: readonly Blocked[]): PlacementBlock[] {
  const rowLength = rowLengths(s);
  return blocked.map(({ firstRow, lastRow, from, to, why, axis, excess }) => {
    let length = 0;
    for (let i = firstRow; i <= lastRow; i++) length += rowLength[i];
    return { seam, from, to, why, axis, excess, length };
  });
}

/** Sums lengths and times, keeps the smallest margins. */
export function sumFigures(seams: readonly SeamFigures[]): PlacementFigures {
  let length = 0;
  let done = 0;
  let weld = 0;
  let full = 0;
  let margin = Number.NaN;
  let marginAxis = -1;
  let singularity = Number.NaN;
  let cycle = 0;
  for (const seam of seams) {
    seam.rowLength.forEach((l, i) => {
      length += l;
      if (seam.done[i] === 1) done += l;
      if (seam.weld[i] === 1) weld += l;
      if (seam.weld[i] === 1 && seam.done[i] === 1 && seam.full[i] === 1) full += l;
    });
    if (!(seam.margin >= margin) && !Number.isNaN(seam.margin)) {
      margin = seam.margin;
      marginAxis = seam.marginAxis;
    }
    if (!(seam.singularity >= singularity) && !Number.isNaN(seam.singularity)) singularity = seam.singularity;
    cycle += seam.cycle;
  }
  const blocks = seams.flatMap((seam) => seam.blocks);
  const speedShare = weld > 0 ? full / weld : 0;
  return { length, done, speedShare, margin, marginAxis, singularity, cycle, blocks };
}
