// Splines of many channels against polynomials and against the orders that theory gives; the smoothing spline against its
// own definition.
import { describe, expect, it } from 'vitest';
import { channelSpline, secondAtKnot, valueOnSpan } from '../../src/arm/channel-spline.ts';
import { smoothWithin } from '../../src/arm/smooth-series.ts';
import { seededRandom } from './sample-arms.ts';

const uneven = (m: number): Float64Array => Float64Array.from({ length: m }, (_, i) => i + 0.3 * Math.sin(1.7 * i));

describe('a spline of channels', () => {
  it.each([
    [2, 1],
    [3, 2],
    [4, 3],
    [9, 3],
  ])('%i knots give polynomials of degree %i back, with their derivatives', (m, degree) => {
    const knot = uneven(m);
    const poly = (x: number, d: number): number => {
      const c = [0.7, -1.2, 0.4, 0.15].slice(0, degree + 1);
      if (d === 0) return c.reduce((sum, a, k) => sum + a * x ** k, 0);
      if (d === 1) return c.reduce((sum, a, k) => sum + (k ? a * k * x ** (k - 1) : 0), 0);
      return c.reduce((sum, a, k) => sum + (k > 1 ? a * k * (k - 1) * x ** (k - 2) : 0), 0);
    };
    const value = new Float64Array(2 * m);
    knot.forEach((x, i) => {
      value[2 * i] = poly(x, 0);
      value[2 * i + 1] = -3 * poly(x, 0);
    });
    const spline = channelSpline(knot, value, 2);
    const out = new Float64Array(2);
    for (let i = 0; i < m; i++) {
      expect(spline.slope[2 * i]).toBeCloseTo(poly(knot[i], 1), 10);
      secondAtKnot(spline, i, out, 0);
      expect(out[0]).toBeCloseTo(poly(knot[i], 2), 9);
      expect(out[1]).toBeCloseTo(-3 * poly(knot[i], 2), 9);
    }
    for (let j = 0; j + 1 < m; j++) {
      valueOnSpan(spline, j, 0.3, out, 0);
      expect(out[0]).toBeCloseTo(poly(knot[j] + 0.3 * (knot[j + 1] - knot[j]), 0), 10);
    }
  });

  // Source: de Boor 1978, A Practical Guide to Splines: O(h^4) for values, O(h^2) for second derivatives (memory).
  it('halves its spacing for a sixteenth of the error, ends included', () => {
    const errorAt = (m: number): number[] => {
      const knot = Float64Array.from({ length: m }, (_, i) => (4 * i) / (m - 1));
      const spline = channelSpline(knot, knot.map(Math.sin), 1);
      const out = new Float64Array(1);
      let value = 0;
      let second = 0;
      for (let j = 0; j + 1 < m; j++) {
        valueOnSpan(spline, j, 0.5, out, 0);
        value = Math.max(value, Math.abs(out[0] - Math.sin((knot[j] + knot[j + 1]) / 2)));
        secondAtKnot(spline, j, out, 0);
        second = Math.max(second, Math.abs(out[0] + Math.sin(knot[j])));
      }
      return [value, second];
    };
    const coarse = errorAt(41);
    const fine = errorAt(81);
    expect(coarse[0] / fine[0]).toBeGreaterThan(14);
    expect(coarse[1] / fine[1]).toBeGreaterThan(3.5);
  });
});

describe('the smoothing spline', () => {
  it('takes the stairs out of a staircase, keeps within the bracket and uses it up', () => {
    const s = uneven(400);
    const stairs = s.map((x) => 0.1 * Math.round(Math.sin(x / 60) / 0.1));
    const smooth = smoothWithin(s, stairs, 0.1, 0);
    const largest = Math.max(...smooth.map((x, i) => Math.abs(x - stairs[i])));
    expect(largest).toBeLessThanOrEqual(0.1);
    expect(largest).toBeGreaterThan(0.099);
    const roughness = (y: Float64Array): number => {
      let sum = 0;
      for (let i = 1; i + 1 < 400; i++) {
        const [h, g] = [s[i] - s[i - 1], s[i + 1] - s[i]];
        sum += ((2 * ((y[i + 1] - y[i]) / g - (y[i] - y[i - 1]) / h)) / (g + h)) ** 2;
      }
      return sum;
    };
    expect(roughness(smooth)).toBeLessThan(1e-4 * roughness(stairs));
  });

  it('leaves a straight line and two values alone', () => {
    const s = uneven(30);
    smoothWithin(
      s,
      s.map((x) => 2 * x - 1),
      0.5,
      0,
    ).forEach((y, i) => {
      expect(Math.abs(y - (2 * s[i] - 1))).toBeLessThan(1e-8);
    });
    expect([...smoothWithin(Float64Array.of(0, 1), Float64Array.of(5, -5), 1, 0)]).toEqual([5, -5]);
  });

  it('of a periodic series is the same wherever it begins, and that of the natural one far from its ends (seed 32)', () => {
    const n = 120;
    const random = seededRandom(32);
    const gap = Float64Array.from({ length: n }, () => 0.5 + random());
    const data = Float64Array.from({ length: n }, () => random());
    const from = (start: number, laps: number): [Float64Array, Float64Array] => {
      const s = new Float64Array(laps * n);
      for (let i = 1; i < s.length; i++) s[i] = s[i - 1] + gap[(start + i - 1) % n];
      return [s, s.map((_, i) => data[(start + i) % n])];
    };
    const period = gap.reduce((sum, h) => sum + h, 0);
    const [s, y] = from(0, 1);
    const [sShifted, yShifted] = from(37, 1);
    const f = smoothWithin(s, y, 0.6, period);
    const g = smoothWithin(sShifted, yShifted, 0.6, period);
    for (let i = 0; i < n; i++) expect(Math.abs(g[i] - f[(37 + i) % n])).toBeLessThan(1e-8);
    // Five rounds with ends: the middle one hardly knows of them. The bisection ends on nearly the same smoothing.
    const [sLong, yLong] = from(0, 5);
    const long = smoothWithin(sLong, yLong, 0.45, 0);
    const short = smoothWithin(s, y, 0.45, period);
    for (let i = 0; i < n; i++) expect(Math.abs(long[2 * n + i] - short[i])).toBeLessThan(0.02);
    expect(Math.max(...f.map((x, i) => Math.abs(x - y[i])))).toBeLessThanOrEqual(0.6);
  });

  it('is the least of roughness and distance: no small change of it is rougher and closer at once (seed 31)', () => {
    // At the optimum the gradient of both is opposed: moving any way that lowers one by first order raises the other.
    const s = Float64Array.from({ length: 24 }, (_, i) => i);
    const random = seededRandom(31);
    const data = s.map(() => random());
    const f = smoothWithin(s, data, 0.3, 0);
    const spline = (y: Float64Array): number => {
      // Exact integral of f''^2 of the natural spline: f''' is constant on a span, f'' linear.
      const second = naturalSecond(y);
      let sum = 0;
      for (let i = 0; i + 1 < 24; i++) sum += (second[i] ** 2 + second[i] * second[i + 1] + second[i + 1] ** 2) / 3;
      return sum;
    };
    const distance = (y: Float64Array): number => {
      let sum = 0;
      for (let i = 0; i < 24; i++) sum += (i === 0 || i === 23 ? 0.5 : 1) * (y[i] - data[i]) ** 2;
      return sum;
    };
    const gradient = (of: (y: Float64Array) => number): number[] =>
      Array.from(f, (_, k) => {
        const step = 1e-5;
        const up = f.slice();
        const down = f.slice();
        up[k] += step;
        down[k] -= step;
        return (of(up) - of(down)) / (2 * step);
      });
    const a = gradient(spline);
    const b = gradient(distance);
    const dot = (x: number[], y: number[]): number => x.reduce((sum, v, i) => sum + v * y[i], 0);
    expect(dot(a, b) / Math.sqrt(dot(a, a) * dot(b, b))).toBeLessThan(-0.999999);
  });
});

/** Second derivatives of the natural cubic spline through y at 0, 1, 2 .. (plain elimination). */
function naturalSecond(y: Float64Array): Float64Array {
  const n = y.length;
  const second = new Float64Array(n);
  const c = new Float64Array(n);
  for (let i = 1; i < n - 1; i++) {
    const p = 4 - c[i - 1];
    c[i] = 1 / p;
    second[i] = (6 * (y[i + 1] - 2 * y[i] + y[i - 1]) - second[i - 1]) / p;
  }
  for (let i = n - 2; i > 0; i--) second[i] -= c[i] * second[i + 1];
  return second;
}
