// What the planner makes of the heat of a seam: preheat and its cycle times, the edges' ratio, and what is computed anew.
import { expect, test } from 'vitest';
import { readCatalogue } from '../../src/worker/catalogue.ts';
import { roundSpotRatio } from '../../src/heat/edge-ratio.ts';
import { preheated, unitPass, widthAt } from '../../src/heat/process-window.ts';
import type { JobSeam } from '../../src/model/job.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { heatLines, summariseHeat } from '../../src/output/heat-summary.ts';
import { heatCase } from '../../src/planner/heat-case.ts';
import { createMemo } from '../../src/planner/memo.ts';
import { planHeat } from '../../src/planner/plan-heat.ts';
import type { SeamPlan } from '../../src/planner/plan.ts';
import { plainJob, plainSeam } from '../checks/plain-job.ts';
import { circlePath, LIMITS, linePath, OPTICS, plainAim, SEAM } from '../motion/plain-seam.ts';

const task = { check() {}, async pause() {}, signal: new AbortController().signal };
const { materials } = readCatalogue();
const preheat = { power: 20, radius: 4, absorption: 5, layerAbsorption: 0.05 };

async function planned(process: Partial<JobSeam['process']>, path = linePath()) {
  const job: JobSeam = { ...SEAM, width: 0.8, process: { ...SEAM.process, lineEnergy: 0.27, ...process } };
  const seam = { ...plainSeam(path), faces: [{ from: 0, ref: { part: 1, face: 0 } }] };
  const parts = plainJob().parts.map((part) => ({
    ...part,
    material: part.material.replace('pc-black', 'pc-carbon-black'),
  }));
  const aim = plainAim(path);
  const warm = heatCase(plainJob({ parts, materials }), job, seam, aim);
  if (warm === null) throw new Error('the materials are known');
  const timed = (of: JobSeam['process']) => timeSeam(path, aim, { process: of, ramp: 3 }, OPTICS, LIMITS);
  const timing = await timed(job.process);
  const cycleAt = async (speed: number, lineEnergy: number) =>
    (await timed({ ...job.process, speed, lineEnergy })).cycle.total;
  const memo = createMemo();
  const run = () => planHeat(memo, warm, { job, path, aim, timing, cycleAt }, task);
  return { job, path, aim, timing, warm, memo, run, found: await run() };
}

test('a preheat: less energy for the same width, or a higher speed and a shorter cycle at the same power', async () => {
  const { found, warm, timing, job, memo, run, path, aim } = await planned({ preheat });
  const { preheat: effect, heat } = found;
  if (effect === null || heat === null) throw new Error('a preheat has an effect');
  expect(effect.rise).toBeGreaterThan(5);
  expect(heat.limits.start).toBeCloseTo(23 + effect.rise, 9);
  expect(effect.energyRatio).toBeCloseTo(1 - effect.rise / (230 - 23), 2);
  expect(effect.speedWith).toBeGreaterThan(effect.speedWithout);
  expect(effect.cycleWith).toBeLessThan(effect.cycleWithout);
  // At that speed the plan's power melts just the wanted width.
  const v = effect.speedWith;
  expect(widthAt(unitPass(warm.window, v), preheated(warm.window, v), (0.27 * 50) / v)).toBeCloseTo(0.8, 2);
  await run();
  expect(Object.fromEntries(memo.runs)).toEqual({ heat: 1, window: 1, preheat: 1 });

  const plan = { ...found, job, path, aim, timing } as SeamPlan;
  const lines = heatLines(summariseHeat(plan)).map(([label, words]) => `${label}: ${words}`);
  const words = lines.find((line) => line.startsWith('preheat: '));
  expect(words).toContain(`${effect.rise.toFixed(1)} K before the spot`);
  expect(lines.join('\n')).toMatch(/cycle \d+\.\d\d s \(without \d+\.\d\d\); common practice, no source/);
});

test('without one there is no effect, and the window says where the plan stands', async () => {
  const { found, job, path, aim, timing } = await planned({});
  expect(found.preheat).toBeNull();
  const summary = summariseHeat({ ...found, job, path, aim, timing } as SeamPlan);
  expect(summary?.window?.over_melting_pct).toBeCloseTo(100 * (found.window?.plan.overMelting ?? Number.NaN), 9);
  const text = heatLines(summary)
    .map(([, words]) => words)
    .join('\n');
  expect(text).toContain('bonds from 230');
  expect(text).toMatch(/\d % more energy than the wanted width needs; spoils with \d+\.\d % more; the source has/);
});

test('both passes over the overlap are told apart', async () => {
  const { found, job, path, aim, timing } = await planned({}, circlePath());
  const closing = summariseHeat({ ...found, job, path, aim, timing } as SeamPlan)?.closing;
  expect(closing?.delay_s?.[0]).toBeGreaterThan(3.9);
  // The second pass has full power where the first ramped up.
  expect(closing?.first_C?.[0]).toBeLessThan(closing?.second_C?.[0] ?? 0);
  // A circle of 200 mm: radius 31.8 mm.
  expect(Math.abs(Math.log(found.edgeRatio[100]))).toBeCloseTo(Math.log(roundSpotRatio((2 * Math.PI) / 200, 0.8)), 3);
});

test('nothing is known of the heat without materials, but of the bends', async () => {
  const { job, path, aim, timing } = await planned({}, circlePath());
  const found = await planHeat(createMemo(), null, { job, path, aim, timing, cycleAt: async () => 0 }, task);
  expect(found).toMatchObject({ heat: null, window: null, preheat: null });
  expect(found.edgeRatio[7]).toBe(roundSpotRatio(path.geodesicCurvature[7], 0.8));
  expect(heatLines(summariseHeat({ ...found, job, path, aim, timing } as SeamPlan))).toHaveLength(1);
});
