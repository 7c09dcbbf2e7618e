// The power that is asked of the source at a speed. Energy balance of a moving source: E' = P transmitted / v, so the
// proportional law is P = E' v / transmitted; trials may replace it by an affine one, P = offset + slope x E' v / transmitted.
import type { Optics } from '../model/optics.ts';

/** The part of the optics that the law reads. */
type Source = Pick<Optics, 'powerOffset' | 'powerSlope' | 'powerMin' | 'powerMax'>;

/**
 * Power to ask for, W, at speed v (mm/s), transmitted share, share of the ramp 0 .. 1 and line energy (J/mm). Outside ramps
 * it lies between the source's bounds; in a ramp it is the ramp's share and may pass below the least power. 0 at a
 * standstill, NaN where the transmitted share is unknown or 0.
 */
export function lawPower(v: number, transmitted: number, ramp: number, lineEnergy: number, source: Source): number {
  if (v === 0) return 0;
  if (!(transmitted > 0)) return Number.NaN;
  const wanted = source.powerOffset + (source.powerSlope * lineEnergy * v) / transmitted;
  const least = ramp < 1 ? 0 : source.powerMin;
  return ramp * Math.min(source.powerMax, Math.max(least, wanted));
}

/** Speed at which the law asks for a power above its offset, mm/s. */
export function speedAtPower(power: number, transmitted: number, lineEnergy: number, source: Source): number {
  return ((power - source.powerOffset) * transmitted) / (source.powerSlope * lineEnergy);
}
