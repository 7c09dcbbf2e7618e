// How little the head need turn inside a cone, against closed forms.
import { describe, expect, test } from 'vitest';
import { relaxAim } from '../../src/beam/relax-aim.ts';
import { LIMITS } from '../motion/plain-seam.ts';
import { aim, aimJob, at, circleOnSphere, DEG, head, pathOf, seamOn, task } from '../beam/known-paths.ts';
import type { Vector } from '../beam/analytic-bodies.ts';

const limits = { ...LIMITS, incidenceEntry: 60 * DEG, incidenceJoint: 60 * DEG, capture: 0 };
const relax = async (path: Parameters<typeof aim>[0], cone: number) => {
  const job = { ...aimJob(), limits };
  const settings = head({ relax: cone });
  const nominal = await aim(path, settings, [], job);
  return { nominal, relaxed: await relaxAim(nominal, path, seamOn(), { head: settings }, [], job, task) };
};
const size = (v: Vector) => Math.hypot(...v);
const largest = (values: Float64Array) =>
  Array.from({ length: values.length / 3 }, (_, i) => size(at(values, i))).reduce((a, b) => Math.max(a, b), 0);

describe('a turn of 90 deg over a convex edge of radius 40 mm, straights of 200 mm to either side, standoff 150 mm', () => {
  // Normals turn by s / 40 along the arc of 20 pi mm. Within 10 deg of them an axis turns by 90 - 2 x 10 deg at least between the
  // arc's ends, so by 70 deg / 20 pi mm somewhere (mean value theorem), and no less: the taut string turns evenly (it has the
  // least of every convex measure of slope; Davies & Kovac 2001, Ann. Statist. 29, 1, from memory). Over the middle of the arc,
  // where it crosses the normal, the head travels 1 + 150 (70/90) / 40 = 3.917 times the spot instead of 1 + 150 / 40 = 4.75.
  const [R, arc, side] = [40, 20 * Math.PI, 200];
  const steps = Math.round((2 * side + arc) / 0.5);
  const s = Float64Array.from({ length: steps + 1 }, (_, i) => (i * (2 * side + arc)) / steps);
  const path = pathOf(false, 2 * side + arc, s, (i) => {
    const u = s[i] - side;
    const turned = Math.min(Math.max(u / R, 0), Math.PI / 2);
    const tangent: Vector = [Math.cos(turned), 0, -Math.sin(turned)];
    const beyond = u - turned * R;
    const onArc: Vector = [R * Math.sin(turned), 0, R * Math.cos(turned)];
    return {
      position: [onArc[0] + beyond * tangent[0], 0, onArc[2] + beyond * tangent[2]],
      tangent,
      normal: [Math.sin(turned), 0, Math.cos(turned)],
    };
  });
  const middle = Math.round(steps / 2);
  const bound = (70 * DEG) / arc;

  test('a cone of 10 deg: near 3.917 instead of 4.75', async () => {
    const { nominal, relaxed } = await relax(path, 10 * DEG);
    expect(nominal.headFactor[middle]).toBeCloseTo(4.75, 6);
    expect(relaxed.lean.reduce((a, b) => Math.max(a, b))).toBeLessThanOrEqual(10 * DEG);
    const turn = largest(relaxed.aim.turnD1);
    expect(turn).toBeGreaterThan(bound * (1 - 1e-6));
    // The string's two bends are rounded over 1 mm, which costs half of that at either end of 62.8 mm: 1.6 %.
    expect(turn).toBeLessThan(bound * (1 + 1 / arc));
    expect(Math.abs(largest(relaxed.aim.headD1) - (1 + 150 * bound))).toBeLessThan(0.05);
    expect(relaxed.aim.headFactor[middle]).toBeCloseTo(largest(relaxed.aim.headD1), 3);
  });

  test('a cone of 45 deg: the head need not turn at all', async () => {
    const { relaxed } = await relax(path, 45.5 * DEG);
    expect(largest(relaxed.aim.turnD1)).toBeLessThan(1e-3 / R);
  });
});

test('a circle of latitude on a sphere: all axes lean the whole cone towards the pole', async () => {
  // Axes at the polar angle 40 deg on a round seam; the shortest closed curve within 10 deg of them is the circle at 30 deg (shorter
  // circles of latitude lie nearer the pole, and by symmetry the shortest curve is one). The head then runs round on a circle of
  // radius 60 sin 40 + 150 sin 30 while the spot has 60 sin 40.
  const path = circleOnSphere([3, -8, 5], 60, 40 * DEG, 500);
  const { nominal, relaxed } = await relax(path, 10 * DEG);
  const round = 60 * Math.sin(40 * DEG);
  expect(nominal.headFactor[77]).toBeCloseTo(3.5, 6);
  for (let i = 0; i < path.count; i++) {
    // The barrier ends a millionth of the cost short of the edge.
    expect(Math.abs(Math.acos(-relaxed.aim.axis[3 * i + 2]) - 30 * DEG)).toBeLessThan(0.01 * DEG);
    expect(relaxed.aim.headFactor[i]).toBeCloseTo(1 + (150 * Math.sin(30 * DEG)) / round, 2);
  }
});
