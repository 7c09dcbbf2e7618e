// A seam that is welded later beside another, and how hot it makes that again.

/** All arrays over the n stations of the seam that was welded before. */
export interface LaterPass {
  /** Highest temperature that the later seam brings to the bond plane, degC; NaN where none comes near. */
  readonly peak: Float64Array;
  /** Distance from it, mm. */
  readonly distance: Float64Array;
  /** Its name; empty where none comes near. */
  readonly seam: readonly string[];
}
