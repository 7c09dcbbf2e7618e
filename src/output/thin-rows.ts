// Which rows a program keeps: as few as straight lines and arcs between them allow, each skipped row checked against the
// pose that a controller would be in (position on line or arc, frame by slerp, energy by straight interpolation).
import { rotationBetween, slerp } from '../geometry/quaternion.ts';
import { length } from '../geometry/vector.ts';
import { angleOn, arcThrough, distanceFrom, onSegment } from './arc.ts';

export interface ThinningLimits {
  /** Largest distance of a skipped row from the line or arc, mm. */
  readonly chord: number;
  /** Largest turn of a skipped row's frame from the frame in between, rad. */
  readonly turn: number;
  /** Largest error of the line energy interpolated between kept rows, J/mm. */
  readonly energy: number;
}

export interface ThinningRows {
  readonly count: number;
  /** 3 x count, mm. */
  readonly position: Float64Array;
  /** Unit quaternions, 4 x count. */
  readonly frame: Float64Array;
  /** Energy that leaves the head per length, count, J/mm. */
  readonly energy: Float64Array;
  /** Rows on either side of which a move must not be the same: 1 where a row has to be kept. */
  readonly keep: Uint8Array;
}

/** One move: to row `to`, straight, or by an arc through row `via`. */
export interface Move {
  readonly from: number;
  readonly to: number;
  /** -1 for a straight line. */
  readonly via: number;
}

/** An arc has to save this many rows to be worth its via point. */
const ARC_GAIN = 2;
/** A controller may take the wrong way round at a half circle and beyond, rad. */
const LARGEST_ARC = 0.9 * Math.PI;

/**
 * Moves that lead through all rows, each as long as the limits allow.
 */
export function thinRows(rows: ThinningRows, limits: ThinningLimits): Move[] {
  const moves: Move[] = [];
  let from = 0;
  while (from < rows.count - 1) {
    let last = from + 1;
    while (last < rows.count - 1 && rows.keep[last] === 0) last++;
    const straight = farthest(from, last, (to) => straightFits(rows, limits, from, to));
    const curved = farthest(from, last, (to) => arcFits(rows, limits, from, to));
    const byArc = curved >= straight + ARC_GAIN;
    const to = byArc ? curved : straight;
    moves.push({ from, to, via: byArc ? middle(from, to) : -1 });
    from = to;
  }
  return moves;
}

/** Last row up to which `fits` was found to hold, by doubling steps and then halving them; at least from + 1. */
function farthest(from: number, last: number, fits: (to: number) => boolean): number {
  let good = from + 1;
  let step = 1;
  while (good < last && fits(Math.min(last, good + step))) {
    good = Math.min(last, good + step);
    step *= 2;
  }
  while (step > 1) {
    step /= 2;
    if (good + step <= last && fits(good + step)) good += step;
  }
  return good;
}

const middle = (from: number, to: number): number => Math.floor((from + to) / 2);

function straightFits(rows: ThinningRows, limits: ThinningLimits, from: number, to: number): boolean {
  for (let row = from + 1; row < to; row++) {
    const { share, distance } = onSegment(rows.position, 3 * from, 3 * to, 3 * row);
    if (distance > limits.chord || !frameFits(rows, limits, from, to, share, row)) return false;
    if (!energyFits(rows, limits, from, to, share, row)) return false;
  }
  return true;
}

function arcFits(rows: ThinningRows, limits: ThinningLimits, from: number, to: number): boolean {
  // Up to two rows away there are three points at most, and an arc through them skips none.
  if (to < from + 3) return true;
  const via = middle(from, to);
  const arc = arcThrough(rows.position, 3 * from, 3 * via, 3 * to);
  if (arc === null || arc.end > LARGEST_ARC) return false;
  for (let row = from + 1; row < to; row++) {
    const angle = angleOn(arc, rows.position, 3 * row);
    if (angle > arc.end || distanceFrom(arc, rows.position, 3 * row) > limits.chord) return false;
    const framesFit =
      angle < arc.via
        ? frameFits(rows, limits, from, via, angle / arc.via, row)
        : frameFits(rows, limits, via, to, (angle - arc.via) / (arc.end - arc.via), row);
    if (!framesFit || !energyFits(rows, limits, from, to, angle / arc.end, row)) return false;
  }
  return true;
}

/** Angle of the turn from one row's frame to another's, rad. */
function turnBetween(frame: Float64Array, from: number, to: number): number {
  const r = new Float64Array(3);
  rotationBetween(frame, 4 * from, frame, 4 * to, r, 0);
  return length(r, 0);
}

/** Whether the row's frame is what slerp gives at `share` of the way, within the limit. */
function frameFits(
  rows: ThinningRows,
  limits: ThinningLimits,
  from: number,
  to: number,
  share: number,
  row: number,
): boolean {
  const between = new Float64Array(8);
  slerp(rows.frame, 4 * from, rows.frame, 4 * to, share, between, 0);
  between.set(rows.frame.subarray(4 * row, 4 * row + 4), 4);
  return turnBetween(between, 0, 1) <= limits.turn;
}

function energyFits(
  { energy }: ThinningRows,
  limits: ThinningLimits,
  from: number,
  to: number,
  share: number,
  row: number,
): boolean {
  const between = energy[from] + share * (energy[to] - energy[from]);
  // Written so that an unknown energy (NaN) stops nothing: it is as unknown in the plan.
  return !(Math.abs(between - energy[row]) > limits.energy);
}
