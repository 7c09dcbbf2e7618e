// How the head stands over every station and what the beam meets there.

/** All arrays run over the stations of a `Path`; a value that could not be computed is NaN. */
export interface Aim {
  /** Number of stations, n. */
  readonly count: number;
  /** Unit beam axis in air, from the head to the part, 3 x n, part frame. */
  readonly axis: Float64Array;
  /** Tool centre point: where the focus would lie without the part, 3 x n, mm, part frame. */
  readonly tcp: Float64Array;
  /** Tool frame as a unit quaternion w x y z, 4 x n: z along the beam axis, continuous in sign along the stations. */
  readonly frame: Float64Array;
  /** Head point TCP - standoff x axis, 3 x n, mm. */
  readonly head: Float64Array;
  /** First and second derivative of the head point by arc length, 3 x n each, mm/mm and 1/mm. */
  readonly headD1: Float64Array;
  readonly headD2: Float64Array;
  /** Rotation vector of the tool frame per arc length, 3 x n, rad/mm, and its derivative, rad/mm2; part frame. */
  readonly turnD1: Float64Array;
  readonly turnD2: Float64Array;
  /** Component of headD1 along the tangent: how many times faster than the spot the head travels; 0 stands still, < 0 runs back; n. */
  readonly headFactor: Float64Array;
  /** Point where the beam enters the outermost surface, 3 x n, mm. */
  readonly entry: Float64Array;
  /** Angle between beam and surface normal at entry, in air, n, rad. */
  readonly incidenceEntry: Float64Array;
  /** Angle between beam and joint normal at the joint, in the layer, n, rad. */
  readonly incidenceJoint: Float64Array;
  /** Length of the beam's way inside the transmissive layer, n, mm. */
  readonly layer: Float64Array;
  /** Number of walls of transmissive bodies (or a stated layer) that the beam passes; 1 is as it should be, 0 where none lies over the joint; n. */
  readonly walls: Uint8Array;
  /** Gap along the beam between layer and joint, n, mm; 0 in contact. */
  readonly gap: Float64Array;
  /** Gap before contact hysteresis and clamping, n, mm; negative where the bodies overlap. */
  readonly rawGap: Float64Array;
  /**
   * Share of the power at entry that reaches the joint through surfaces and layer, n: the only loss that power makes up for. NaN
   * where a job with a layer has none over the joint; 1 on a bare joint.
   */
  readonly transmitted: Float64Array;
  /** transmitted x gap factor x (1 - clipped), n. */
  readonly delivered: Float64Array;
  /** Share of the beam that something stands in the way of, weighted with its profile, n. */
  readonly clipped: Float64Array;
  /** Index into `Job.parts` of the body that clips most, or -1; n. */
  readonly clippedBy: Int32Array;
  /** Share of the spot that falls on the joint face: nominal, and at the worse end of the lateral tolerance; n. */
  readonly capture: Float64Array;
  readonly captureLateral: Float64Array;
  /** Distance from the seam to the joint face's border to either side (towards b, against b), n, mm; NaN where there is none within a few spot radii, negative where the seam lies beside the face. */
  readonly borderLeft: Float64Array;
  readonly borderRight: Float64Array;
  /** Spot radius (1/e2 or top-hat edge) on the joint along and across the seam, n, mm. */
  readonly spotAlong: Float64Array;
  readonly spotAcross: Float64Array;
  /** How far the layer moves the focus along the beam, n, mm; the tool centre point is moved back by as much. */
  readonly focusShift: Float64Array;
}
