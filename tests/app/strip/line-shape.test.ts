import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lineShape, thinRows, valueBetween } from '../../../src/app/strip/line-shape.ts';

const x = (s: number): number => s / 10;
const values = fc.array(fc.oneof(fc.double({ min: -5, max: 5, noNaN: true }), fc.constant(Number.NaN)), {
  minLength: 2,
  maxLength: 400,
});

/** Least and most of each pixel, by looking at all rows. */
function extremes(
  s: readonly number[],
  list: readonly number[],
  rows: readonly number[],
): Map<number, [number, number]> {
  const out = new Map<number, [number, number]>();
  for (const row of rows) {
    if (!Number.isFinite(list[row])) continue;
    const pixel = Math.floor(x(s[row]));
    const [low, high] = out.get(pixel) ?? [list[row], list[row]];
    out.set(pixel, [Math.min(low, list[row]), Math.max(high, list[row])]);
  }
  return out;
}

describe('the line of a track', () => {
  it('loses neither the least nor the most of any pixel, nor a gap, seed 41', () => {
    fc.assert(
      fc.property(values, (list) => {
        const s = list.map((_, row) => row);
        const rows = thinRows(s, list, x);
        const all = list.map((_, row) => row);
        expect(extremes(s, list, rows)).toEqual(extremes(s, list, all));
        expect(rows).toEqual([...new Set(rows)].sort((a, b) => a - b));
        expect([rows[0], rows[rows.length - 1]]).toEqual([0, list.length - 1]);
        const gaps = (kept: readonly number[]) =>
          new Set(kept.filter((row) => !Number.isFinite(list[row])).map((row) => Math.floor(x(s[row]))));
        expect(gaps(rows)).toEqual(gaps(all));
      }),
      { seed: 41 },
    );
  });

  it('draws no more than five rows a pixel, and all where there is room', () => {
    const long = Array.from({ length: 5000 }, (_, row) => Math.sin(row));
    expect(
      thinRows(
        long.map((_, row) => row / 100),
        long,
        x,
      ).length,
    ).toBeLessThanOrEqual(5 * 6);
    const short = [0, 10, 20];
    expect(thinRows(short, [1, 2, 3], (s) => s)).toEqual([0, 1, 2]);
  });

  it('breaks at a value that is not known', () => {
    const path = lineShape(
      [0, 10, 20, 30, 40],
      [1, 1, Number.NaN, 1, 1],
      (s) => s,
      (v) => v,
    );
    expect(path.match(/M/g)).toHaveLength(2);
  });

  it('reads between rows on a straight line, and nothing beside a gap or beyond the ends', () => {
    const s = [0, 2, 4, 6];
    expect(valueBetween(s, [0, 4, 8, Number.NaN], 3)).toBe(6);
    expect(valueBetween(s, [0, 4, 8, Number.NaN], 4)).toBe(8);
    expect(valueBetween(s, [0, 4, 8, Number.NaN], 5)).toBeNaN();
    expect(valueBetween(s, [0, 4, 8, 9], 7)).toBeNaN();
    expect(valueBetween(s, [0, 4, 8, 9], 6)).toBe(9);
  });
});
