import fc from 'fast-check';
import { Matrix, solve } from 'ml-matrix';
import { describe, expect, test } from 'vitest';
import { buildCurve, evaluate, pointAt, sampleCurve } from '../../src/geometry/curve.ts';
import { interpolate, interpolatePeriodic, type Spline } from '../../src/geometry/spline.ts';
import { distance, length } from '../../src/geometry/vector.ts';

const SEED = 20260301;

/** Points that wander on, never closer than 0.2 to the one before. */
const wander = (least: number, most: number) =>
  fc
    .array(
      fc.tuple(
        fc.double({ min: 0.2, max: 3, noNaN: true }),
        fc.double({ min: -1, max: 1, noNaN: true }),
        fc.double({ min: -1, max: 1, noNaN: true }),
      ),
      {
        minLength: least,
        maxLength: most,
      },
    )
    .map((steps) => {
      const points = new Float64Array(3 * steps.length);
      let x = 0;
      steps.forEach(([dx, y, z], i) => {
        x += dx;
        points.set([x, y, z], 3 * i);
      });
      return points;
    });

type Ends = { kind: 'free' } | { kind: 'given'; first: Float64Array; last: Float64Array } | { kind: 'periodic' };

/** All 4 m coefficients from the conditions themselves, by a dense solver that knows nothing of slopes or bands. */
function denseSpline(points: Float64Array, knot: Float64Array, ends: Ends): Float64Array {
  const spans = knot.length - 1;
  const size = 4 * spans;
  const a = Matrix.zeros(size, size);
  const b = Matrix.zeros(size, 3);
  let row = 0;
  const value = (span: number, u: number, order: number, sign: number) => {
    const powers = [
      [1, u, u * u, u ** 3],
      [0, 1, 2 * u, 3 * u * u],
      [0, 0, 2, 6 * u],
      [0, 0, 0, 6],
    ][order];
    powers.forEach((p, k) => {
      a.set(row, 4 * span + k, a.get(row, 4 * span + k) + sign * p);
    });
  };
  const right = (v: ArrayLike<number>, at: number) => {
    for (let c = 0; c < 3; c++) b.set(row, c, v[at + c]);
    row++;
  };
  const zero = [0, 0, 0];
  for (let j = 0; j < spans; j++) {
    const h = knot[j + 1] - knot[j];
    value(j, 0, 0, 1);
    right(points, 3 * j);
    value(j, h, 0, 1);
    right(points, (3 * j + 3) % points.length);
    if (j + 1 === spans && ends.kind !== 'periodic') break;
    for (const order of [1, 2]) {
      value(j, h, order, 1);
      value((j + 1) % spans, 0, order, -1);
      right(zero, 0);
    }
  }
  if (ends.kind === 'free') {
    for (const j of [0, spans - 2]) {
      value(j, 0, 3, 1);
      value(j + 1, 0, 3, -1);
      right(zero, 0);
    }
  } else if (ends.kind === 'given') {
    value(0, 0, 1, 1);
    right(ends.first, 0);
    value(spans - 1, knot[spans] - knot[spans - 1], 1, 1);
    right(ends.last, 0);
  }
  const x = solve(a, b);
  return Float64Array.from({ length: 3 * size }, (_, i) => x.get(Math.floor(i / 3), i % 3));
}

function largestDifference(a: Float64Array, b: Float64Array): number {
  return a.reduce((worst, x, i) => Math.max(worst, Math.abs(x - b[i])), 0);
}

function slope(spline: Spline, span: number, u: number): Float64Array {
  const a = spline.coefficient.subarray(12 * span, 12 * span + 12);
  return Float64Array.from([0, 1, 2], (c) => (3 * a[9 + c] * u + 2 * a[6 + c]) * u + a[3 + c]);
}

// Oracle: ml-matrix, a general-purpose linear algebra library. The dense systems have condition numbers up to about 1e6.
describe('against a dense solution of the defining conditions', () => {
  test(`not-a-knot ends, seed ${SEED}`, () => {
    fc.assert(
      fc.property(wander(4, 12), (points) => {
        const s = interpolate(points, null, null);
        return largestDifference(s.coefficient, denseSpline(points, s.knot, { kind: 'free' })) < 1e-8;
      }),
      { seed: SEED, numRuns: 100 },
    );
  });

  test(`given end tangents, seed ${SEED}`, () => {
    fc.assert(
      fc.property(wander(3, 12), (points) => {
        const s = interpolate(points, [1, 0.3, 0], [2, 0, -0.4]);
        const spans = s.knot.length - 1;
        const first = slope(s, 0, 0);
        const last = slope(s, spans - 1, s.knot[spans] - s.knot[spans - 1]);
        expect(first[1] / first[0]).toBeCloseTo(0.3, 12);
        expect(last[2] / last[0]).toBeCloseTo(-0.2, 12);
        return largestDifference(s.coefficient, denseSpline(points, s.knot, { kind: 'given', first, last })) < 1e-8;
      }),
      { seed: SEED, numRuns: 100 },
    );
  });

  test(`closed, seed ${SEED}`, () => {
    fc.assert(
      fc.property(wander(3, 12), (points) => {
        const s = interpolatePeriodic(points);
        return largestDifference(s.coefficient, denseSpline(points, s.knot, { kind: 'periodic' })) < 1e-8;
      }),
      { seed: SEED, numRuns: 100 },
    );
  });
});

describe('few points', () => {
  const arcPoint = (p: number) => [10 * Math.cos(p), 10 * Math.sin(p), 0];
  const radiusError = (spline: Spline) => {
    const curve = buildCurve([spline], false);
    const s = Float64Array.from({ length: 101 }, (_, i) => (curve.length * i) / 100);
    const { position } = sampleCurve(curve, s);
    return s.reduce((worst, _, i) => Math.max(worst, Math.abs(length(position, 3 * i) - 10)), 0);
  };

  test('two points: a straight line at unit speed', () => {
    const curve = buildCurve([interpolate(Float64Array.of(1, 2, 3, 4, 6, 15), null, null)], false);
    const at = new Float64Array(9);
    pointAt(curve, 6.5, at);
    expect(curve.length).toBeCloseTo(13, 13);
    expect(distance(at, 0, Float64Array.of(2.5, 4, 9), 0)).toBeLessThan(1e-14);
    expect(length(at, 6)).toBeLessThan(1e-14);
  });

  // Source: de Boor, Hoellig & Sabin 1987, CAGD 4, 269 (from memory): the error of the best cubic on a quarter circle is
  // 2.7e-4 of the radius with these end speeds, and falls with the sixth power of the angle.
  test('two points with tangents follow a circle to sixth order', () => {
    const errors = [Math.PI / 2, Math.PI / 4].map((angle) => {
      const points = Float64Array.of(...arcPoint(0), ...arcPoint(angle));
      return radiusError(interpolate(points, [0, 1, 0], [-Math.sin(angle), Math.cos(angle), 0]));
    });
    expect(errors[0]).toBeLessThan(10 * 2.8e-4);
    expect(errors[0] / errors[1]).toBeGreaterThan(0.9 * 64);
  });

  test('a quarter circle with end tangents equals the same spans of the closed circle', () => {
    const at = (count: number, step: number) =>
      Float64Array.from({ length: count }, (_, k) => k * step).reduce(
        (points, p, k) => {
          points.set(arcPoint(p), 3 * k);
          return points;
        },
        new Float64Array(3 * count),
      );
    const closed = interpolatePeriodic(at(12, Math.PI / 6)).coefficient.subarray(0, 36);
    const quarter = interpolate(at(4, Math.PI / 6), [0, 1, 0], [-1, 0, 0]).coefficient;
    expect(largestDifference(quarter, closed)).toBeLessThan(1e-12);
  });

  test('two points with one tangent, at either end, give the same circle-like arc', () => {
    const points = Float64Array.of(...arcPoint(0), ...arcPoint(0.8));
    const both = interpolate(points, [0, 1, 0], [-Math.sin(0.8), Math.cos(0.8), 0]);
    for (const one of [
      interpolate(points, [0, 3, 0], null),
      interpolate(points, null, [-Math.sin(0.8), Math.cos(0.8), 0]),
    ]) {
      expect(largestDifference(one.coefficient, both.coefficient)).toBeLessThan(1e-13);
    }
  });

  test('three points: one parabola; with one tangent: one cubic', () => {
    const points = Float64Array.of(0, 0, 0, 1, 1, 0, 3, 1, 1);
    const parabola = interpolate(points, null, null).coefficient;
    for (const k of [9, 10, 11, 21, 22, 23]) expect(Math.abs(parabola[k])).toBeLessThan(1e-14);
    const cubic = interpolate(points, [1, 0, 0], null).coefficient;
    for (const k of [9, 10, 11]) expect(Math.abs(cubic[k] - cubic[k + 12])).toBeLessThan(1e-13);
    expect(Math.abs(cubic[10])).toBeGreaterThan(1e-3);
  });

  // The cyclic system of a regular triangle has the slope 3 sin h / (2 + cos h) R / chord; half-way between two points that
  // puts the curve at 5 + 3.75 = 8.75 from the centre of a circle of 10 (worked out by hand).
  test('three points on a circle, closed: the closed form of the regular triangle', () => {
    const points = Float64Array.from([0, 2, 4].flatMap((k) => arcPoint((k * Math.PI) / 3)));
    const spline = interpolatePeriodic(points);
    expect(radiusError(spline)).toBeCloseTo(1.25, 4);
    const start = new Float64Array(9);
    const end = new Float64Array(9);
    evaluate(spline, 0, 0, start);
    evaluate(spline, 2, spline.knot[3] - spline.knot[2], end);
    for (let k = 0; k < 9; k++) expect(end[k]).toBeCloseTo(start[k], 12);
  });

  test('too few points, doubled points and NaN throw', () => {
    expect(() => interpolate(Float64Array.of(0, 0, 0), null, null)).toThrow('two points');
    expect(() => interpolatePeriodic(new Float64Array(6))).toThrow('three points');
    expect(() => interpolate(Float64Array.of(0, 0, 0, 1, 0, 0, 1, 0, 0), null, null)).toThrow('coincide');
    expect(() => interpolatePeriodic(Float64Array.of(0, 0, 0, 1, 0, 0, 0, 0, 0))).toThrow('coincide');
    expect(() => interpolate(Float64Array.of(0, 0, 0, Number.NaN, 0, 0), null, null)).toThrow('not finite');
    expect(() => interpolate(Float64Array.of(0, 0, 0, 1, 0, 0), [0, 0, 0], null)).toThrow('no direction');
  });
});
