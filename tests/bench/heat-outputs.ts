// Times what is made of the heat of a plan: its files, what a preheat buys, a calibration from trials.
import { readFileSync } from 'node:fs';
import { preheatGain, preheatRise } from '../../src/heat/preheat.ts';
import { parseTrialFile } from '../../src/model/trial-file.ts';
import { heatGlb } from '../../src/output/heat-glb.ts';
import { processWindowSvg } from '../../src/output/picture/process-window-svg.ts';
import { planJson } from '../../src/output/plan-json.ts';
import { calibrateTrials, plannedCase } from '../../src/planner/calibrate-trials.ts';
import type { Plan } from '../../src/planner/plan.ts';
import { measure, type Row } from './measure.ts';
import { busyTask } from './metre-scene.ts';

const TRIAL = 'wave-pod.trial.json';

/** Of the sample pod's plan. */
export async function heatOutputRows(plan: Plan): Promise<Row[]> {
  const [{ window, job }] = plan.seams;
  if (window === null) throw new Error('the sample has a process window');
  const text = readFileSync(new URL(`../../sample-parts/${TRIAL}`, import.meta.url), 'utf8');
  const file = parseTrialFile(text, TRIAL);
  const of = plannedCase(plan, undefined, TRIAL);
  const preheat = { power: 60, radius: 6, absorption: 5, layerAbsorption: 0.05 };
  const warm = { ...of.window, preheat: (speed: number) => preheatRise(preheat, of.window.medium, speed) };
  const { speed, lineEnergy } = job.process;
  return [
    await measure('demo: heat.glb', 5, () => heatGlb(plan)),
    await measure('demo: process-window.svg', 5, () => processWindowSvg(window, 'seam rim')),
    await measure('demo: plan.json', 5, () => planJson(plan)),
    await measure('what a preheat buys', 3, () => preheatGain(warm, speed, lineEnergy, busyTask)),
    await measure(`calibrate from ${file.trials.length} trials`, 3, () => calibrateTrials(of, file, TRIAL, busyTask)),
  ];
}
