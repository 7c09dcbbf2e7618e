// The caustic of a beam after ISO 11146-1: w(z) = w0 sqrt(1 + (z / zR)^2), zR = pi w0^2 / (M2 lambda).
import type { Optics } from '../model/optics.ts';

type Beam = Pick<Optics, 'wavelength' | 'beamQuality' | 'waist'>;

/** Rayleigh length zR, mm: where the beam has sqrt 2 times its waist radius. */
export function rayleighLength({ wavelength, beamQuality, waist }: Beam): number {
  return (Math.PI * waist * waist) / (beamQuality * wavelength);
}

/** Beam radius, mm, at the distance `z` mm from the focus. */
export function beamRadius(beam: Beam, z: number): number {
  const relative = z / rayleighLength(beam);
  return beam.waist * Math.sqrt(1 + relative * relative);
}

/** Tangent of the half-angle of the cone far from the focus. */
export function divergence(beam: Beam): number {
  return beam.waist / rayleighLength(beam);
}
