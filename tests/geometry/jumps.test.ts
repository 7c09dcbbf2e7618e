import { describe, expect, test } from 'vitest';
import { findJumps } from '../../src/geometry/jumps.ts';

const grid = (n: number): Float64Array => Float64Array.from({ length: n }, (_, i) => 0.5 * i);
const found = (s: Float64Array, period: number, of: (s: number) => number): number[] => {
  const jumps = findJumps({ s, period }, s.map(of), 1);
  return [...jumps.keys()].filter((i) => jumps[i] === 1);
};

describe('jumps', () => {
  test('between two samples: at the one behind', () => {
    expect(found(grid(40), 0, (s) => (s > 9.8 ? 0.05 : 0))).toEqual([20]);
  });

  test('with a sample in it: on both sides', () => {
    expect(found(grid(40), 0, (s) => (s > 10.2 ? 0.05 : s > 9.8 ? 0.02 : 0))).toEqual([20, 21]);
  });

  test('through the start of a closed run', () => {
    expect(found(grid(40), 20, (s) => (s < 10.1 ? 0.05 : 0.01))).toEqual([0, 21]);
  });

  test('none where values change smoothly, however fast, nor in noise, nor beside what is unknown', () => {
    expect(found(grid(200), 100, (s) => Math.cos((2 * Math.PI * s) / 100))).toEqual([]);
    expect(found(grid(200), 0, (s) => Math.exp(-(((s - 50) / 3) ** 2)))).toEqual([]);
    expect(found(grid(200), 0, (s) => 1 + 1e-4 * Math.sin(1e6 * s))).toEqual([]);
    expect(found(grid(40), 0, (s) => (s > 9.8 ? Number.NaN : 0))).toEqual([]);
    expect(found(grid(40), 0, () => 0)).toEqual([]);
  });

  test('of vectors: the length of the change counts', () => {
    const s = grid(40);
    const turned = Float64Array.from([...s].flatMap((x) => (x > 9.8 ? [0.05, 0] : [0, 0.05])));
    expect([...findJumps({ s, period: 0 }, turned, 2)].indexOf(1)).toBe(20);
  });
});
