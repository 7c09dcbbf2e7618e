// What is known of a material: at the laser's wavelength, and of its polymer as it warms.

/** What a polymer does as it warms; constant properties. */
export interface Thermal {
  readonly structure: 'amorphous' | 'semi-crystalline' | 'elastomer';
  /** g/mm3 */
  readonly density: number;
  /** J/(g K) */
  readonly specificHeat: number;
  /** W/(mm K) */
  readonly conductivity: number;
  /** Melting or glass transition, degC. */
  readonly melting: number;
  /** Temperature that the bond plane must reach for a bond, degC. */
  readonly weldOnset: number;
  /** Heat of melting, J/g; 0 where the specific heat holds it, or nothing melts. */
  readonly latent: number;
  /** Limit on the hottest point, degC, and first-order kinetics where known: rate 1/s, energy J/mol. */
  readonly decomposition: number;
  readonly kinetics: { readonly rate: number; readonly energy: number } | null;
}

export interface Material {
  readonly id: string;
  readonly title: string;
  /** Refractive index at the laser's wavelength. */
  readonly index: number;
  /** Measured transmittance of a plate, both surfaces counted, share 0 .. 1; absent for an absorbing material. */
  readonly transmittance?: { readonly value: number; readonly thickness: number };
  /** Shortest and longest wavelength at which the optical values hold, mm; absent where that is not said. */
  readonly wavelengths?: readonly [number, number];
  /** Scatters (filled or semi-crystalline): an extinction from one thickness is not heating. */
  readonly scattering: boolean;
  /** Absorption coefficient at the laser's wavelength, 1/mm: given, or from the content of carbon black. */
  readonly absorption?: number;
  /** What scattering adds to the spot's radius per thickness, mm/mm, by second moments; absent where it is not known. */
  readonly widening?: number;
  /** What of a layer's extinction heats it, 1/mm, where that is known. */
  readonly layerAbsorption?: number;
  /** Name of its polymer in the table of pairs. */
  readonly polymer?: string;
  /** Absent where any of it is unknown. */
  readonly thermal?: Thermal;
  /** Colour that the part is to have. */
  readonly colour?: string;
}

export type Verdict = 'joins' | 'some-grades' | 'reported' | 'not-known';

/** Verdicts by both polymers' names in alphabetical order, with a bar between; what is missing is not known. */
export type PairTable = ReadonlyMap<string, { readonly verdict: Verdict; readonly source: string }>;

export function pairKey(a: string, b: string): string {
  return a < b ? `${a}|${b}` : `${b}|${a}`;
}
