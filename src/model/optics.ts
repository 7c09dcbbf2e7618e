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
  /**
   * Law of the power over the speed v, found in trials: P = powerOffset + powerSlope x (E' v / transmitted), W and W/W. 0 and 1
   * are the proportional law, which keeps the line energy E' at every speed.
   */
  readonly powerOffset: number;
  readonly powerSlope: number;
  /** The source emits nothing while less than this is asked of it, W. */
  readonly powerThreshold: number;
  /** Time from the instant at which the cell sets a power to the one at which it leaves the head, s: a pure delay. */
  readonly powerLag: number;
  /** How far ahead of the motion the cell reads the speed it sets the power for, s. */
  readonly powerLead: number;
  /** Time between two settings of the power, which is held in between, s; 0 follows without steps. */
  readonly powerUpdate: number;
}
