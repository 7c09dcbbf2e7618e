// The time law: speed, time and power over the rows of a path.
import type { KnotsBetween } from './posture.ts';

/** What holds the speed down at a row, as numbers in `Timing.bound`. */
export const BOUNDS = [
  'process-speed',
  'spot-acceleration',
  'normal-acceleration',
  'head-speed',
  'head-acceleration',
  'head-turn',
  'head-turn-acceleration',
  'source-power',
  'corner',
  'axis-speed',
  'axis-acceleration',
] as const;
export type Bound = (typeof BOUNDS)[number];

/** How one axis of the arm moves along the rows (cubic splines), and what it can do. */
export interface AxisMotion {
  /** Derivatives of its angle by arc length, m, rad/mm and rad/mm2; NaN where the arm cannot stand. */
  readonly d1: Float64Array;
  readonly d2: Float64Array;
  /** The same at knots between rows. */
  readonly between: KnotsBetween;
  /** rad/s, rad/s2 */
  readonly speed: number;
  readonly acceleration: number;
}

/** Limits along the rows that the time law obeys; all arrays run over the m rows. */
export interface MotionLimits {
  /** Arc length, m, mm, strictly increasing. */
  readonly s: Float64Array;
  /** Process speed, mm/s. */
  readonly speed: number;
  /** Cap on the speed from the source's power, m, mm/s; Infinity where the beam is off. */
  readonly powerSpeed: Float64Array;
  /** |C''| of the seam, m, 1/mm. */
  readonly curvature: Float64Array;
  /** 1 where the speed must be zero (a corner), m. */
  readonly stop: Uint8Array;
  /** Tangent break without a stop, m, rad. */
  readonly kink: Float64Array;
  /** Derivatives of the head point and of the tool frame, 3 x m each, as in `Aim`. */
  readonly headD1: Float64Array;
  readonly headD2: Float64Array;
  readonly turnD1: Float64Array;
  readonly turnD2: Float64Array;
  /** mm/s2 */
  readonly spotAcceleration: number;
  readonly normalAcceleration: number;
  /** mm/s, mm/s2 */
  readonly headSpeed: number;
  readonly headAcceleration: number;
  /** rad/s, rad/s2 */
  readonly headTurn: number;
  readonly headTurnAcceleration: number;
  /** Axes of the arm, none without one. */
  readonly axes: readonly AxisMotion[];
  /** Speed at the first and at the last row, mm/s: 0 from and to rest. */
  readonly startSpeed: number;
  readonly endSpeed: number;
}

/** The profile of speed; arrays over the m rows. */
export interface SpeedProfile {
  /** Speed of the spot, m, mm/s. */
  readonly speed: Float64Array;
  /** Acceleration of the spot on the interval that begins at the row, m, mm/s2 (constant there); 0 in the last. */
  readonly acceleration: Float64Array;
  /** Time since the first row, m, s. */
  readonly time: Float64Array;
  /** Index into `BOUNDS` of what holds the speed, m. */
  readonly bound: Uint8Array;
}

/** Parts of the cycle, s. */
export interface CycleTime {
  readonly runIn: number;
  readonly weld: number;
  readonly overlap: number;
  readonly runOut: number;
  readonly total: number;
}

/** What the delay of the cell's power costs, and the constant lead that mends most of it. */
export interface PowerArrival {
  /** Best constant lead, s: least length outside the band, then least deviation, then nearest to the mean delay. */
  readonly lead: number;
  /** Length of seam outside the band `Limits.lineEnergy`, mm: with the lead of the optics record, and with the best one. */
  readonly outside: number;
  readonly outsideAtLead: number;
  /** Largest deviation by size, share, its sign kept; likewise. */
  readonly worst: number;
  readonly worstAtLead: number;
}

/** Speed and power over the m rows. */
export interface Timing extends SpeedProfile {
  readonly count: number;
  /** 1 where the beam is on, m. */
  readonly beam: Uint8Array;
  /** Share of full power that the ramps ask for, m: 1 outside ramps, 0 with the beam off. */
  readonly ramp: Float64Array;
  /** Power at the source, m, W; NaN where it cannot be computed. */
  readonly power: Float64Array;
  /** Energy that enters the absorber per length of seam, m, J/mm: power x transmitted / speed. */
  readonly lineEnergy: Float64Array;
  /** Energy per length that leaves the head, m, J/mm: power / speed. */
  readonly incidentEnergy: Float64Array;
  /** Power that leaves the head at the row, m, W: delayed, in steps that count from the first row, 0 below the threshold. */
  readonly arrivingPower: Float64Array;
  /** Energy per length that enters the absorber with it, m, J/mm; also where power asked for earlier arrives with the beam off. */
  readonly arrivingEnergy: Float64Array;
  /**
   * Farthest that the arriving line energy lies from `lineEnergy` over all instants at which the steps may fall, m, share
   * with its sign; NaN where it is not judged: at a standstill, in the ramps, and as long after them as they arrive late.
   */
  readonly arrivingDeviation: Float64Array;
  /** Speed of the head point, m, mm/s. */
  readonly headSpeed: Float64Array;
  readonly arrival: PowerArrival;
  readonly cycle: CycleTime;
}
