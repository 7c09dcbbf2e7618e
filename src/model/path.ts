// The seam sampled: stations on the joint, and the rows (waypoints) that visit them.

/** Phases of a row, as numbers in `Rows.phase`. */
export const PHASES = ['run-in', 'weld', 'overlap', 'run-out'] as const;
export type Phase = (typeof PHASES)[number];

/**
 * Stations in the order of arc length. A closed seam has them in [0, L) and does not repeat the first; an open seam has
 * them in [0, L] and, beyond its ends, on the straight extension of its end tangents.
 */
export interface Path {
  readonly closed: boolean;
  /** Arc length of the seam, mm. */
  readonly length: number;
  /** Number of stations, n. */
  readonly count: number;
  /** Arc length, n, mm. */
  readonly s: Float64Array;
  /** 1 on the seam, 0 on a straight extension; n. */
  readonly onSeam: Uint8Array;
  /** Position on the joint, 3 x n, mm, part frame. */
  readonly position: Float64Array;
  /** Unit tangent, 3 x n; at a corner the outgoing one. */
  readonly tangent: Float64Array;
  /** Unit normal of the joint face, out of the absorbing body, 3 x n. b = n x t. */
  readonly normal: Float64Array;
  /** |C''|, n, 1/mm. */
  readonly curvature: Float64Array;
  /** Normal curvature, n, 1/mm, positive where the surface is convex towards the head: C'' = -k_n n + k_g b. */
  readonly normalCurvature: Float64Array;
  /** Geodesic curvature, n, 1/mm, positive where the seam bends towards b. */
  readonly geodesicCurvature: Float64Array;
  /** Geodesic torsion, n, 1/mm: n' = k_n t - tau_g b. */
  readonly geodesicTorsion: Float64Array;
  /** Angle of the corner at this station, n, rad; 0 where there is none. */
  readonly corner: Float64Array;
  /** Joint face under each station, n: index into `Seam.faces`. */
  readonly face: Uint32Array;
  readonly rows: Rows;
}

/** The waypoints: one row each, in the order they are driven. */
export interface Rows {
  /** Number of rows, m. */
  readonly count: number;
  /** Arc length driven, m, mm: negative in the run-in, beyond L in overlap and run-out. */
  readonly s: Float64Array;
  /** Index of the station that the row stands on, m. */
  readonly station: Uint32Array;
  /** Index into `PHASES`, m. */
  readonly phase: Uint8Array;
}
