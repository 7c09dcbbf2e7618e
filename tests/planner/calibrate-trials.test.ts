// Trials made by the model itself at another absorption and share: the fit must find these, and the records it gives must plan what
// was measured.
import { describe, expect, test } from 'vitest';
import { readCatalogue } from '../../src/worker/catalogue.ts';
import { energyForWidth, unitPass, widthAt } from '../../src/heat/process-window.ts';
import { InputError } from '../../src/model/input-error.ts';
import type { StraightTrial, TrialFile } from '../../src/model/trial-file.ts';
import { parseTrialFile } from '../../src/model/trial-file.ts';
import { describeTrial, trialText } from '../../src/output/trial-text.ts';
import { calibrateTrials, plannedCase, straightCase } from '../../src/planner/calibrate-trials.ts';
import { saddlePlan } from '../output/saddle-plan.ts';

const task = { check() {}, async pause() {}, signal: new AbortController().signal };
const catalogue = readCatalogue();
const SHARE = 0.7;

const ON = {
  absorber: 'pc-carbon-black',
  layer: { material: 'pc-clear', thickness_mm: 2 },
  optics: 'fibre-gaussian-1070-1mm',
};
const fileOf = (more: object): TrialFile =>
  parseTrialFile(
    JSON.stringify({
      format: 'raythread-trial/1',
      on: ON,
      trials: [{ power_W: 10, speed_mm_s: 30, width_mm: 0.5 }],
      ...more,
    }),
    'pod.trial.json',
  );
const straight = (on: object = ON) =>
  straightCase(fileOf({ on }).on as StraightTrial, catalogue, 'pod.trial.json', task);
const codeOf = async (work: Promise<unknown>) => {
  try {
    await work;
  } catch (error) {
    return error instanceof InputError ? error.code : String(error);
  }
  return 'none';
};

/** Trials at 6 per mm where SHARE of the power arrives. */
async function trialsOf(seen: readonly (readonly [number, number])[], share = SHARE) {
  const { window } = await straight();
  const of = { ...window, medium: { ...window.medium, absorption: 6 } };
  return seen.map(([speed_mm_s, width]) => ({
    power_W: (energyForWidth(unitPass(of, speed_mm_s), of.limits, width) * speed_mm_s) / share,
    speed_mm_s,
    ...(width > 0 ? { width_mm: width } : { onset: true }),
  }));
}
const SEEN = [
  [30, 0.5],
  [10, 0.6],
  [60, 0],
] as const;

describe('trials on a straight stretch', () => {
  test('give the absorption and the share that made them, and records that plan the width that was measured', async () => {
    const file = fileOf({ trials: await trialsOf(SEEN) });
    const found = await calibrateTrials(await straight(), file, 'pod.trial.json', task);
    expect(found.absorption / 6).toBeCloseTo(1, 1);
    expect(found.delivered / SHARE).toBeCloseTo(1, 2);
    expect(found.residual).toBeLessThan(2e-3);
    const said = describeTrial(found, file, 'pod.trial.json');
    expect(Object.keys(said.materials)).toEqual(['pc-carbon-black', 'pc-clear']);
    // The records as they stand, in place of the catalogue's.
    const { window } = await straight({ ...ON, materials: JSON.parse(JSON.stringify(said.materials)) });
    expect(window.transmitted / found.delivered).toBeCloseTo(1, 4);
    expect(window.medium.absorption).toBeCloseTo(said.absorption_1_mm, 9);
    const [{ power_W }] = file.trials;
    expect(widthAt(unitPass(window, 30), window.limits, (power_W * window.transmitted) / 30)).toBeCloseTo(0.5, 2);
  });

  test('fit one of the two alone', async () => {
    const trials = await trialsOf([[30, 0.5]]);
    const share = await calibrateTrials(await straight(), fileOf({ trials, fit: 'delivered' }), 'pod', task);
    expect(share).toMatchObject({ absorptionFound: false, residual: 0 });
    const of = await straight();
    const same = await trialsOf([[30, 0.5]], of.window.transmitted);
    const black = await calibrateTrials(of, fileOf({ trials: same, fit: 'absorption' }), 'pod', task);
    expect(black.absorptionFound).toBe(true);
    expect(black.absorption / 6).toBeCloseTo(1, 2);
    expect(black.transmittance).toBeNull();
  });

  test('words say what was found, what was not, and what is left', async () => {
    const file = fileOf({ trials: await trialsOf([[30, 0.5]]) });
    const found = await calibrateTrials(await straight(), file, 'pod', task);
    const text = trialText(describeTrial(found, file, 'pod.trial.json'));
    expect(text).toContain('as it was: these trials do not tell it');
    expect(text).toContain('none: a single trial');
    expect(text).not.toMatch(/NaN|undefined|Infinity/);
  });

  test('a share that no layer lets through, a material that nobody knows, or of which too little is known', async () => {
    const trials = await trialsOf(SEEN, 0.99);
    expect(await codeOf(calibrateTrials(await straight(), fileOf({ trials }), 'pod', task))).toBe('trial-share');
    expect(await codeOf(straight({ ...ON, absorber: 'nix' }))).toBe('material-unknown');
    expect(await codeOf(straight({ ...ON, layer: { material: 'nix', thickness_mm: 2 } }))).toBe('material-unknown');
    expect(await codeOf(straight({ ...ON, absorber: 'pc-clear' }))).toBe('trial-material');
  });

  test('a bare joint has no layer to calibrate', async () => {
    const { layer: _, ...bare } = ON;
    const found = await calibrateTrials(await straight(bare), fileOf({ on: bare }), 'pod', task);
    expect(found.transmittance).toBeNull();
    expect(found.of.window.transmitted).toBe(1);
  });
});

test('a seam that the plan does not have, and one whose materials are not known', async () => {
  const plan = saddlePlan(261);
  expect(() => plannedCase(plan, 'no such', 'pod')).toThrow(/trial-seam/);
  expect(() => plannedCase(plan, undefined, 'pod')).toThrow(/trial-material/);
});
