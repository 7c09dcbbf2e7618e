// The summary's figures and words.
import { expect, test } from 'vitest';
import { summarise, summaryText } from '../../src/output/summary.ts';
import { saddlePlan } from './saddle-plan.ts';

test('a long name keeps its distance, and the joint face is named in words', () => {
  const plan = saddlePlan();
  const [seam] = plan.seams;
  const named = { ...seam, seam: { ...seam.seam, name: 'a name longer than its column' } };
  const text = summaryText({ ...plan, seams: [named] });
  expect(text).toMatch(/seam a name longer than its column (closed|open), /);
  expect(text).toMatch(/joint face {2}(the |guessed: the )/);
});

test('full speed is a share of the way, and nothing holds what is at process speed', () => {
  const plan = saddlePlan();
  const [seam] = plan.seams;
  const { timing, path } = seam;
  const beam = new Uint8Array(timing.beam.length).fill(0);
  beam.fill(1, 10, 14);
  const speed = timing.speed.slice().fill(seam.job.process.speed);
  const s = path.rows.s.slice();
  s.set([10, 11, 12, 20], 10);
  const of = (slow: number[]) => {
    const v = speed.slice();
    for (const i of slow) v[i] /= 2;
    const rows = { ...path.rows, s };
    const changed = { ...seam, path: { ...path, rows }, timing: { ...timing, beam, speed: v } };
    return summarise({ ...plan, seams: [changed] }).seams[0];
  };
  expect(of([])).toMatchObject({ full_speed_share: 1, slowest_bound: '' });
  expect(of([13]).full_speed_share).toBeCloseTo(0.2, 12);
});
