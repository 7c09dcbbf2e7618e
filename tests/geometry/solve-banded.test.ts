import fc from 'fast-check';
import { expect, test } from 'vitest';
import { solvePositive } from '../../src/geometry/small-matrix.ts';
import { solveBanded } from '../../src/geometry/solve-banded.ts';

const SEED = 20260701;

/** The band of a dense symmetric matrix. */
const bandOf = (a: Float64Array, n: number, half: number) =>
  Float64Array.from({ length: n * (half + 1) }, (_, k) => {
    const i = Math.floor(k / (half + 1));
    const j = i + (k % (half + 1)) - half;
    return j < 0 ? 0 : a[i * n + j];
  });

test(`as a dense solve of the same matrix, seed ${SEED}`, () => {
  const size = fc.tuple(fc.integer({ min: 1, max: 12 }), fc.integer({ min: 1, max: 4 }));
  const numbers = fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 160, maxLength: 160 });
  fc.assert(
    fc.property(size, numbers, ([n, half], random) => {
      // The rows of L L' + 1 reach as far as those of L.
      const a = new Float64Array(n * n);
      const l = (i: number, j: number) => (j > i || i - j > half ? 0 : random[(13 * i + j) % 160]);
      for (let i = 0; i < n; i++) {
        for (let j = 0; j < n; j++) {
          for (let k = 0; k < n; k++) a[i * n + j] += l(i, k) * l(j, k);
          if (i === j) a[i * n + j] += 1;
        }
      }
      const b = Float64Array.from({ length: n }, (_, i) => random[159 - i]);
      const x = b.slice();
      expect(solveBanded(bandOf(a, n, half), x, n, half)).toBe(true);
      expect(solvePositive(a, b, n)).toBe(true);
      // Condition below 1 + 4 x 5: both are exact to some 1e-15.
      for (let i = 0; i < n; i++) expect(Math.abs(x[i] - b[i])).toBeLessThan(1e-12);
    }),
    { seed: SEED },
  );
});

test('says that a matrix is not positive definite', () => {
  expect(solveBanded(Float64Array.of(0, 1, 2, 1), Float64Array.of(1, 1), 2, 1)).toBe(false);
  expect(solveBanded(Float64Array.of(0, Number.NaN), Float64Array.of(1), 1, 1)).toBe(false);
});
