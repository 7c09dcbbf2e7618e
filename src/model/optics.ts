// The head and the source: what the beam is like and what the power can do.

export type Profile = 'gaussian' | 'top-hat';

/** Caustic after ISO 11146-1: w(z) = waist sqrt(1 + (z / zR)^2), zR = pi waist^2 / (M2 wavelength). */
export interface Optics {
  readonly id: string;
  readonly title: string;
  /** mm (980 nm is 0.00098). */
  readonly wavelength: number;
  readonly beamQuality: number;
  /** Waist radius, mm: 1/e2 for a Gaussian, the edge of a top-hat at its image plane. */
  readonly waist: number;
  readonly profile: Profile;
  /** Radius of the beam where it leaves the head, mm; the exit lies `standoff - workingDistance offset` above: at the head point. */
  readonly exitRadius: number;
  /** Unpolarised, or the angle of the plane of polarisation against the tool frame's x axis, rad. */
  readonly polarisation: 'none' | { readonly angle: number };
  /** Smallest and largest power the source holds, W. */
  readonly powerMin: number;
  readonly powerMax: number;
}
