// The sample pod with its axis relaxed: what it gains, and that no limit of incidence pays for it.
import { expect, test } from 'vitest';
import { planJson } from '../../src/output/plan-json.ts';
import { summarise, summaryText } from '../../src/output/summary.ts';
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
