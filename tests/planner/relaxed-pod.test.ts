// The sample pod with its axis relaxed: what it gains, and that no limit of incidence pays for it.
import { expect, test } from 'vitest';
import type { JobFile } from '../../src/model/job-file.ts';
import { BOUNDS } from '../../src/model/timing.ts';
import { planJson } from '../../src/output/plan-json.ts';
import { summarise, summaryText } from '../../src/output/summary.ts';
import { headEffort } from '../../src/planner/head-effort.ts';
import { planSample } from './plan-sample.ts';

test('a head that turns at 40 deg/s: less way, less turn, more of the seam at full speed, a shorter cycle', async () => {
  const plan = await planSample('wave-pod-relaxed');
  const [{ aim, job, relaxation, path, timing }] = plan.seams;
  if (relaxation === null) throw new Error('the job asks for it');
  const { before, after, lean } = relaxation;
  // Measured: 2.884 to 2.270, 0.721 to 0.483 deg/mm, 277.9 to 376.4 mm of 471.4, 6.48 to 5.71 s.
  expect(after.headFactor).toBeLessThan(0.8 * before.headFactor);
  expect(after.turn).toBeLessThan(0.7 * before.turn);
  expect(after.fullSpeed).toBeGreaterThan(before.fullSpeed + 90);
  expect(after.cycle).toBeLessThan(0.9 * before.cycle);
  expect(after.cycle).toBe(timing.cycle.total);
  for (let i = 0; i < path.count; i++) {
    expect(lean[i]).toBeLessThanOrEqual(job.head.relax);
    expect(aim.incidenceEntry[i]).toBeLessThanOrEqual(plan.job.limits.incidenceEntry);
    expect(aim.incidenceJoint[i]).toBeLessThanOrEqual(plan.job.limits.incidenceJoint);
  }
  expect(plan.findings.filter(({ severity }) => severity === 'blocks')).toEqual([]);

  const plain = await planSample('wave-pod-relaxed', (file) => ({ ...file, head: { ...file.head, relax_deg: 0 } }));
  expect(plain.seams[0].relaxation).toBeNull();
  expect(plain.seams[0].timing.cycle.total).toBe(before.cycle);

  const written = JSON.parse(planJson(plan)).seams[0].relaxation;
  expect(written.before.head_factor).toBeCloseTo(before.headFactor, 6);
  expect(written.after.full_speed_mm).toBeCloseTo(after.fullSpeed, 5);
  expect(written.stations.lean_deg).toHaveLength(path.count);
  expect(summarise(plan).seams[0].relaxation?.before.cycle_s).toBe(before.cycle);
  expect(summaryText(plan)).toContain(`cycle ${after.cycle.toFixed(2)} s (before ${before.cycle.toFixed(2)})`);
  expect(summaryText(plain)).not.toMatch(/^ {2}relaxed/m);
}, 120_000);

test('with an arm whose axes hold the speed: before is the plan of the unrelaxed axis, its own postures included', async () => {
  /** Near the border of reach, fast, and nothing else to hold the speed. */
  const carried = (relax: number) => (file: JobFile) => ({
    ...file,
    arm: 'six-axis-900',
    placement: { ...file.placement, position_mm: [880, 0, 100] as [number, number, number] },
    process: { ...file.process, speed_mm_s: 300, line_energy_J_mm: 0.02 },
    head: { ...file.head, relax_deg: relax },
    limits: {
      ...file.limits,
      spot_acceleration_mm_s2: 20_000,
      normal_acceleration_mm_s2: 1e6,
      head_speed_mm_s: 1e5,
      head_acceleration_mm_s2: 1e6,
      head_turn_deg_s: 1e4,
      head_turn_deg_s2: 1e6,
    },
  });
  const [relaxed, plain] = [
    await planSample('wave-pod-relaxed', carried(10)),
    await planSample('wave-pod-relaxed', carried(0)),
  ];
  const [{ relaxation, timing }] = relaxed.seams;
  if (relaxation === null) throw new Error('the job asks for it');
  const { before, after } = relaxation;
  // Measured: 360.9 to 387.9 mm of 471.4, 1.824 to 1.813 s.
  expect(before).toEqual(headEffort(plain.seams[0].path, plain.seams[0].aim, plain.seams[0].timing));
  expect(after.cycle).toBe(timing.cycle.total);
  expect(after.cycle).toBeLessThan(before.cycle);
  expect(after.fullSpeed).toBeGreaterThan(before.fullSpeed + 20);
  // Axes hold the speed in both, or the postures would not matter.
  for (const { seams } of [relaxed, plain]) {
    expect(seams[0].carried?.stand.posture.blocked).toEqual([]);
    const held = new Set(Array.from(seams[0].timing.bound, (bound) => BOUNDS[bound]));
    expect(held.has('axis-speed') || held.has('axis-acceleration')).toBe(true);
  }
}, 240_000);
