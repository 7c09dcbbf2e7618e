// How many times faster than the spot the head travels, against closed forms on the saddle rim z = 8 cos 2 phi, R 40.
import { describe, expect, test } from 'vitest';
import { aim, aimJob, circleOnSphere, DEG, head, saddleRim } from '../beam/known-paths.ts';

// Source: 1 + L k_n with k_n of Euler and Weingarten (do Carmo 1976, ch. 3, from memory), computed for the reference sheet.
// 800 stations of 0.33 mm: fourth-order differences of a wave of 65 mm miss by (2 pi 0.33 / 65)^4 / 30, 3e-8; the sheet has 6 decimals.
const TOLERANCE = 2e-6;
describe('standoff 150 mm: speed of the head, and its part along travel', () => {
  test.each([
    ['radial', 0, 4.75, 4.75],
    ['radial', 45, 4.425874, 1 + 150 * 0.0215517241],
    ['flange', 0, 4, 4],
    ['flange', 45, 1.634661, 1],
    ['flange', 90, 2, -2],
  ] as const)('%s normals at %d deg', async (face, deg, speed, factor) => {
    const { headFactor, headD1 } = await aim(saddleRim(800, face), head(), [], aimJob());
    const i = (800 * deg) / 360;
    expect(Math.abs(headFactor[i] - factor)).toBeLessThan(TOLERANCE);
    expect(Math.abs(Math.hypot(...headD1.subarray(3 * i, 3 * i + 3)) - speed)).toBeLessThan(TOLERANCE);
  });
});

test('standoff 50 mm: the head stands still in the trough of the flange', async () => {
  const { headFactor } = await aim(saddleRim(800, 'flange'), head({ standoff: 50 }), [], aimJob());
  expect(Math.abs(headFactor[200])).toBeLessThan(TOLERANCE);
});

// Source: H' = (1 + L k_n cos d) t - L k_n sin d n + L k_g sin d b with lead d, [1 + L (k_n cos e - k_g sin e)] t with tilt e
// (derived from C'' = -k_n n + k_g b; Frenet and Darboux, do Carmo 1976): a flat bend of 12 mm, head tilted by 10 deg, standoff 150.
test('a tilt of 10 deg in a flat bend of 12 mm: 3.17 times forward, or 1.17 backward', async () => {
  // A flat bend: the circle at polar angle 90 deg on a sphere, seen by a normal along z.
  const circle = circleOnSphere([0, 0, 0], 12, 90 * DEG, 200);
  const flat = { ...circle, normal: circle.normal.map((_, k) => (k % 3 === 2 ? 1 : 0)) };
  for (const [tilt, factor] of [
    [-10, 1 + (150 / 12) * Math.sin(10 * DEG)],
    [10, 1 - (150 / 12) * Math.sin(10 * DEG)],
  ]) {
    const { headFactor } = await aim(flat, head({ tilt: tilt * DEG }), [], aimJob());
    expect(Math.abs(headFactor[17] - factor)).toBeLessThan(1e-5);
  }
  const lead = await aim(flat, head({ lead: 10 * DEG }), [], aimJob());
  expect(lead.headFactor[17]).toBeCloseTo(1, 5);
  expect(Math.hypot(...lead.headD1.subarray(51, 54))).toBeCloseTo(Math.hypot(1, (150 / 12) * Math.sin(10 * DEG)), 5);
});
