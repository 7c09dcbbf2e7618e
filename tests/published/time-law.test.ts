// Section 6 of the reference sheet: time laws with closed forms. Tolerance 0.2 %, and limits that hold between grid points
// within 0.1 % when they are evaluated from the exact functions on a grid ten times finer.
import { describe, expect, it } from 'vitest';
import { analyticProblem, driveTime, worstUse } from '../motion/analytic-problem.ts';
import type { AnalyticAxis } from '../motion/analytic-problem.ts';
import { highestSpeed } from '../../src/motion/highest-speed.ts';

const FREE = Number.POSITIVE_INFINITY;
/** A cap far above any speed of these cases. */
const UNCAPPED = 1e6;

async function solve(
  from: number,
  to: number,
  intervals: number,
  axes: readonly AnalyticAxis[],
  { acceleration = FREE, speed = 1e3, ends = 0 } = {},
) {
  const problem = analyticProblem(from, to, intervals, axes, acceleration, Math.min(speed * speed, UNCAPPED));
  const { x } = await highestSpeed(problem, ends, ends);
  return { time: driveTime(problem.s, x), use: worstUse(problem, x, axes), x };
}

/** Error against an exact value, percent. */
const errorOf = (value: number, exact: number) => Math.abs(value / exact - 1) * 100;

const QUARTER_CIRCLE: AnalyticAxis[] = [
  { d1: (s) => -Math.sin(s), d2: (s) => -Math.cos(s), acceleration: 1 },
  { d1: (s) => Math.cos(s), d2: (s) => -Math.sin(s), acceleration: 1 },
];

const PARABOLA: AnalyticAxis[] = [
  { d1: () => 1, d2: () => 0, acceleration: 1 },
  { d1: (s) => s, d2: () => 1, acceleration: 1 },
];

const FULL_CIRCLE: AnalyticAxis[] = [
  { d1: (s) => -Math.sin(s), d2: (s) => -Math.cos(s), speed: 1 },
  { d1: (s) => Math.cos(s), d2: (s) => -Math.sin(s), speed: 1 },
];

describe('time laws with closed forms', () => {
  // Source: uniformly accelerated motion, T = L / v + v / a (any mechanics textbook). Computed.
  it('drives a trapezoid of L 1, v 0.5, a 1 in 2.5 s', async () => {
    const { time } = await solve(0, 1, 200, [], { acceleration: 1, speed: 0.5 });
    expect(errorOf(time, 2.5)).toBeLessThan(0.2);
  });

  // Source: uniformly accelerated motion, T = 2 sqrt(L / a). Computed.
  it.each([20, 21, 2000])('drives a triangle of L 1, a 1 in 2 s, %i intervals', async (intervals) => {
    const { time } = await solve(0, 1, intervals, [], { acceleration: 1 });
    expect(errorOf(time, 2)).toBeLessThan(0.2);
  });

  // Source: closed form from Bobrow, Dubowsky & Gibson 1985, Int. J. Robot. Res. 4(3): where an axis saturates,
  // q_dot^2 = 2 A q + const; both axes of a quarter circle, switch at tan th = t, 2 t^3 + 3 t = 1. Computed, 2.549288107 s.
  it.each([200, 2000])('drives a quarter circle with |a| <= 1 on each axis, %i intervals', async (intervals) => {
    const { time, use } = await solve(0, Math.PI / 2, intervals, QUARTER_CIRCLE);
    expect(errorOf(time, 2.549288107)).toBeLessThan(0.2);
    expect(use).toBeLessThan(1.001);
  });

  // Source: the same; the parabola q = (s, s^2 / 2) has a zero-inertia point at s = 0, where Pham 2014 (IEEE Trans.
  // Robot. 30(6)) reports that solvers jitter or fail. Computed: x = 1 through the middle, T = 3 s.
  it.each([200, 201, 2000, 2001])('passes the zero-inertia point of a parabola in 3 s, %i intervals', async (n) => {
    const { time, use, x } = await solve(-1, 1, n, PARABOLA);
    expect(errorOf(time, 3)).toBeLessThan(0.2);
    expect(use).toBeLessThan(1.001);
    // No jitter: the squared speed rises once, stays at 1 through the middle, and falls once.
    const middle = x.slice(Math.ceil(0.26 * n), Math.floor(0.74 * n));
    expect(Math.max(...middle)).toBeLessThan(1.01);
    expect(Math.min(...middle)).toBeGreaterThan(0.99);
  });

  // Source: closed form, v = 1 / max(|sin|, |cos|) gives T = 8 integral_0^(pi/4) cos = 4 sqrt 2. Computed.
  it.each([200, 2000])('drives a full circle under |v| <= 1 on each axis in 4 sqrt 2 s, %i intervals', async (n) => {
    const { time, use } = await solve(0, 2 * Math.PI, n, FULL_CIRCLE, { ends: 1 });
    expect(errorOf(time, 4 * Math.SQRT2)).toBeLessThan(0.2);
    expect(use).toBeLessThan(1.001);
  });

  // Source: uniformly accelerated motion into and out of a stretch 2 w wide of curvature k that allows v_dip = sqrt(A2 / k);
  // T = 2 w / v_dip + 2 (v_p - v_dip) / A1 + 2 (H - w - (v_p^2 - v_dip^2) / (2 A1)) / v_p. Computed.
  it('dips where curvature asks for it, for as long as it must', async () => {
    const [halfLength, halfWidth, k, a1, a2, vp] = [50, 5, 1 / 12, 300, 30, 50];
    const dip = Math.sqrt(a2 / k);
    const exact =
      (2 * halfWidth) / dip +
      (2 * (vp - dip)) / a1 +
      (2 * (halfLength - halfWidth - (vp * vp - dip * dip) / (2 * a1))) / vp;
    const bend: AnalyticAxis = {
      d1: () => 0,
      d2: (s) => (Math.abs(s) <= halfWidth ? k : 0),
      acceleration: a2,
    };
    const { time } = await solve(-halfLength, halfLength, 2000, [bend], { acceleration: a1, speed: vp, ends: vp });
    expect(errorOf(time, exact)).toBeLessThan(0.2);
  });

  it('comes closer to the quarter circle as the grid is refined', async () => {
    const error = async (n: number) => errorOf((await solve(0, Math.PI / 2, n, QUARTER_CIRCLE)).time, 2.549288107);
    const [coarse, fine, finest] = [await error(50), await error(200), await error(800)];
    expect(fine).toBeLessThan(coarse / 3);
    expect(finest).toBeLessThan(fine / 3);
  });
});
