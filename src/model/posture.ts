// How the arm stands over every row of a path: joint angles, their change along the seam, and how much room is left.

/** Why the arm cannot stand, as numbers in `Blocked.why`. */
export const BLOCKS = ['out-of-reach', 'joint-limit', 'no-continuous-branch'] as const;
export type Block = (typeof BLOCKS)[number];

/** A stretch of rows without a posture. */
export interface Blocked {
  /** First and last row. */
  readonly firstRow: number;
  readonly lastRow: number;
  /** Arc length driven at those rows, mm. */
  readonly from: number;
  readonly to: number;
  readonly why: Block;
  /** Axis (0-based) for `joint-limit`, else -1. */
  readonly axis: number;
  /** By how much at the worst row: rad beyond the limit, mm beyond reach (NaN where it is not known), 0 else. */
  readonly excess: number;
}

/**
 * How a closed seam's end meets its start: not a closed seam or never driven round; in the very same posture; in the
 * same pose with axes a number of whole turns further; or in another posture, or with rows on the way that have none.
 */
export type Closure = 'open' | 'same' | 'turns' | 'other';

/** What the search found; arrays over the m rows, NaN in rows without a posture. */
export interface Posture {
  /** Rows and axes, m and n. */
  readonly count: number;
  readonly axes: number;
  /** Turn of the tool about the beam, from the frames of `Aim`, m, rad, continuous along the rows. */
  readonly turn: Float64Array;
  /** Joint angles, n x m, rad. */
  readonly angle: Float64Array;
  /** Derivatives by arc length driven, n x m, rad/mm and rad/mm2. */
  readonly angleD1: Float64Array;
  readonly angleD2: Float64Array;
  readonly blocked: readonly Blocked[];
  readonly closure: Closure;
  /** Whole turns by which each axis stands further after the round, n. */
  readonly closureTurns: Int32Array;
}

/** Room left at each row; NaN in rows without a posture. */
export interface Margins {
  /** Distance to the nearer limit of each axis, n x m, rad; negative beyond it. */
  readonly limit: Float64Array;
  /** Smallest of the axes' shares (distance to the limit / half the range), m, and whose it is. */
  readonly limitShare: Float64Array;
  readonly limitAxis: Int8Array;
  /** Smallest singular value of the Jacobian with lengths over the arm's reach, m: 0 in a singular posture. */
  readonly singularity: Float64Array;
  /** Yoshikawa's manipulability sqrt det (J J'), m, mm3 for six axes. */
  readonly manipulability: Float64Array;
  /** Distance of the wrist from the nearer border of the room it reaches, m, mm; NaN for a general chain. */
  readonly reach: Float64Array;
  /** What the umbilical has left, m, rad; Infinity where nothing winds. */
  readonly umbilical: Float64Array;
}
