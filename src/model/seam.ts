// The seam: a curve on the joint face, with what was chosen and how well it fits.
import type { Break, Curve } from './curve.ts';

/** How far the curve and the model's own points lie apart, mm. */
export interface FitReport {
  readonly points: number;
  readonly largest: number;
  readonly rms: number;
  /** Arc length of the largest distance, mm. */
  readonly at: number;
}

/** One border of the joint face, as seen from the seam. */
export interface FaceRef {
  /** Key of the body in the job: index into `Job.parts`. */
  readonly part: number;
  /** Index into `Body.faces`. */
  readonly face: number;
}

export interface Seam {
  readonly name: string;
  readonly curve: Curve;
  /** Tangent breaks of more than 5 degrees: corners, kept as such. */
  readonly corners: readonly Break[];
  /** Tangent breaks between 0.1 and 5 degrees, kept too. */
  readonly kinks: readonly Break[];
  /** The joint faces that the seam runs over, in order along the seam; `from` is the arc length where each begins, mm. */
  readonly faces: readonly { readonly from: number; readonly ref: FaceRef }[];
  /** Edges that were followed, in order, or those that border the band. */
  readonly edgeIds: readonly string[];
  /** Why this joint face: `given`, `covered` (by the transmissive body), `towards-beam` or `band`. */
  readonly faceChoice: 'given' | 'covered' | 'towards-beam' | 'band';
  readonly fit: FitReport;
}
