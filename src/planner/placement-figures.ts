// Figures of a placement from those of its seams.
import { leastMargin } from '../checks/check-arm.ts';
import type { Carrier } from '../model/job.ts';
import type { PlacementBlock, PlacementFigures } from '../model/placement.ts';
import type { Blocked, Clearance, Margins, Room, TravelProblem } from '../model/posture.ts';

/** What one seam has to say; arrays over its m rows. */
export interface SeamFigures
  extends Pick<PlacementFigures, 'jointMargin' | 'jointAxis' | 'singularity' | 'clearance' | 'cycle' | 'blocks'> {
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
const lengthOf = (rowLength: Float64Array, first: number, last: number): number =>
  rowLength.subarray(first, last + 1).reduce((sum, l) => sum + l, 0);

/** Stretches on which an envelope is closer than `limit`, mm, to an obstacle, and 1 at their rows. */
export function closeAlong(
  seam: string,
  s: Float64Array,
  rowLength: Float64Array,
  near: readonly Clearance[],
  limit: number,
): { readonly rows: Uint8Array; readonly blocks: PlacementBlock[] } {
  const rows = new Uint8Array(s.length);
  const blocks: PlacementBlock[] = [];
  for (const clearance of near) {
    for (const { from, to, smallest } of clearance.close) {
      rows.fill(1, from, to + 1);
      const length = lengthOf(rowLength, from, to);
      blocks.push({ ...tooClose(seam, clearance, limit - smallest), from: s[from], to: s[to], length });
    }
  }
  return { rows, blocks };
}

/** Moves that end before their goal, and those on which an envelope is closer than `limit`, mm, to an obstacle. */
export function travelBlocks(
  seam: string,
  problems: readonly TravelProblem[],
  moves: Room['moves'] = [],
  limit = 0,
): PlacementBlock[] {
  return [
    ...problems.map(({ move, why, axis, excess }) => ({ ...offSeam(seam), move, why, axis, excess })),
    ...moves.flatMap(({ name, clearances }) =>
      clearances
        .filter(({ close }) => close.length > 0)
        .map((near) => ({ ...tooClose(seam, near, limit - near.smallest), move: name })),
    ),
  ];
}

/** A block that is no stretch of a seam. */
export const offSeam = (seam: string) => ({ seam, pair: '', from: Number.NaN, to: Number.NaN, length: 0 });

/** A block of one envelope that is `short` mm too close to one obstacle. */
function tooClose(seam: string, { envelope, owner, obstacle }: Clearance, short: number): PlacementBlock {
  const pair = `${envelope}, ${obstacle}`;
  return { ...offSeam(seam), move: '', why: `${owner}-close`, axis: -1, pair, excess: short };
}

/** The room that the job asks for. */
type Asked = Pick<Carrier, 'jointMargin' | 'singularity'>;

/** Smallest margins over the rows that have a posture; NaN and -1 where none has. */
export function leastMargins(margins: Margins): Pick<SeamFigures, 'jointMargin' | 'jointAxis' | 'singularity'> {
  let jointMargin = Number.NaN;
  let jointAxis = -1;
  let singularity = Number.NaN;
  for (let i = 0; i < margins.singularity.length; i++) {
    if (Number.isNaN(margins.singularity[i])) continue;
    const { margin, axis } = leastMargin({ margins }, i);
    if (!(margin >= jointMargin)) {
      jointMargin = margin;
      jointAxis = axis;
    }
    if (!(margins.singularity[i] >= singularity)) singularity = margins.singularity[i];
  }
  return { jointMargin, jointAxis, singularity };
}

/** Sums lengths and times, keeps the smallest margins. */
export function sumFigures(seams: readonly SeamFigures[], asked: Asked): PlacementFigures {
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
  const jointMargin = least((seam) => seam.jointMargin);
  const singularity = least((seam) => seam.singularity);
  return {
    length,
    done,
    speedShare: weld > 0 ? full / weld : 0,
    margin: Math.min(jointMargin / asked.jointMargin, singularity / asked.singularity),
    jointMargin,
    jointAxis: seams.find((seam) => seam.jointMargin === jointMargin)?.jointAxis ?? -1,
    singularity,
    clearance: least((seam) => seam.clearance),
    cycle: seams.reduce((sum, seam) => sum + seam.cycle, 0),
    blocks: seams.flatMap((seam) => seam.blocks),
  };
}
