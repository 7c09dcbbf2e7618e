// Absorption and delivered share from trials: seams whose melted width, or whose onset of melting, was measured at a known
// power and speed. For an absorption each trial asks for a line energy; the share follows in closed form as the mean ratio (of
// logarithms) of what was asked for to what was sent, and the absorption as the one whose ratios agree best.
import { exp, log } from '../geometry/elementary.ts';
import { InputError } from '../model/input-error.ts';
import type { Task } from '../model/task.ts';
import type { SteadyPass } from './steady-pass.ts';
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
  /** By how much each trial's line energy is off what the fit asks for, shares. */
  readonly off: readonly number[];
  /** Whether the trials tell absorption from share: the residual must grow well away from the best. */
  readonly absorptionFound: boolean;
}

/** Absorption is looked for from a tenth to ten times the given one. */
const SPAN = 10;
const GRID = 9;
const TURNS = 11;
const GOLDEN = (Math.sqrt(5) - 1) / 2;
const MOST_FITS = GRID + TURNS + 6;

/** The residual a factor of 1.5 away must be this much larger than the best for the absorption to count as found. */
const TELLS = 1.2;

/** What to find; the other stays as it is: the absorption that of the medium, the share `of.transmitted`. */
export type Fit = 'both' | 'absorption' | 'delivered';

/**
 * Fits to the trials; for both, one trial, or trials at one speed and width, leave the absorption as it is. Throws InputError
 * `trial-*`, naming `place`.
 */
export async function calibrate(
  of: WindowCase,
  trials: readonly Trial[],
  place: string,
  task?: Task,
  fit: Fit = 'both',
): Promise<Calibration> {
  checkTrials(trials, place);
  const given = of.medium.absorption;
  let fitted = 0;
  const fitAt = async (absorption: number) => {
    await task?.pause('fitting to trials', fitted++ / MOST_FITS);
    return fitShare(of, absorption, trials, place, fit === 'absorption' ? of.transmitted : null);
  };
  const same = await fitAt(given);
  const alike = trials.every((trial) => trial.speed === trials[0].speed && trial.width === trials[0].width);
  if (fit === 'delivered' || (fit === 'both' && alike)) return { absorption: given, ...same, absorptionFound: false };
  const at = (k: number) => given * exp(log(SPAN) * (-1 + (2 * k) / (GRID - 1)));
  const fits: number[] = [];
  for (let k = 0; k < GRID; k++) fits.push((await fitAt(at(k))).residual);
  const least = fits.indexOf(Math.min(...fits));
  let [low, high] = [log(at(Math.max(0, least - 1))), log(at(Math.min(GRID - 1, least + 1)))];
  // Golden section: each turn leaves 0.618 of the stretch for one fit (Kiefer 1953, from memory).
  const residualAt = async (x: number) => (await fitAt(exp(x))).residual;
  let [a, b] = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)];
  let [atA, atB] = [await residualAt(a), await residualAt(b)];
  for (let turn = 0; turn < TURNS; turn++) {
    if (atA < atB) {
      [high, b, atB] = [b, a, atA];
      a = high - GOLDEN * (high - low);
      atA = await residualAt(a);
    } else {
      [low, a, atA] = [a, b, atB];
      b = low + GOLDEN * (high - low);
      atB = await residualAt(b);
    }
  }
  const absorption = exp((low + high) / 2);
  const best = await fitAt(absorption);
  const [above, below] = [await fitAt(absorption * 1.5), await fitAt(absorption / 1.5)];
  const beside = Math.min(above.residual, below.residual);
  const inside = least > 0 && least < GRID - 1;
  const found = inside && beside > TELLS * best.residual && beside > 1e-4;
  return found
    ? { absorption, ...best, absorptionFound: true }
    : { absorption: given, ...same, absorptionFound: false };
}

/** The share that fits best at an absorption, or how well a given one does; the ratio of a trial is what was asked for to what was sent. */
function fitShare(
  of: WindowCase,
  absorption: number,
  trials: readonly Trial[],
  place: string,
  share: number | null,
): Pick<Calibration, 'delivered' | 'residual' | 'off'> {
  const changed = { ...of, medium: { ...of.medium, absorption } };
  const passes = new Map<number, SteadyPass>();
  const passAt = (speed: number): SteadyPass => {
    const pass = passes.get(speed) ?? unitPass(changed, speed);
    passes.set(speed, pass);
    return pass;
  };
  const ratios = trials.map((trial, k) => {
    const needed = energyForWidth(passAt(trial.speed), preheated(changed, trial.speed), trial.width);
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
  const mean = share === null ? ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length : log(share);
  const square = ratios.reduce((sum, ratio) => sum + (ratio - mean) ** 2, 0) / ratios.length;
  return {
    delivered: exp(mean),
    residual: Math.sqrt(square),
    off: ratios.map((ratio) => exp(mean - ratio) - 1),
  };
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
