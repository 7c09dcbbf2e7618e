// What line energy the seam wants at each speed: found for a wanted width or peak, and held as line energy, as peak
// temperature or as width while the speed changes.
import { pow } from '../geometry/elementary.ts';
import type { EnergyDemand } from '../model/energy-demand.ts';
import { InputError } from '../model/input-error.ts';
import type { ProcessSettings } from '../model/job.ts';
import type { Task } from '../model/task.ts';
import { temperatureOf } from './temperature.ts';
import { discTableFor } from './disc-share.ts';
import { highest } from './highest.ts';
import { energyForPeak, energyForWidth, preheated, unitPass, type WindowCase, widthAt } from './process-window.ts';

type Wanted = Pick<ProcessSettings, 'speed' | 'lineEnergy' | 'hold' | 'aim'>;

/** Speeds go down to this share of the process speed; below, the line energy of the slowest is kept. */
const SLOWEST = 1 / 64;
const STEPS = 25;

/**
 * Line energy at the process speed, J/mm: as given, or found for the aim. Throws InputError `aim-unreachable`, naming `place`,
 * where no energy gives the wanted width or the temperature is not above the start.
 */
export function wantedLineEnergy(of: WindowCase, wanted: Wanted, place: string): number {
  const { aim, speed, lineEnergy } = wanted;
  if (aim === null) return lineEnergy;
  const pass = unitPass(of, speed);
  const limits = preheated(of, speed);
  const energy =
    aim.kind === 'width' ? energyForWidth(pass, limits, aim.value) : energyForPeak(pass, limits, aim.value);
  if (energy > 0) return energy;
  const what =
    aim.kind === 'width' ? `melts a seam ${aim.value} mm wide` : `brings the bond plane to ${aim.value} degC`;
  throw new InputError(
    'aim-unreachable',
    `no line energy ${what}`,
    place,
    aim.kind === 'width'
      ? 'ask for less than the spot and the joint face are wide, or take a larger spot'
      : 'ask for more than the start temperature',
  );
}

/** The demand over speed that holds what the process holds. Throws InputError `hold-nothing`, `aim-unreachable`; cancelled by the task. */
export async function energyDemand(of: WindowCase, wanted: Wanted, place: string, task?: Task): Promise<EnergyDemand> {
  const lineEnergy = wantedLineEnergy(of, wanted, place);
  if (wanted.hold === 'line-energy') {
    return { speed: Float64Array.of(wanted.speed), lineEnergy: Float64Array.of(lineEnergy) };
  }
  const here = unitPass(of, wanted.speed);
  const limits = preheated(of, wanted.speed);
  const peak = temperatureOf(limits, highest(here.peak) * lineEnergy);
  const width = widthAt(here, limits, lineEnergy);
  if (wanted.hold === 'weld-width' && !(width > 0)) {
    throw new InputError(
      'hold-nothing',
      'nothing melts at the process speed, so there is no width to hold',
      place,
      'raise line_energy_J_mm, or hold the line energy',
    );
  }
  const discs = discTableFor(of.profile);
  const speed = Float64Array.from({ length: STEPS }, (_, k) => wanted.speed * pow(SLOWEST, 1 - k / (STEPS - 1)));
  const energy = new Float64Array(STEPS);
  for (const [k, v] of speed.entries()) {
    await task?.pause('finding what the hold asks for', k / STEPS);
    const pass = unitPass(of, v, discs);
    const warm = preheated(of, v);
    energy[k] = wanted.hold === 'weld-width' ? energyForWidth(pass, warm, width) : energyForPeak(pass, warm, peak);
  }
  return { speed, lineEnergy: energy };
}
