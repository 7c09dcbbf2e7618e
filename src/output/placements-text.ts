// A search for placements in words: the best of the ranking as a table, and what stands in the way.
import type { Obstruction, PlacementBlock, PlacementRanking, RankedPlacement } from '../model/placement.ts';
import { DEG_PER_RAD } from '../model/units.ts';
import { decimalText } from './decimal-text.ts';

/** A table of text: its head, and rows of as many cells. */
export interface TextTable {
  readonly head: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

const WHY: Record<Obstruction, string> = {
  'out-of-reach': 'out of reach',
  'joint-limit': 'an axis at its limit',
  'no-continuous-branch': 'no posture goes on from the one before',
  'arm-close': 'the arm comes too close',
  'head-close': 'the head comes too close',
  'home-limit': 'the home posture lies beyond a limit',
  'below-floor': 'a part stands in the floor',
  payload: 'the head is heavier than what the arm may carry',
};

const HEAD =
  'rank,x mm,y mm,z mm,A deg,B deg,C deg,done %,full speed %,margin,limit deg,axis,singular,clear mm,cycle s,in the way';

/** The planned placements; `axes` are the names of the arm's. */
export function placementTable({ ranked, planned }: PlacementRanking, axes: readonly string[]): TextTable {
  const rows = ranked.slice(0, planned).map((placement, index) => cells(placement, index + 1, axes));
  return { head: HEAD.split(','), rows };
}

function cells(ranked: RankedPlacement, rank: number, axes: readonly string[]): string[] {
  const { placement, length, done, speedShare, margin, jointMargin, jointAxis, singularity, clearance, cycle, blocks } =
    ranked;
  const known = (value: number, decimals: number): string => decimalText(value, decimals) || '-';
  return [
    String(rank),
    ...placement.position.map((value) => known(value, 1)),
    ...placement.rotation.map((value) => known(value * DEG_PER_RAD, 1)),
    // Cut, not rounded: 100 is said of the whole only.
    known(Math.floor((1000 * done) / length + 1e-6) / 10, 1),
    known(100 * speedShare, 1),
    known(margin, 2),
    known(jointMargin * DEG_PER_RAD, 1),
    axes[jointAxis] ?? '-',
    known(singularity, 3),
    known(clearance, 1),
    known(cycle, 2),
    [...new Set(blocks.map((block) => causeText(block, axes)))].join('; '),
  ];
}

/** Lines on how many there are; where none fits, or some do not, on what is in the way. */
export function placementLines(
  { ranked, planned, fits, hindrances }: PlacementRanking,
  axes: readonly string[],
): { readonly opening: string; readonly closing: readonly string[] } {
  const count = (n: number): string => (n === 1 ? '1 placement' : `${n} placements`);
  const opening = `${count(ranked.length)} looked at, ${planned} planned in full, ${fits} of these free from end to end`;
  const closing: string[] = [];
  if (fits === 0) {
    const best = ranked[0].blocks.map((block) => `  ${blockText(block, axes)}`);
    closing.push('', 'Nothing fits. What blocks the best placement:', ...best);
  }
  if (hindrances.length > 0) {
    closing.push('', fits === 0 ? 'What blocks all of them:' : 'What blocks others:');
    for (const hindrance of hindrances) {
      const { placements, share } = hindrance;
      const length = share > 0 ? `, ${decimalText(100 * share, 1)} % of the length in the mean` : '';
      closing.push(`  ${causeText(hindrance, axes)}: ${WHY[hindrance.why]} at ${count(placements)}${length}`);
    }
  }
  return { opening, closing };
}

type Cause = Pick<PlacementBlock, 'move' | 'why' | 'axis' | 'pair'>;

/** Such as "approach joint-limit A5" or "arm-close (forearm, lid)". */
function causeText({ move, why, axis, pair }: Cause, axes: readonly string[]): string {
  const what = pair === '' ? (axes[axis] ?? '') : `(${pair})`;
  return [move, why, what].filter((word) => word !== '').join(' ');
}

function blockText(block: PlacementBlock, axes: readonly string[]): string {
  const { seam, why, from, to, axis, excess } = block;
  const stretch = Number.isNaN(from) ? '' : `${decimalText(from, 1)} to ${decimalText(to, 1)} mm`;
  const at = [seam, stretch].filter((word) => word !== '').join(', ');
  const unit = why === 'payload' ? 'kg' : axis < 0 ? 'mm' : 'deg';
  const size = decimalText(axis < 0 ? excess : excess * DEG_PER_RAD, why === 'payload' ? 2 : 1);
  const by = size === '' || excess === 0 ? '' : `, by ${size} ${unit}`;
  return `${at === '' ? '' : `${at}: `}${causeText(block, axes)}: ${WHY[why]}${by}`;
}
