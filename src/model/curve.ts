// A space curve made of cubic pieces, measured by arc length.

/**
 * One C2 cubic spline through `m + 1` knots. On span j the position is
 * ((c3 u + c2) u + c1) u + c0 with u = parameter - knot[j].
 */
export interface CurvePiece {
  /** Parameters of the knots, m + 1, strictly increasing, chord lengths in mm. */
  readonly knot: Float64Array;
  /** Coefficients, 12 x m: c0.xyz, c1.xyz, c2.xyz, c3.xyz per span. */
  readonly coefficient: Float64Array;
  /** Arc length at each knot, m + 1, mm, counted from the start of the whole curve. */
  readonly arc: Float64Array;
}

/** Pieces joined end to end. */
export interface Curve {
  readonly pieces: readonly CurvePiece[];
  /** The end joins the start. */
  readonly closed: boolean;
  /** Arc length of all pieces, mm. */
  readonly length: number;
}

/** A place where the tangent breaks. */
export interface Break {
  /** Arc length, mm. */
  readonly s: number;
  /** Angle between the tangents on either side, rad. */
  readonly angle: number;
}
