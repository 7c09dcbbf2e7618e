// The demo's seam: the middle of a doubly curved rib, against geodesics on the exact torus.
import { beforeAll, expect, test } from 'vitest';
import { pointAt } from '../../src/geometry/curve.ts';
import type { Seam } from '../../src/model/seam.ts';
import { borderDistance, lift, pieceOver, planPieces, topNormal } from './known-wave-pod.ts';
import { draw, lineAngle, sampleScene, sampleSeam } from './support.ts';

let seam: Seam;
beforeAll(async () => {
  const scene = await sampleScene('wave-pod', { lid: 'transmissive', tub: 'absorbing' });
  const select = { kind: 'band', body: 'tub', near: [-19.87105, -44, 47.564393], follow: 'tangent' } as const;
  seam = await draw(scene, { select });
}, 60_000);

const outline = planPieces(0);
type Vec = readonly [number, number, number];
const vec = (p: readonly number[]): Vec => [p[0], p[1], p[2]];

test('it is closed, smooth, on the torus, and as long as its plan and height say', () => {
  expect(seam.curve.closed).toBe(true);
  expect([seam.corners, seam.kinks]).toEqual([[], []]);
  for (const { p } of sampleSeam(seam, 500)) expect(Math.abs(lift(p[0], p[1])[2] - p[2])).toBeLessThan(1e-3);
  expect(seam.fit.largest).toBeLessThan(1e-3);
});

test('its points are equally far from both borders, measured in the surface', () => {
  // Source: geodesics by their differential equation (do Carmo 1976, sec. 4-4), integrated by Runge-Kutta of order 4.
  let worst = 0;
  let asked = 0;
  for (const { p } of sampleSeam(seam, 60)) {
    const { index, fromEnd } = pieceOver(vec(p));
    // Within 1 mm of a joint the nearest border may belong to the next piece.
    if (fromEnd < 1) continue;
    asked++;
    const right = borderDistance(vec(p), outline[index], 1.5);
    const left = borderDistance(vec(p), outline[index], -1.5);
    worst = Math.max(worst, Math.abs(right - left) / 2);
  }
  expect(asked).toBeGreaterThan(40);
  // Figure to reach: 1 um sideways.
  expect(worst).toBeLessThan(1e-3);
});

test('tangent and curvature agree with differences of its own exact places', () => {
  // Five-point differences of places that the step before has shown to be exact; h = 0.8 mm inside one piece.
  const h = 0.8;
  const at = new Float64Array(9);
  let tangent = 0;
  let curvature = 0;
  for (const { s, p, t, k } of sampleSeam(seam, 400)) {
    if (pieceOver(vec(p)).fromEnd < 1 + 2 * h) continue;
    const q = [-2, -1, 0, 1, 2].map((i) => {
      pointAt(seam.curve, s + i * h, at);
      return [...at.subarray(0, 3)];
    });
    const first = [0, 1, 2].map((c) => (q[0][c] - 8 * q[1][c] + 8 * q[3][c] - q[4][c]) / (12 * h));
    const second = [0, 1, 2].map(
      (c) => (-q[0][c] + 16 * q[1][c] - 30 * q[2][c] + 16 * q[3][c] - q[4][c]) / (12 * h * h),
    );
    tangent = Math.max(tangent, lineAngle(t, first));
    const exact = Math.hypot(...second);
    curvature = Math.max(curvature, Math.abs(Math.hypot(...k) - exact) / Math.max(exact, 1 / 500));
  }
  expect(tangent).toBeLessThan(0.02);
  expect(curvature).toBeLessThan(5e-3);
});

test('it runs counter-clockwise seen from outside', () => {
  // Twice the area of the plan, by the shoelace formula: positive counter-clockwise; the joint looks up.
  const plan = sampleSeam(seam, 200).map(({ p }) => p);
  const area = plan.reduce((sum, [x, y], i) => {
    const [nx, ny] = plan[(i + 1) % plan.length];
    return sum + x * ny - nx * y;
  }, 0);
  expect(topNormal(vec(plan[0]))[2]).toBeGreaterThan(0);
  expect(area).toBeGreaterThan(0);
});

test('it begins on the straightest stretch: an oblique side of the bow, which the saddle leaves all but straight', () => {
  const at = new Float64Array(9);
  pointAt(seam.curve, 0, at);
  // Of the plan's straights only the oblique ones run near an asymptotic direction of the torus (k_n = 0).
  const { index } = pieceOver([at[0], at[1], at[2]]);
  expect([3, 7]).toContain(index);
  const middle = outline[index].at(0.5).p;
  expect(Math.hypot(at[0] - middle[0], at[1] - middle[1])).toBeLessThan(5);
});
