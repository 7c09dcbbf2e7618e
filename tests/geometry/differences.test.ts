import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { differentiate } from '../../src/geometry/differences.ts';

const SEED = 20260303;

/** Strictly increasing arc lengths with steps of 0.5 to 1.5 and values of a function of two components. */
function sample(n: number, step: number, f: (s: number) => [number, number], uneven = 0.5) {
  const s = new Float64Array(n);
  for (let i = 1; i < n; i++) s[i] = s[i - 1] + step * (1 + uneven * Math.sin(7 * i));
  return { s, values: Float64Array.from(Array.from(s).flatMap(f)) };
}

describe('stencils', () => {
  test(`exact on polynomials of their degree over uneven steps, seed ${SEED}`, () => {
    const number = fc.double({ min: -2, max: 2, noNaN: true });
    fc.assert(
      fc.property(fc.array(number, { minLength: 5, maxLength: 5 }), fc.constantFrom<3 | 5>(3, 5), (a, points) => {
        const c = a.map((x, k) => (k < points ? x : 0));
        const p = (s: number) => c.reduceRight((sum, x) => sum * s + x, 0);
        const p1 = (s: number) => c[1] + s * (2 * c[2] + s * (3 * c[3] + s * 4 * c[4]));
        const p2 = (s: number) => 2 * c[2] + s * (6 * c[3] + s * 12 * c[4]);
        const { s, values } = sample(9, 0.3, (x) => [p(x), 1 - p(x)]);
        const { first, second } = differentiate({ s, period: 0, begins: null }, values, 2, points);
        for (let i = 0; i < s.length; i++) {
          expect(Math.abs(first[2 * i] - p1(s[i]))).toBeLessThan(1e-10);
          expect(Math.abs(first[2 * i + 1] + p1(s[i]))).toBeLessThan(1e-10);
          expect(Math.abs(second[2 * i] - p2(s[i]))).toBeLessThan(1e-9);
        }
      }),
      { seed: SEED, numRuns: 100 },
    );
  });

  // Source: Fornberg 1988, Math. Comp. 51, 699, table 1 (from memory): centred weights on even steps.
  test('the textbook weights on even steps', () => {
    const impulse = (at: number) => Float64Array.from({ length: 5 }, (_, i) => (i === at ? 1 : 0));
    const s = Float64Array.of(0, 1, 2, 3, 4);
    [1 / 12, -2 / 3, 0, 2 / 3, -1 / 12].forEach((w, k) => {
      expect(differentiate({ s, period: 0, begins: null }, impulse(k), 1, 5).first[2]).toBeCloseTo(w, 14);
    });
    [-1 / 12, 4 / 3, -5 / 2, 4 / 3, -1 / 12].forEach((w, k) => {
      expect(differentiate({ s, period: 0, begins: null }, impulse(k), 1, 5).second[2]).toBeCloseTo(w, 14);
    });
  });

  test('order of convergence: 4 for five points, 2 for three', () => {
    const worst = (n: number, points: 3 | 5) => {
      const { s, values } = sample(n, 6 / n, (x) => [Math.sin(x), 0], 0);
      const { first } = differentiate({ s, period: 0, begins: null }, values, 2, points);
      return s.reduce((w, x, i) => Math.max(w, Math.abs(first[2 * i] - Math.cos(x))), 0);
    };
    expect(worst(100, 5) / worst(200, 5)).toBeGreaterThan(0.85 * 16);
    expect(worst(100, 3) / worst(200, 3)).toBeGreaterThan(0.85 * 4);
  });
});

describe('layout', () => {
  test('a closed run goes round its end', () => {
    const n = 60;
    const period = 2 * Math.PI;
    const s = Float64Array.from({ length: n }, (_, i) => (period * (i + 0.3 * Math.sin((period * i) / n))) / n);
    const values = s.map((x) => Math.sin(x));
    const { first, second } = differentiate({ s, period, begins: null }, values, 1, 5);
    s.forEach((x, i) => {
      expect(Math.abs(first[i] - Math.cos(x))).toBeLessThan(2e-5);
      expect(Math.abs(second[i] + Math.sin(x))).toBeLessThan(2e-4);
    });
  });

  test('no stencil crosses a break, closed or open', () => {
    // A quadratic in each section: any stencil that crossed the jumps would be far off.
    const n = 20;
    const s = Float64Array.from({ length: n }, (_, i) => i);
    const begins = new Uint8Array(n);
    begins[4] = 1;
    begins[13] = 1;
    const inSecond = (i: number) => i >= 4 && i < 13;
    for (const period of [0, 20]) {
      const along = (i: number) => (period > 0 && i < 4 ? i + 20 : i);
      const values = s.map((_, i) => (inSecond(i) ? 100 + i * i : 3 * along(i)));
      const { first, second } = differentiate({ s, period, begins }, values, 1, 5);
      for (let i = 0; i < n; i++) {
        if (period === 0 && i < 4) expect(first[i]).toBeCloseTo(3, 10);
        else expect(first[i]).toBeCloseTo(inSecond(i) ? 2 * i : 3, 9);
        expect(second[i]).toBeCloseTo(inSecond(i) ? 2 : 0, 9);
      }
    }
  });

  test('one break alone on a closed run opens it there', () => {
    const s = Float64Array.of(0, 1, 2, 3, 4, 5);
    const begins = Uint8Array.of(0, 0, 1, 0, 0, 0);
    const values = Float64Array.of(4, 5, 0, 1, 2, 3);
    const { first, second } = differentiate({ s, period: 6, begins }, values, 1, 5);
    for (let i = 0; i < 6; i++) {
      expect(first[i]).toBeCloseTo(1, 12);
      expect(second[i]).toBeCloseTo(0, 12);
    }
  });

  test('short sections: slope of two samples, nothing of one; NaN spreads to its neighbours only', () => {
    const s = Float64Array.of(0, 1, 3, 4);
    const { first, second } = differentiate(
      { s, period: 0, begins: Uint8Array.of(0, 0, 0, 1) },
      Float64Array.of(0, 1, 5, 7),
      1,
      3,
    );
    expect(first[0]).toBeCloseTo(1 - 1 / 3, 12);
    expect(first[3]).toBeNaN();
    expect(second[3]).toBeNaN();
    const two = differentiate({ s: Float64Array.of(0, 2), period: 0, begins: null }, Float64Array.of(1, 5), 1, 5);
    expect(Array.from(two.first)).toEqual([2, 2]);
    expect(Array.from(two.second)).toEqual([0, 0]);
    const line = Float64Array.from({ length: 9 }, (_, i) => (i === 4 ? Number.NaN : i));
    const spread = differentiate({ s: line.map((_, i) => i), period: 0, begins: null }, line, 1, 3).first;
    expect(Array.from(spread, (x) => Number.isNaN(x))).toEqual([
      false,
      false,
      false,
      true,
      true,
      true,
      false,
      false,
      false,
    ]);
  });
});
