// When a value counts as over its limit. A plate drawn 3.000 mm thick is not over 3: what is computed carries the error of
// the surfaces it was computed on, and that much is allowed beside a limit.
import { RAD_PER_DEG } from '../model/units.ts';

/** Rounding of arithmetic, relative to the limit. */
const RELATIVE = 1e-6;

/** Accuracy that values are computed to: 2 um along a ray, 0.02 deg for a normal, 1e-4 of a beam sampled by rays. */
export const ACCURACY = { length: 0.002, angle: 0.02 * RAD_PER_DEG, share: 1e-4 } as const;

/** Whether a value lies above a limit by more than it is accurate to; never for an unknown value. */
export function isOver(value: number, limit: number, accuracy: number): boolean {
  return value > limit + RELATIVE * Math.abs(limit) + accuracy;
}

/** Whether a value lies below a limit by more than it is accurate to; never for an unknown value. */
export function isUnder(value: number, limit: number, accuracy: number): boolean {
  return isOver(-value, -limit, accuracy);
}
