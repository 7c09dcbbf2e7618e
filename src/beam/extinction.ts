// Extinction coefficient of a plate from its measured transmittance, with the light that goes to and fro between its two
// surfaces counted as powers, not as fields (a plate of millimetres and a source of nanometres of bandwidth).
import { exp, log } from '../geometry/elementary.ts';
import { InputError } from '../model/input-error.ts';
import { normalReflectance } from './fresnel.ts';

/** A plate that loses nothing inside may be measured this much better than it can be. */
const MEASURED = 1e-9;

/**
 * Extinction coefficient A, 1/mm, of a plate of index `index` and `thickness` mm whose transmittance at normal incidence
 * is `transmittance` (0 .. 1): T = (1 - R)^2 x / (1 - R^2 x^2), x = exp(-A l), solved for x. Throws InputError
 * `transmittance-impossible`, naming `place`, where T is not in (0, (1 - R)/(1 + R)].
 */
export function extinctionOf(transmittance: number, index: number, thickness: number, place: string): number {
  const reflected = normalReflectance(1, index);
  const largest = (1 - reflected) / (1 + reflected);
  if (!(transmittance > 0 && transmittance <= largest + MEASURED)) {
    throw new InputError(
      'transmittance-impossible',
      `a transmittance of ${percent(transmittance)} % cannot be: both surfaces of a plate of index ${index} let through at most ${percent(largest)} %`,
      place,
      'measure both surfaces, in air, and give the share as 0 .. 1; or correct the index',
    );
  }
  const passed = (1 - reflected) ** 2;
  const doubled = 2 * transmittance * reflected;
  const x = (2 * transmittance) / (passed + Math.sqrt(passed * passed + doubled * doubled));
  return Math.max(0, -log(x) / thickness);
}

/** The other way round: transmittance of a plate of that extinction coefficient. */
export function transmittanceOf(extinction: number, index: number, thickness: number): number {
  const reflected = normalReflectance(1, index);
  const x = exp(-extinction * thickness);
  return ((1 - reflected) ** 2 * x) / (1 - reflected ** 2 * x * x);
}

function percent(share: number): string {
  return (100 * share).toFixed(2);
}
