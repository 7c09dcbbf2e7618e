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
};

/** The planned placements. */
export function placementTable({ ranked, planned }: PlacementRanking): TextTable {
  const head = 'rank,x mm,y mm,z mm,A deg,B deg,C deg,done %,full speed %,margin %,axis,clear mm,cycle s'.split(',');
  return { head, rows: ranked.slice(0, planned).map((placement, index) => cells(placement, index + 1)) };
}

function cells(ranked: RankedPlacement, rank: number): string[] {
  const { placement, length, done, speedShare, margin, marginAxis, clearance, cycle } = ranked;
  const known = (value: number, decimals: number): string => decimalText(value, decimals) || '-';
  return [
    String(rank),
    ...placement.position.map((value) => known(value, 1)),
    ...placement.rotation.map((value) => known(value * DEG_PER_RAD, 1)),
    // Cut, not rounded: 100 is said of the whole only.
    known(Math.floor((1000 * done) / length + 1e-6) / 10, 1),
    known(100 * speedShare, 1),
    known(100 * margin, 1),
    marginAxis < 0 ? '-' : String(marginAxis + 1),
    known(clearance, 1),
    known(cycle, 2),
  ];
}

/** Lines on how many there are; where none fits, or some do not, on what is in the way. */
export function placementLines({ ranked, planned, fits, hindrances }: PlacementRanking): {
  readonly opening: string;
  readonly closing: readonly string[];
} {
  const count = (n: number): string => (n === 1 ? '1 placement' : `${n} placements`);
  const opening = `${count(ranked.length)} looked at, ${planned} planned in full, ${fits} of these free from end to end`;
  const closing: string[] = [];
  if (fits === 0) {
    closing.push(
      '',
      'Nothing fits. At the best placement:',
      ...ranked[0].blocks.map((block) => `  ${blockText(block)}`),
    );
  }
  if (hindrances.length > 0) {
    closing.push('', fits === 0 ? 'In the way:' : 'In the way elsewhere:');
    for (const { why, axis, pair, placements, share } of hindrances) {
      const length = share > 0 ? `, ${decimalText(100 * share, 1)} % of the length in the mean` : '';
      closing.push(`  ${whyText({ why, axis, pair })}: at ${count(placements)}${length}`);
    }
  }
  return { opening, closing };
}

function whyText({ why, axis, pair }: Pick<PlacementBlock, 'why' | 'axis' | 'pair'>): string {
  const what = axis < 0 ? pair : `axis ${axis + 1}`;
  return what === '' ? `${why}, ${WHY[why]}` : `${why} (${what}), ${WHY[why]}`;
}

function blockText(block: PlacementBlock): string {
  const { seam, move, from, to, axis, excess } = block;
  const at = move === '' ? `${decimalText(from, 1)} to ${decimalText(to, 1)} mm` : `move ${move}`;
  const unit = axis < 0 ? 'mm' : 'deg';
  const size = decimalText(axis < 0 ? excess : excess * DEG_PER_RAD, 1);
  const by = size === '' || excess === 0 ? '' : `, by ${size} ${unit}`;
  return `${seam}, ${at}: ${whyText(block)}${by}`;
}
