// What trials say of the materials: as a record, as the piece of a job that takes it over, and as lines for a terminal.
import type { TrialFile } from '../model/trial-file.ts';
import type { TrialResult } from '../planner/calibrate-trials.ts';
import { jsonText } from './json-text.ts';

/** Digits that a fit is worth. */
const DIGITS = 5;
const worth = (value: number): number => Number(value.toPrecision(DIGITS));

export interface TrialDescription {
  readonly title: string;
  readonly absorber: string;
  readonly layer: string | null;
  readonly absorption_1_mm: number;
  /** As the records had it. */
  readonly absorption_before_1_mm: number;
  /** Whether the trials tell the absorption; else it is as it was. */
  readonly absorption_found: boolean;
  /** Share of the source's power that becomes heat in the absorber: fitted, and as the records have it. */
  readonly delivered: number;
  readonly delivered_before: number;
  /** Root mean square of what the fit leaves, % of line energy; 0 for a single trial. */
  readonly residual_pct: number;
  readonly trials: readonly {
    readonly power_W: number;
    readonly speed_mm_s: number;
    readonly width_mm: number;
    readonly off_pct: number;
  }[];
  /** What to put under "materials" of a job. */
  readonly materials: Readonly<Record<string, object>>;
}

/** `name` is the trial file's. */
export function describeTrial(result: TrialResult, file: TrialFile, name: string): TrialDescription {
  const { of, absorption, absorptionFound, delivered, residual, off, transmittance } = result;
  const { absorber, layer, window } = of;
  const count = file.trials.length;
  const residual_pct = worth(100 * residual);
  const source = `calibrated from ${count} trial${count === 1 ? '' : 's'} in ${name}, residual ${residual_pct.toFixed(1)} % of line energy`;
  const said = (value: unknown) => ({ value, source, mark: 'seen' });
  return {
    title: file.title,
    absorber: absorber.id,
    layer: layer?.id ?? null,
    absorption_1_mm: worth(absorption),
    absorption_before_1_mm: worth(window.medium.absorption),
    absorption_found: absorptionFound,
    delivered: worth(delivered),
    delivered_before: worth(window.transmitted),
    residual_pct,
    trials: file.trials.map((trial, k) => ({
      power_W: trial.power_W,
      speed_mm_s: trial.speed_mm_s,
      width_mm: 'width_mm' in trial ? trial.width_mm : 0,
      off_pct: worth(100 * off[k]),
    })),
    materials: {
      ...(absorptionFound && { [absorber.id]: { absorption_1_mm: said(worth(absorption)) } }),
      ...(layer !== null &&
        transmittance !== null && {
          [layer.id]: {
            transmittance: said({ value: worth(transmittance.value), thickness_mm: worth(transmittance.thickness) }),
            // Where the lost light went the trials do not say: what heats the layer stays as it was.
            layer_absorption_1_mm: said(worth(window.medium.layerAbsorption)),
          },
        }),
    },
  };
}

/** Text of a description, without a line end after the last line. */
export function trialText(trial: TrialDescription): string {
  const row = (label: string, text: string) => `  ${`${label} `.padEnd(12)}${text}`;
  const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
  const found = trial.absorption_found
    ? `${trial.absorption_1_mm} per mm (was ${trial.absorption_before_1_mm})`
    : `${trial.absorption_before_1_mm} per mm as it was: these trials do not tell it`;
  const records = Object.keys(trial.materials).length;
  return [
    trial.title === '' ? 'Trials' : trial.title,
    '',
    row('absorption', `${trial.absorber}: ${found}`),
    row(
      'delivered',
      `${percent(trial.delivered)} of the source's power (${percent(trial.delivered_before)} by the records)`,
    ),
    row(
      'residual',
      trial.trials.length === 1 ? 'none: a single trial' : `${trial.residual_pct.toFixed(1)} % of line energy`,
    ),
    ...trial.trials.map(({ power_W, speed_mm_s, width_mm, off_pct }, k) => {
      const melted = width_mm === 0 ? 'onset' : `${width_mm} mm wide`;
      return row(`trial ${k + 1}`, `${power_W} W, ${speed_mm_s} mm/s, ${melted}: ${signed(off_pct)} % off`);
    }),
    ...(records === 0 ? [] : ['', 'For "materials" in the job:', jsonText(trial.materials).trimEnd()]),
  ].join('\n');
}

const signed = (value: number): string => `${value < 0 ? '-' : '+'}${Math.abs(value).toFixed(1)}`;
