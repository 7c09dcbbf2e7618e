import fc from 'fast-check';
import { Matrix, solve } from 'ml-matrix';
import { expect, test } from 'vitest';
import { buildCurve, sampleCurve } from '../../src/geometry/curve.ts';
import { smoothPoints } from '../../src/geometry/smoothing-spline.ts';

/** Noisy points along a bent line. */
const bent = (n: number, noise: (i: number, c: number) => number): Float64Array =>
  Float64Array.from({ length: 3 * n }, (_, k) => {
    const [i, c] = [Math.floor(k / 3), k % 3];
    return [i, 3 * Math.sin(i / 4), Math.cos(i / 3)][c] + noise(i, c);
  });

const wobble = (i: number, c: number): number => 0.1 * Math.sin(12.9898 * (3 * i + c + 1)) * ((i * 7 + c) % 3);

/** Value of what Reinsch minimises, by weight: sum of squares + weight * integral of |r''|^2. */
function cost(points: Float64Array, spline: { knot: Float64Array; coefficient: Float64Array }, weight: number): number {
  const { knot, coefficient: a } = spline;
  const n = points.length / 3;
  let sum = 0;
  for (let j = 0; j + 1 < knot.length; j++) {
    const h = knot[j + 1] - knot[j];
    for (let c = 0; c < 3; c++) {
      const [m0, m1] = [2 * a[12 * j + 6 + c], 2 * a[12 * j + 6 + c] + 6 * h * a[12 * j + 9 + c]];
      sum += (weight * h * (m0 * m0 + m0 * m1 + m1 * m1)) / 3;
      sum += (a[12 * j + c] - points[3 * j + c]) ** 2;
    }
  }
  if (knot.length === n) {
    const j = knot.length - 2;
    const h = knot[j + 1] - knot[j];
    for (let c = 0; c < 3; c++) {
      const end = ((a[12 * j + 9 + c] * h + a[12 * j + 6 + c]) * h + a[12 * j + 3 + c]) * h + a[12 * j + c];
      sum += (end - points[3 * (n - 1) + c]) ** 2;
    }
  }
  return sum;
}

// Source: Reinsch 1967, Numer. Math. 10, 177: (R + w Q'Q) m = Q'y, f = y - w Q m; solved here densely, by another library.
test.each([
  ['open', false],
  ['closed', true],
])('%s: the same as a dense solution of the normal equations', (_name, closed) => {
  const n = 14;
  const points = closed
    ? Float64Array.from({ length: 3 * n }, (_, k) => {
        const u = (2 * Math.PI * Math.floor(k / 3)) / n;
        return [5 * Math.cos(u), 4 * Math.sin(u), Math.sin(3 * u)][k % 3] + wobble(Math.floor(k / 3), k % 3);
      })
    : bent(n, wobble);
  const { spline, rms } = smoothPoints(points, closed, 0.08);
  expect(rms).toBeCloseTo(0.08, 6);
  const h = (i: number): number => {
    const j = (i + n) % n;
    return spline.knot[j + 1] - spline.knot[j];
  };
  const inner = closed ? Array.from({ length: n }, (_, i) => i) : Array.from({ length: n - 2 }, (_, i) => i + 1);
  const Q = Matrix.zeros(n, inner.length);
  const R = Matrix.zeros(inner.length, inner.length);
  const add = (m: Matrix, i: number, j: number, value: number): void => {
    m.set(i, j, m.get(i, j) + value);
  };
  inner.forEach((i, j) => {
    add(Q, (i + n - 1) % n, j, 1 / h(i - 1));
    add(Q, i, j, -1 / h(i - 1) - 1 / h(i));
    add(Q, (i + 1) % n, j, 1 / h(i));
    add(R, j, j, (h(i - 1) + h(i)) / 3);
    if (closed || j + 1 < inner.length) {
      add(R, j, (j + 1) % inner.length, h(i) / 6);
      add(R, (j + 1) % inner.length, j, h(i) / 6);
    }
  });
  const Y = new Matrix(Array.from({ length: n }, (_, i) => [...points.subarray(3 * i, 3 * i + 3)]));
  const rmsOf = (weight: number): { rms: number; F: Matrix } => {
    const m = solve(Matrix.add(R, Matrix.mul(Q.transpose().mmul(Q), weight)), Q.transpose().mmul(Y));
    const F = Matrix.sub(Y, Matrix.mul(Q.mmul(m), weight));
    return { rms: Matrix.sub(F, Y).norm('frobenius') / Math.sqrt(n), F };
  };
  let [low, high] = [1e-6, 1e6];
  for (let i = 0; i < 100; i++) {
    const middle = Math.sqrt(low * high);
    if (rmsOf(middle).rms < 0.08) low = middle;
    else high = middle;
  }
  const { F } = rmsOf(low);
  for (let i = 0; i + 1 < spline.knot.length; i++) {
    for (let c = 0; c < 3; c++) expect(spline.coefficient[12 * i + c]).toBeCloseTo(F.get(i, c), 6);
  }
});

test('pieces go on smoothly, round the start of a closed one too', () => {
  for (const closed of [false, true]) {
    const n = 20;
    const points = Float64Array.from({ length: 3 * n }, (_, k) => {
      const u = (2 * Math.PI * Math.floor(k / 3)) / n;
      return [9 * Math.cos(u), 9 * Math.sin(u), 0][k % 3] + wobble(Math.floor(k / 3), k % 3);
    });
    const { spline } = smoothPoints(points, closed, 0.05);
    const curve = buildCurve([spline], closed);
    const cuts = [...curve.pieces[0].arc].slice(closed ? 0 : 1, -1);
    for (const s of cuts) {
      const { tangent, second } = sampleCurve(curve, [s - 1e-9, s + 1e-9]);
      for (let c = 0; c < 3; c++) {
        expect(Math.abs(tangent[c] - tangent[3 + c])).toBeLessThan(1e-7);
        expect(Math.abs(second[c] - second[3 + c])).toBeLessThan(1e-6);
      }
    }
  }
});

test('no other curve through moved knots does better (fast-check, seed 23)', () => {
  const points = bent(12, wobble);
  const { spline } = smoothPoints(points, false, 0.05);
  // The weight that belongs to it: from the first interior equation f = y - w Q m.
  const second = (j: number, c: number): number => 2 * spline.coefficient[12 * j + 6 + c];
  const h = (j: number): number => spline.knot[j + 1] - spline.knot[j];
  const weight = (points[1] - spline.coefficient[1]) / (second(1, 1) / h(0));
  const best = cost(points, spline, weight);
  fc.assert(
    fc.property(
      fc.array(fc.double({ min: -0.1, max: 0.1, noNaN: true }), { minLength: 36, maxLength: 36 }),
      (shift) => {
        const other = smoothPoints(
          points.map((x, i) => x + shift[i] * (i % 3 === 0 ? 0 : 1)),
          false,
          0.05,
        ).spline;
        // Another natural spline: on its own knots, its cost against these points is no less.
        expect(cost(points, { knot: spline.knot, coefficient: respan(other, spline.knot) }, weight)).toBeGreaterThan(
          best - 1e-12,
        );
      },
    ),
    { seed: 23, numRuns: 40 },
  );
});

/** Natural cubic through another spline's knot values, over these knots: dense solution for the second derivatives. */
function respan(other: { knot: Float64Array; coefficient: Float64Array }, knot: Float64Array): Float64Array {
  const n = knot.length;
  const last = n - 2;
  const value = (i: number, c: number): number => {
    if (i <= last) return other.coefficient[12 * i + c];
    const u = other.knot[last + 1] - other.knot[last];
    const a = other.coefficient;
    return ((a[12 * last + 9 + c] * u + a[12 * last + 6 + c]) * u + a[12 * last + 3 + c]) * u + a[12 * last + c];
  };
  const out = new Float64Array(12 * (n - 1));
  for (let c = 0; c < 3; c++) {
    const A = Matrix.eye(n, n);
    const b = Matrix.zeros(n, 1);
    for (let i = 1; i < n - 1; i++) {
      const [p, q] = [knot[i] - knot[i - 1], knot[i + 1] - knot[i]];
      A.set(i, i - 1, p / 6);
      A.set(i, i, (p + q) / 3);
      A.set(i, i + 1, q / 6);
      b.set(i, 0, (value(i + 1, c) - value(i, c)) / q - (value(i, c) - value(i - 1, c)) / p);
    }
    const m = solve(A, b);
    for (let j = 0; j + 1 < n; j++) {
      const h = knot[j + 1] - knot[j];
      const [m0, m1] = [m.get(j, 0), m.get(j + 1, 0)];
      out[12 * j + c] = value(j, c);
      out[12 * j + 3 + c] = (value(j + 1, c) - value(j, c)) / h - (h * (2 * m0 + m1)) / 6;
      out[12 * j + 6 + c] = m0 / 2;
      out[12 * j + 9 + c] = (m1 - m0) / (6 * h);
    }
  }
  return out;
}

test('nothing to smooth: through the points; too much: the straight line of least squares', () => {
  const points = bent(15, wobble);
  expect(smoothPoints(points, false, 0).rms).toBe(0);
  const { spline, rms } = smoothPoints(points, false, 100);
  expect(rms).toBeLessThan(100);
  for (let j = 0; j + 1 < spline.knot.length; j++) {
    for (let c = 0; c < 3; c++) expect(Math.abs(spline.coefficient[12 * j + 6 + c])).toBeLessThan(1e-6);
  }
});
