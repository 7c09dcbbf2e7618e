// What is known of a material at the laser's wavelength, each value with where it comes from.

/** A material as the optical stages need it. */
export interface Material {
  readonly id: string;
  readonly title: string;
  /** Refractive index at the laser's wavelength. */
  readonly index: number;
  /** Measured transmittance of a plate, both surfaces counted, share 0 .. 1; absent for an absorbing material. */
  readonly transmittance?: { readonly value: number; readonly thickness: number };
  /** Scatters (filled or semi-crystalline): an extinction from one thickness is not heating. */
  readonly scattering: boolean;
}
