import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sampleChannel } from '../../src/motion/channel.ts';
import type { Channel } from '../../src/motion/channel.ts';
import { highestSpeed } from '../../src/motion/highest-speed.ts';
import type { MotionProblem } from '../../src/motion/step-limits.ts';
import { analyticProblem, driveTime, worstUse } from './analytic-problem.ts';
import type { AnalyticAxis } from './analytic-problem.ts';

const FREE = Number.POSITIVE_INFINITY;
const SEED = 20_260_301;

/** Axis y(s) = slope s + a sin(w s + phase) with limits on its velocity and acceleration. */
const wave = fc
  .record({
    slope: fc.double({ min: -1, max: 1, noNaN: true }),
    a: fc.double({ min: 0.1, max: 1, noNaN: true }),
    w: fc.double({ min: 0.3, max: 3, noNaN: true }),
    phase: fc.double({ min: 0, max: 6.28, noNaN: true }),
    speed: fc.double({ min: 1, max: 4, noNaN: true }),
    acceleration: fc.double({ min: 1, max: 8, noNaN: true }),
  })
  .map(
    ({ slope, a, w, phase, speed, acceleration }): AnalyticAxis => ({
      d1: (s) => slope + a * w * Math.cos(w * s + phase),
      d2: (s) => -a * w * w * Math.sin(w * s + phase),
      speed,
      acceleration,
    }),
  );

describe('highestSpeed', () => {
  it(`keeps all limits between grid points within 0.1 % on smooth paths, seed ${SEED}`, async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(wave, { minLength: 1, maxLength: 4 }),
        fc.constantFrom(60, 200, 500),
        async (axes, n) => {
          const problem = analyticProblem(0, 10, n, axes, 10, 16);
          const { x } = await highestSpeed(problem, 0, 0);
          expect(Number.isFinite(driveTime(problem.s, x))).toBe(true);
          expect(worstUse(problem, x, axes)).toBeLessThan(1.001);
        },
      ),
      { seed: SEED, numRuns: 150 },
    );
  });

  it(`is not beaten by a dense search over speeds, seed ${SEED}`, async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(wave, { minLength: 1, maxLength: 3 }), async (axes) => {
        const problem = analyticProblem(0, 4, 24, axes, 6, 9);
        const { x } = await highestSpeed(problem, 0, 0);
        const best = densestSearch(problem, axes, 150);
        const time = driveTime(problem.s, x);
        // The search may use every limit to 1.0005 as the solver may; its speeds are steps of 1/150 of the cap, which
        // costs it up to a few percent near rest. It must not be faster beyond rounding of its steps.
        expect(time).toBeLessThan(best * 1.001);
        expect(time).toBeGreaterThan(best * 0.94);
      }),
      { seed: SEED, numRuns: 12 },
    );
  });

  it(`bears noise of 1e-6 on the points of the path, seed ${SEED}`, async () => {
    const n = 400;
    const s = Float64Array.from({ length: n + 1 }, (_, i) => ((Math.PI / 2) * i) / n);
    const h = s[1];
    const noise = fc.sample(fc.double({ min: -1e-6, max: 1e-6, noNaN: true }), { seed: SEED, numRuns: 2 * n + 6 });
    const noisy = (f: (s: number) => number, k: number): Channel => {
      const y = Float64Array.from({ length: n + 3 }, (_, i) => f((i - 1) * h) + noise[2 * i + k]);
      return {
        dimension: 1,
        d1: s.map((_, i) => (y[i + 2] - y[i]) / (2 * h)),
        d2: s.map((_, i) => (y[i + 2] - 2 * y[i + 1] + y[i]) / (h * h)),
        speed: FREE,
        acceleration: 1,
      };
    };
    const channels = [noisy(Math.cos, 0), noisy(Math.sin, 1)].map((c) => sampleChannel(c, s));
    const { x } = await highestSpeed({ s, cap: s.map(() => 1e6), acceleration: FREE, channels }, 0, 0);
    // Second differences carry 4e-6 / h^2 = 0.26 of noise: the time may move by about the root of it, but no further.
    const time = driveTime(s, x);
    expect(time / 2.549288107).toBeGreaterThan(0.98);
    expect(time / 2.549288107).toBeLessThan(1.2);
  });

  it('turns a channel of three dimensions without changing the profile', async () => {
    const n = 200;
    const s = Float64Array.from({ length: n + 1 }, (_, i) => (10 * i) / n);
    const d1 = new Float64Array(3 * (n + 1));
    const d2 = new Float64Array(3 * (n + 1));
    s.forEach((here, i) => {
      d1.set([1 + Math.cos(here), Math.sin(here), 0.5 * Math.cos(2 * here)], 3 * i);
      d2.set([-Math.sin(here), Math.cos(here), -Math.sin(2 * here)], 3 * i);
    });
    const solve = (p: Float64Array, q: Float64Array) =>
      highestSpeed(
        {
          s,
          cap: s.map(() => 9),
          acceleration: 8,
          channels: [sampleChannel({ dimension: 3, d1: p, d2: q, speed: 4, acceleration: 5 }, s)],
        },
        0,
        0,
      );
    const plain = await solve(d1, d2);
    const turned = await solve(rotate(d1), rotate(d2));
    // Where a limit only just leaves room, half the digits are lost under a root: 1e-16 becomes 1e-8.
    for (let i = 0; i <= n; i++) expect(turned.x[i]).toBeCloseTo(plain.x[i], 6);
  });
});

/** Turned by the rotation that takes x to y, y to z, z to x after 0.6 / 0.8 in the plane of x and y. */
function rotate(v: Float64Array): Float64Array {
  const out = new Float64Array(v.length);
  for (let i = 0; i < v.length; i += 3) {
    out[i] = v[i + 2];
    out[i + 1] = 0.6 * v[i] - 0.8 * v[i + 1];
    out[i + 2] = 0.8 * v[i] + 0.6 * v[i + 1];
  }
  return out;
}

/** Least time from rest to rest over a lattice of squared speeds; a step counts if no limit is exceeded on it. */
function densestSearch(problem: MotionProblem, axes: readonly AnalyticAxis[], levels: number): number {
  const { s, cap } = problem;
  const level = Float64Array.from({ length: levels + 1 }, (_, k) => (cap[0] * k) / levels);
  let best = new Float64Array(levels + 1).fill(FREE);
  best[0] = 0;
  for (let i = 0; i + 1 < s.length; i++) {
    const next = new Float64Array(levels + 1).fill(FREE);
    const step: MotionProblem = { ...problem, s: s.subarray(i, i + 2) };
    for (let a = 0; a <= levels; a++) {
      if (best[a] === FREE) continue;
      for (let b = 0; b <= levels; b++) {
        const time = (2 * (s[i + 1] - s[i])) / (Math.sqrt(level[a]) + Math.sqrt(level[b]));
        if (best[a] + time >= next[b]) continue;
        if (worstUse(step, Float64Array.of(level[a], level[b]), axes) <= 1.0005) next[b] = best[a] + time;
      }
    }
    best = next;
  }
  return best[0];
}
