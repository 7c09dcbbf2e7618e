// Axes that follow cubic splines, from few rows to very many: their limits judged between rows on a grid ten times finer, from
// the splines themselves.
import { describe, expect, it } from 'vitest';
import { channelSpline, secondAtKnot } from '../../src/arm/channel-spline.ts';
import type { MotionLimits } from '../../src/model/timing.ts';
import { solveSpeed } from '../../src/motion/solve-speed.ts';
import { seededRandom } from '../arm/sample-arms.ts';
import { straightLimits } from './motion-limits.ts';

type Axis = MotionLimits['axes'][number];

const SEED = 5;
const FINER = 10;
/** Figure to reach: exceeded by no more than 0.5 %. */
const EXCESS = 1.005;
const NO_KNOTS = {
  after: new Uint32Array(0),
  share: new Float64Array(0),
  d1: new Float64Array(0),
  d2: new Float64Array(0),
};

/** Five axes that swing a few times over `length`, each at its own pace, and one that stands still; rows uneven by a third. */
function swinging(count: number, length: number, random: () => number): Pick<MotionLimits, 's' | 'axes'> {
  const s = Float64Array.from({ length: count }, (_, i) => {
    const inner = i > 0 && i + 1 < count;
    return (length * (i + (inner ? 0.3 * (random() - 0.5) : 0))) / (count - 1);
  });
  const axes = Array.from({ length: 6 }, (_, j): Axis => {
    const [swing, turns, phase, slope] = [0.5 * random(), 0.5 + 2 * random(), 6.28 * random(), random() / 100];
    const pace = (2 * Math.PI * turns) / length;
    const angle = s.map((here) => (j === 5 ? 0.3 : swing * Math.sin(pace * here + phase) + slope * here));
    const spline = channelSpline(s, angle, 1);
    const d2 = new Float64Array(count);
    for (let i = 0; i < count; i++) secondAtKnot(spline, i, d2, i);
    return { d1: spline.slope, d2, between: NO_KNOTS, speed: 0.3 + 3 * random(), acceleration: 1 + 10 * random() };
  });
  return { s, axes };
}

/** Largest share used of any axis's limits; y'' runs straight from row to row, y' is its integral, v2 is linear. */
function mostUsed({ s, axes }: Pick<MotionLimits, 's' | 'axes'>, speed: Float64Array): number {
  let most = 0;
  for (let i = 0; i + 1 < s.length; i++) {
    const h = s[i + 1] - s[i];
    const [x0, x1] = [speed[i] ** 2, speed[i + 1] ** 2];
    const u = (x1 - x0) / (2 * h);
    for (const axis of axes) {
      for (let k = 0; k <= FINER; k++) {
        const t = k / FINER;
        const second = axis.d2[i] + t * (axis.d2[i + 1] - axis.d2[i]);
        const first = axis.d1[i] + (t * h * (axis.d2[i] + second)) / 2;
        const x = x0 + t * (x1 - x0);
        most = Math.max(most, (Math.abs(first) * Math.sqrt(x)) / axis.speed);
        most = Math.max(most, Math.abs(first * u + second * x) / axis.acceleration);
      }
    }
  }
  return most;
}

describe('the time law under axes that follow splines', () => {
  it.each([
    [20, 40],
    [21, 40],
    [200, 20],
    [2000, 3],
    [20_000, 1],
  ])(
    `on %i rows keeps their limits between rows within half a percent, from rest and at speed (%i cases, seed ${SEED})`,
    async (count, cases) => {
      const random = seededRandom(SEED);
      for (let run = 0; run < cases; run++) {
        const swing = swinging(count, count < 100 ? 30 : 400, random);
        const ends = run % 2 === 0 ? 0 : 30;
        const free = { speed: 500, spotAcceleration: 5000, headSpeed: 1e9, headAcceleration: 1e9 };
        const limits = { ...straightLimits(count, 1), ...free, ...swing, startSpeed: ends, endSpeed: ends };
        const { speed, time } = await solveSpeed(limits);
        const used = mostUsed(swing, speed);
        expect(used).toBeLessThan(EXCESS);
        // The axes are what holds the speed.
        expect(used).toBeGreaterThan(0.99);
        expect(Number.isFinite(time[count - 1])).toBe(true);
      }
    },
    60_000,
  );
});
