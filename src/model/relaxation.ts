// What smoothing the beam axis came to: how far every axis leans from its nominal direction, and what the head is spared.
import type { Aim } from './aim.ts';

/** The beam aimed along smoothed axes; arrays over the stations of a `Path`. */
export interface RelaxedAim {
  readonly aim: Aim;
  /** Angle between the axis and the nominal one, n, rad; 0 off the seam. */
  readonly lean: Float64Array;
  /** Largest such angle that was allowed: the job's, or what limits along the beam leave of it; n, rad. */
  readonly cone: Float64Array;
}

/** What a seam asks of the head. */
export interface HeadEffort {
  /** Largest speed of the head point over that of the spot. */
  readonly headFactor: number;
  /** Largest turn of the tool frame per arc length, rad/mm. */
  readonly turn: number;
  /** Length of the weld (without its overlap) that is driven at the full process speed, mm. */
  readonly fullSpeed: number;
  /** Cycle time, s. */
  readonly cycle: number;
}

export interface Relaxation {
  readonly lean: Float64Array;
  readonly cone: Float64Array;
  /** With the nominal axes, and with the smoothed ones. */
  readonly before: HeadEffort;
  readonly after: HeadEffort;
}
