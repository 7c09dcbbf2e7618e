// The columns of placements.csv, one row a placement, best first.
import { FIDELITIES, type PlacementBlock, type RankedPlacement } from '../model/placement.ts';
import type { Column, NumberColumn } from './column.ts';
import { QUANTITY, type Quantity } from './quantity.ts';

/** A placement with its place in the ranking, 1-based. */
export interface PlacementRow {
  readonly rank: number;
  readonly ranked: RankedPlacement;
}

const Q = QUANTITY;

const number = (
  name: string,
  quantity: Quantity,
  title: string,
  description: string,
  value: (ranked: RankedPlacement) => number,
  required = false,
): NumberColumn<PlacementRow> => ({
  name,
  quantity,
  title,
  description,
  value: (row) => value(row.ranked),
  required,
});

const word = (
  name: string,
  pattern: string,
  title: string,
  description: string,
  value: (ranked: RankedPlacement) => string,
): Column<PlacementRow> => ({
  name,
  quantity: null,
  pattern,
  title,
  description,
  value: (row) => value(row.ranked),
  required: false,
});

/** Number of an axis as people count, 1-based; NaN for none. */
const axisNumber = (axis: number): number => (axis < 0 ? Number.NaN : axis + 1);

/** The longest of the stretches in the way; moves have no length and come last. */
const worst = ({ blocks }: RankedPlacement): PlacementBlock | undefined =>
  blocks.reduce<PlacementBlock | undefined>(
    (most, block) => (most === undefined || block.length > most.length ? block : most),
    undefined,
  );

export const PLACEMENT_COLUMNS: readonly Column<PlacementRow>[] = [
  {
    name: 'rank',
    quantity: Q.count,
    title: 'rank',
    description: 'Place in the ranking, 1 is the best.',
    value: (row) => row.rank,
    required: true,
  },
  word(
    'figures',
    FIDELITIES.join('|'),
    'kind of figures',
    'planned: as a plan of the job there has them; estimated: from a part of the waypoints and turns.',
    ({ fidelity }) => fidelity,
  ),
  ...['x', 'y', 'z'].map((axis, k) =>
    number(
      `${axis}_mm`,
      Q.length,
      `part ${axis}`,
      `Origin of the part frame in the arm's base frame, ${axis}.`,
      ({ placement }) => placement.position[k],
      true,
    ),
  ),
  ...['a', 'b', 'c'].map((angle, k) =>
    number(
      `${angle}_deg`,
      Q.turn,
      `part ${angle.toUpperCase()}`,
      `Turn of the part frame about ${'xyz'[k]} of the base frame: R = Rz(C) Ry(B) Rx(A).`,
      ({ placement }) => placement.rotation[k],
      true,
    ),
  ),
  number('length_mm', Q.size, 'length', 'Length driven over all seams.', ({ length }) => length, true),
  number('done_mm', Q.size, 'length done', 'Length of it that the arm can do.', ({ done }) => done, true),
  number(
    'full_speed',
    Q.share,
    'share at process speed',
    'Share of the weld that is driven at process speed.',
    ({ speedShare }) => speedShare,
    true,
  ),
  number(
    'margin',
    Q.ratio,
    'margin',
    'Smallest room that is left over what the job asks for, of an axis to its limit or of the singularity measure, whichever is less: 1 is just enough.',
    ({ margin }) => margin,
  ),
  number(
    'joint_margin_deg',
    Q.turn,
    'joint margin',
    'Smallest distance of an axis to its limit.',
    ({ jointMargin }) => jointMargin,
  ),
  number('joint_margin_axis', Q.count, 'axis of the joint margin', 'Axis that has it, from 1.', ({ jointAxis }) =>
    axisNumber(jointAxis),
  ),
  number(
    'singularity',
    Q.ratio,
    'singularity measure',
    "Smallest singular value of the Jacobian with lengths over the arm's span: 0 in a singular posture.",
    ({ singularity }) => singularity,
  ),
  number(
    'clearance_mm',
    Q.length,
    'clearance',
    'Smallest distance of head and arm from parts, tooling and floor along the seams and the moves; empty where nothing is near. Planned only.',
    ({ clearance }) => clearance,
  ),
  number('cycle_s', Q.time, 'cycle time', 'Time of all seams, without the moves. Planned only.', ({ cycle }) => cycle),
  number(
    'blocks',
    Q.count,
    'blocks',
    'Number of stretches and moves in the way, with parts in the floor and a head too heavy.',
    ({ blocks }) => blocks.length,
    true,
  ),
  word('block', '[a-z-]*', 'longest block', 'Why the longest of them cannot be driven.', (r) => worst(r)?.why ?? ''),
  number('block_axis', Q.count, 'axis of the block', 'Axis at its limit there, from 1.', (r) =>
    axisNumber(worst(r)?.axis ?? -1),
  ),
  word(
    'block_pair',
    '.*',
    'pair of the block',
    'What is too close to what there, the part in the floor, or the head too heavy.',
    (r) => worst(r)?.pair ?? '',
  ),
  word('block_seam', '.*', 'seam of the block', 'Seam that it lies on.', (r) => worst(r)?.seam ?? ''),
  word(
    'block_move',
    '[a-z-]*',
    'move of the block',
    'Move that it lies on; empty along the seam.',
    (r) => worst(r)?.move ?? '',
  ),
  number(
    'block_from_mm',
    Q.length,
    'start of the block',
    'Arc length at its first waypoint.',
    (r) => worst(r)?.from ?? Number.NaN,
  ),
  number(
    'block_to_mm',
    Q.length,
    'end of the block',
    'Arc length at its last waypoint.',
    (r) => worst(r)?.to ?? Number.NaN,
  ),
];
