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

/** Knots of cubic splines between the points of a grid. */
export interface KnotsBetween {
  /** Grid point before each knot, k, not decreasing. */
  readonly after: Uint32Array;
  /** Place of each between that point and the next, k, 0 .. 1, increasing within an interval. */
  readonly share: Float64Array;
  /** First and second derivatives there, n x k. */
  readonly d1: Float64Array;
  readonly d2: Float64Array;
}

/** What the search found; arrays over the m rows, NaN in rows without a posture. */
export interface Posture {
  /** Rows and axes, m and n. */
  readonly count: number;
  readonly axes: number;
  /** Turn of the tool about the beam, from the frames of `Aim`, m, rad, continuous along the rows. */
  readonly turn: Float64Array;
  /** Joint angles, n x m, rad. */
  readonly angle: Float64Array;
  /** Derivatives by arc length driven, n x m, rad/mm and rad/mm2, of cubic splines: the second runs straight between rows. */
  readonly angleD1: Float64Array;
  readonly angleD2: Float64Array;
  /** Knots that the splines have between rows, where rows alone would let the tool stray. */
  readonly between: KnotsBetween;
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

/** One move with the beam off, sampled finely enough for clearances. */
export interface Move {
  readonly name: 'from-home' | 'approach' | 'retract' | 'to-home';
  /** Joint angles, n x k, rad, in the order driven, both ends included. */
  readonly angle: Float64Array;
  /** Shortest time from rest to rest with the axes' speeds and accelerations, s. */
  readonly time: number;
}

/** What stands in the way of a move; `axis` for a limit, else -1; `at` mm along a straight move, NaN on others. */
export interface TravelProblem {
  readonly move: Move['name'];
  readonly why: 'out-of-reach' | 'joint-limit' | 'home-limit';
  readonly axis: number;
  readonly excess: number;
  readonly at: number;
}

/** The moves around a seam, and what stands in their way. */
export interface Travel {
  readonly moves: readonly Move[];
  readonly problems: readonly TravelProblem[];
}

/** How the arm carries the head along one seam, and to and from it. */
export interface Stand {
  readonly posture: Posture;
  readonly margins: Margins;
  /** No moves where the first or the last row has no posture. */
  readonly travel: Travel;
  /** Turn of the tool at every row, m, rad: where the arm cannot stand as at the nearest row where it can, 0 if there is none. */
  readonly turn: Float64Array;
  /**
   * Rotation vector that a free turn adds to that of the tool frame per arc length, 3 x m, rad/mm, and its derivative, part
   * frame; null where the turn is constant.
   */
  readonly spin: { readonly d1: Float64Array; readonly d2: Float64Array } | null;
  /** Shoulder, elbow and wrist at each row as bits 4, 2 and 1 (set: turned round, down, flipped), m; -1 where there are none. */
  readonly branch: Int8Array;
  /** How far the tool strays from its path between rows, mm and rad. */
  readonly stray: { readonly distance: number; readonly angle: number };
  /** By how much the last three axes of a general chain miss each other, mm; NaN for an arm solved in closed form. */
  readonly wristOffset: number;
}

/** A stretch of rows that one envelope is too close on. */
export interface CloseStretch {
  readonly from: number;
  readonly to: number;
  /** Row of the smallest distance, and that distance, mm. */
  readonly row: number;
  readonly smallest: number;
}

/** How near one envelope comes to one obstacle. */
export interface Clearance {
  readonly envelope: string;
  readonly owner: 'arm' | 'head';
  /** Name of the obstacle; `floor` for the floor. */
  readonly obstacle: string;
  /** Smallest distance over the rows, mm; negative where they overlap. At most the horizon asked for. */
  readonly smallest: number;
  readonly row: number;
  /** Stretches of rows closer than the limit. */
  readonly close: readonly CloseStretch[];
}

/** Room round head and arm, nearest first: along the rows of a seam, and on each move to and from it. */
export interface Room {
  readonly along: readonly Clearance[];
  readonly moves: readonly { readonly name: Move['name']; readonly clearances: readonly Clearance[] }[];
}
