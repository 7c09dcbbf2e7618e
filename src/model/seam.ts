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

/** What a selection is by its geometry alone: found again when faces and edges have new numbers. */
export interface Fingerprint {
  /** Length before offset, start and direction, mm. */
  readonly length: number;
  readonly closed: boolean;
  /** Points on it, mm, at least one on each of its edges. */
  readonly points: readonly (readonly [number, number, number])[];
}

/** How a selection agrees with the fingerprint in the job. */
export interface SelectionMatch {
  /** `none`: the job has no fingerprint; `same`; `found`: by the fingerprint alone; `changed`: nothing fits it. */
  readonly kind: 'none' | 'same' | 'found' | 'changed';
  /** Largest distance of the fingerprint's points from what is selected, mm; 0 without one. */
  readonly distance: number;
  /** Why the selection itself was not taken; empty unless `found`. */
  readonly why: string;
}

/** A corner that was rounded. */
export interface Blend {
  /** Where it begins and ends, arc length, mm; on a closed seam `to` may be the smaller where it crosses the start. */
  readonly from: number;
  readonly to: number;
  /** Angle of the corner that was, rad. */
  readonly angle: number;
  /** Distance at which the seam passes the corner, mm, and the one that was asked for. */
  readonly deviation: number;
  readonly wanted: number;
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
  /** Corners that were rounded, in order along the seam. */
  readonly blends: readonly Blend[];
  /** Edges that were followed, in order, or those that border the band or the contact. */
  readonly edgeIds: readonly string[];
  /** Why this joint face: `given`, `covered` (by the transmissive body), `towards-beam`, `band`, `contact` or `points` (most of them). */
  readonly faceChoice: 'given' | 'covered' | 'towards-beam' | 'band' | 'contact' | 'points';
  readonly fit: FitReport;
  /** Of what is selected, before offset, start and direction. */
  readonly fingerprint: Fingerprint;
  readonly match: SelectionMatch;
}
