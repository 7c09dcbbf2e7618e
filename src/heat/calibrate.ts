// Absorption and delivered share from trials: seams whose melted width, or whose onset of melting, was measured at a known
// power and speed. For an absorption each trial asks for a line energy; the share follows in closed form as the mean ratio (of
// logarithms) of what was asked for to what was sent, and the absorption as the one whose ratios agree best.
import { exp, log } from '../geometry/elementary.ts';
import { InputError } from '../model/input-error.ts';
import type { Task } from '../model/task.ts';
import { energyForWidth, preheated, unitPass, type WindowCase } from './process-window.ts';

export interface Trial {
  /** Power at the source, W, and speed, mm/s. */
  readonly power: number;
  readonly speed: number;
  /** Melted width, mm; 0: melting just began. */
  readonly width: number;
}

export interface Calibration {
  /** Absorption coefficient, 1/mm: found, or as it was where the trials cannot tell. */
  readonly absorption: number;
  /** Share of the source's power that becomes heat in the absorber. */
  readonly delivered: number;
  /** Root mean square of what is left, as a share of line energy; 0 for a single trial. */
  readonly residual: number;
  /** Whether the trials tell absorption from share: the residual must grow well away from the best. */
  readonly absorptionFound: boolean;
}

/** Absorption is looked for from a tenth to ten times the given one. */
const SPAN = 10;
const GRID = 13;
const TURNS = 12;

/** The residual a factor of 1.5 away must be this much larger than the best for the absorption to count as found. */
const TELLS = 1.2;

/** Fits both to the trials; one trial, or trials at one speed and width, leave the absorption as it is. Throws InputError `trial-*`. */
export async function calibrate(
  of: WindowCase,
  trials: readonly Trial[],
  place: string,
  task?: Task,
): Promise<Calibration> {
  checkTrials(trials, place);
  const given = of.medium.absorption;
  const fitAt = async (absorption: number) => {
    await task?.pause('fitting to trials', 0.5);
    return fitShare(of, absorption, trials, place);
  };
  const same = await fitAt(given);
  const alike = trials.every((trial) => trial.speed === trials[0].speed && trial.width === trials[0].width);
  if (alike) return { absorption: given, ...same, absorptionFound: false };
  const at = (k: number) => given * exp(log(SPAN) * (-1 + (2 * k) / (GRID - 1)));
  const fits: number[] = [];
  for (let k = 0; k < GRID; k++) fits.push((await fitAt(at(k))).residual);
  const best = fits.indexOf(Math.min(...fits));
  let [low, high] = [log(at(Math.max(0, best - 1))), log(at(Math.min(GRID - 1, best + 1)))];
  for (let turn = 0; turn < TURNS; turn++) {
    const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
    if ((await fitAt(exp(a))).residual < (await fitAt(exp(b))).residual) high = b;
    else low = a;
  }
  const absorption = exp((low + high) / 2);
  const fit = await fitAt(absorption);
  const [above, below] = [await fitAt(absorption * 1.5), await fitAt(absorption / 1.5)];
  const beside = Math.min(above.residual, below.residual);
  const found = beside > TELLS * fit.residual && beside > 1e-4;
  return { absorption, ...fit, absorptionFound: found };
}

function fitShare(
  of: WindowCase,
  absorption: number,
  trials: readonly Trial[],
  place: string,
): Pick<Calibration, 'delivered' | 'residual'> {
  const changed = { ...of, medium: { ...of.medium, absorption } };
  const ratios = trials.map((trial, k) => {
    const limits = preheated(changed, trial.speed);
    const needed = energyForWidth(unitPass(changed, trial.speed), limits, trial.width);
    if (!(needed > 0)) {
      throw new InputError(
        'trial-width',
        `no line energy melts a seam ${trial.width} mm wide with this spot`,
        `${place}/${k}`,
        'check the width that was measured, and the radius of the spot',
      );
    }
    return log((needed * trial.speed) / trial.power);
  });
  const mean = ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length;
  const square = ratios.reduce((sum, ratio) => sum + (ratio - mean) ** 2, 0) / ratios.length;
  return { delivered: exp(mean), residual: Math.sqrt(square) };
}

function checkTrials(trials: readonly Trial[], place: string): void {
  if (trials.length === 0) {
    throw new InputError('trial-none', 'there are no trials to fit', place, 'give one or more');
  }
  trials.forEach(({ power, speed, width }, k) => {
    if (power > 0 && speed > 0 && width >= 0 && power < 1e6 && speed < 1e6) return;
    throw new InputError(
      'trial-value',
      'a trial needs a power and a speed above 0 and a width of 0 or more',
      `${place}/${k}`,
      'give power in W, speed in mm/s, width in mm',
    );
  });
}
