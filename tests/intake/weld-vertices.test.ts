import fc from 'fast-check';
import { expect, test } from 'vitest';
import { weldVertices } from '../../src/intake/weld-vertices.ts';
import { quietTask } from './support.ts';

const TOLERANCE = 1e-5;

/** The rule itself, in n^2: each vertex joins the earliest kept one within the tolerance. */
function weldSlowly(position: Float64Array): number[] {
  const kept: number[][] = [];
  return Array.from({ length: position.length / 3 }, (_, v) => {
    const p = [...position.subarray(3 * v, 3 * v + 3)];
    const near = (q: number[]): boolean => q.reduce((sum, c, k) => sum + (c - p[k]) ** 2, 0) <= TOLERANCE ** 2;
    const found = kept.findIndex(near);
    if (found >= 0) return found;
    kept.push(p);
    return kept.length - 1;
  });
}

test('agrees with brute force on clusters near the tolerance (fast-check, seed 5)', async () => {
  // Points on a lattice of 0.7 tolerances, so that many pairs lie just inside or outside, across cells and the origin.
  const step = fc.integer({ min: -12, max: 12 }).map((i) => i * 0.7 * TOLERANCE);
  await fc.assert(
    fc.asyncProperty(fc.array(fc.tuple(step, step, step), { minLength: 1, maxLength: 60 }), async (points) => {
      const position = Float64Array.from(points.flat());
      const { index } = await weldVertices(position, TOLERANCE, quietTask());
      expect([...index]).toEqual(weldSlowly(position));
    }),
    { seed: 5, numRuns: 300 },
  );
});

test('far from the origin two neighbours still weld, and their neighbour beyond the tolerance does not', async () => {
  const position = Float64Array.from([9e5, -9e5, 9e5, 9e5 + 5e-6, -9e5, 9e5, 9e5 + 5e-5, -9e5, 9e5]);
  const { index, position: kept } = await weldVertices(position, TOLERANCE, quietTask());
  expect([...index]).toEqual([0, 0, 1]);
  expect(kept.length).toBe(6);
});
