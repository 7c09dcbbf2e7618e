import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { findStretches, worstPoint } from '../../src/checks/stretches.ts';

const SEED = 20_260_302;
const even = (count: number, step: number) => Float64Array.from({ length: count }, (_, i) => i * step);
const among = (points: readonly number[]) => (i: number) => points.includes(i);
const bounds = (s: Float64Array, period: number, points: readonly number[]) =>
  findStretches(s, period, among(points)).map(({ from, to }) => [from, to]);

describe('findStretches', () => {
  it('finds none where nothing is out of order', () => {
    expect(findStretches(even(10, 1), 10, () => false)).toEqual([]);
  });

  it('bridges interruptions up to 1 mm, not longer ones', () => {
    expect(bounds(even(40, 0.5), 0, [4, 5, 7, 12])).toEqual([
      [2, 3.5],
      [6, 6],
    ]);
  });

  it('keeps neighbouring points together however far apart they are', () => {
    expect(bounds(even(10, 3), 0, [2, 3, 4])).toEqual([[6, 12]]);
  });

  it('merges across the start of a closed seam', () => {
    expect(bounds(even(40, 0.5), 20, [0, 1, 20, 38, 39])).toEqual([
      [10, 10],
      [19, 20.5],
    ]);
    expect(bounds(even(40, 0.5), 20, [1, 39])).toEqual([[19.5, 20.5]]);
    expect(bounds(even(40, 0.5), 20, [2, 39])).toEqual([
      [1, 1],
      [19.5, 19.5],
    ]);
    expect(bounds(even(40, 0.5), 0, [0, 1, 38, 39])).toEqual([
      [0, 0.5],
      [19, 19.5],
    ]);
  });

  it('gives the whole of a closed seam once', () => {
    expect(bounds(even(40, 0.5), 20, [...Array(40).keys()])).toEqual([[0, 20]]);
  });

  it(`finds on a turned closed seam the same stretches, turned, seed ${SEED}`, () => {
    const n = 60;
    fc.assert(
      fc.property(fc.array(fc.boolean(), { minLength: n, maxLength: n }), fc.nat(n - 1), (out, turn) => {
        const lengths = (flag: (i: number) => boolean) =>
          findStretches(even(n, 0.7), 0.7 * n, flag)
            .map(({ from, to }) => (to - from).toFixed(9))
            .sort();
        const turned = (i: number) => out[(i + turn) % n];
        const plain = lengths((i) => out[i]);
        // The whole round is given as its length wherever it starts; everything else has the same extent.
        expect(lengths(turned)).toEqual(plain);
      }),
      { seed: SEED, numRuns: 300 },
    );
  });
});

describe('worstPoint', () => {
  it('takes the largest, and a number before an unknown', () => {
    const stretch = { from: 0, to: 3, points: [0, 1, 2, 3] };
    const values = [Number.NaN, 2, 5, Number.NaN];
    expect(worstPoint(stretch, (i) => values[i])).toBe(2);
  });
});
