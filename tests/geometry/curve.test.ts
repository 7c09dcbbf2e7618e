import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { closestPoint } from '../../src/geometry/closest-point.ts';
import {
  breaks,
  buildCurve,
  evaluate,
  locate,
  pointAt,
  reverseCurve,
  sampleCurve,
  shiftStart,
} from '../../src/geometry/curve.ts';
import { movePoints, rigidFromAngles, turnVectors } from '../../src/geometry/rigid.ts';
import { interpolate, interpolatePeriodic } from '../../src/geometry/spline.ts';
import { distance, length } from '../../src/geometry/vector.ts';
import type { Curve } from '../../src/model/curve.ts';
import { saddle, sampleKnown } from './known-curves.ts';

const SEED = 20260302;
const TURN = 2 * Math.PI;
const rim = buildCurve([interpolatePeriodic(sampleKnown(saddle, 60, TURN / 60).position)], true);

/** A flat stadium: straights of 40 along x, arcs of radius 12, four pieces, from (-20, -12). */
const stadium = (() => {
  const arc = (x: number, from: number) => {
    const points = Float64Array.from({ length: 27 }, (_, k) => {
      const p = from + (Math.PI * Math.floor(k / 3)) / 8;
      return [x + 12 * Math.cos(p), 12 * Math.sin(p), 0][k % 3];
    });
    const tangent = (p: number) => [-Math.sin(p), Math.cos(p), 0];
    return interpolate(points, tangent(from), tangent(from + Math.PI));
  };
  const line = (x: number, y: number, to: number) => interpolate(Float64Array.of(x, y, 0, to, y, 0), null, null);
  return buildCurve([line(-20, -12, 20), arc(20, -Math.PI / 2), line(20, 12, -20), arc(-20, Math.PI / 2)], true);
})();

/** An open bracket: 30 along x, then 20 along y, a corner of 90 degrees between. */
const bracket = buildCurve(
  [
    interpolate(Float64Array.of(0, 0, 0, 30, 0, 0), null, null),
    interpolate(Float64Array.of(30, 0, 0, 30, 20, 0), null, null),
  ],
  false,
);

function at(curve: Curve, s: number): Float64Array {
  const out = new Float64Array(9);
  pointAt(curve, s, out);
  return out;
}

/** Largest difference of position, tangent and C'' between two curves at places that correspond. */
function apart(a: Curve, b: Curve, place: (s: number) => number, sign: number): number {
  let worst = 0;
  for (let i = 0; i < 500; i++) {
    const s = (a.length * (i + 0.37)) / 500;
    const p = at(a, s);
    const q = at(b, place(s));
    for (let k = 0; k < 9; k++) worst = Math.max(worst, Math.abs(p[k] - (k > 2 && k < 6 ? sign : 1) * q[k]));
  }
  return worst;
}

describe('arc length', () => {
  test('equal steps of arc length are equal distances along the curve', () => {
    // Chords of 1e-3 mm are arcs to 1e-12 relative, and rounding leaves 1e-11 of their length.
    for (let i = 0; i < 200; i++) {
      const s = (rim.length * i) / 200;
      expect(Math.abs(distance(at(rim, s), 0, at(rim, s + 1e-3), 0) - 1e-3)).toBeLessThan(1e-12);
    }
  });

  test(`knots lie at their own arc lengths, and all between in order, seed ${SEED}`, () => {
    const { knot, arc } = rim.pieces[0];
    for (let j = 0; j + 1 < knot.length; j++) expect(locate(rim, arc[j])).toEqual({ piece: 0, span: j, u: 0 });
    fc.assert(
      fc.property(fc.double({ min: 0, max: 0.999, noNaN: true }), (f) => {
        const a = locate(rim, f * rim.length);
        const b = locate(rim, f * rim.length + 1e-6);
        return knot[b.span] + b.u > knot[a.span] + a.u;
      }),
      { seed: SEED },
    );
  });

  test('length against a fine polyline', () => {
    const n = 200_000;
    const { position } = sampleCurve(
      stadium,
      Float64Array.from({ length: n + 1 }, (_, i) => (stadium.length * i) / n),
    );
    let sum = 0;
    for (let k = 3; k < position.length; k += 3) sum += distance(position, k - 3, position, k);
    // Chords of h under curvature 1/12 are short by (h / 12)^2 / 24: 3e-10 of the length.
    expect(Math.abs(sum / stadium.length - 1)).toBeLessThan(1e-9);
    // Spans of 22.5 degrees leave h^4 / 384 = 6e-5 of the radius at most.
    expect(Math.abs(stadium.length / (80 + 24 * Math.PI) - 1)).toBeLessThan(6e-5);
  });

  test("C'' and tangent are the derivatives by arc length", () => {
    const h = 1e-3;
    for (let i = 0; i < 50; i++) {
      const s = (rim.length * (i + 0.5)) / 50;
      const [a, b, c] = [at(rim, s - h), at(rim, s), at(rim, s + h)];
      for (let k = 0; k < 3; k++) {
        expect(Math.abs((c[k] - a[k]) / (2 * h) - b[3 + k])).toBeLessThan(1e-9);
        expect(Math.abs((c[3 + k] - a[3 + k]) / (2 * h) - b[6 + k])).toBeLessThan(1e-5);
      }
      expect(Math.abs(length(b, 3) - 1)).toBeLessThan(1e-15);
    }
  });
});

describe('domain', () => {
  test('a closed curve goes round', () => {
    for (const s of [-3, 0, 5, rim.length - 1e-6]) {
      for (const turns of [-2, 1, 3]) {
        const p = at(rim, s);
        const q = at(rim, s + turns * rim.length);
        for (let k = 0; k < 9; k++) expect(Math.abs(p[k] - q[k])).toBeLessThan(1e-11);
      }
    }
    expect(Array.from(at(rim, rim.length))).toEqual(Array.from(at(rim, 0)));
    expect(Array.from(at(rim, -1e-18))).toEqual(Array.from(at(rim, 0)));
  });

  test('an open curve goes on straight', () => {
    const before = at(bracket, -4);
    const after = at(bracket, bracket.length + 7);
    expect(Array.from(before)).toEqual([-4, 0, 0, 1, 0, 0, 0, 0, 0]);
    [30, 27, 0, 0, 1, 0, 0, 0, 0].forEach((x, k) => {
      expect(after[k]).toBeCloseTo(x, 13);
    });
  });

  test('at a corner the outgoing tangent, at the end the last one', () => {
    expect(Array.from(at(bracket, 30).subarray(3, 6))).toEqual([0, 1, 0]);
    expect(at(bracket, 50)[1]).toBeCloseTo(20, 13);
  });
});

describe('breaks', () => {
  test('the bracket has its corner, the stadium and the rim none', () => {
    const found = breaks(bracket, 1e-3);
    expect(found).toHaveLength(1);
    expect(found[0].s).toBe(30);
    expect(found[0].angle).toBeCloseTo(Math.PI / 2, 14);
    expect(breaks(stadium, 1e-7)).toEqual([]);
    expect(breaks(rim, 1e-7)).toEqual([]);
  });

  test('the closing point of a closed triangle counts, at s = 0', () => {
    const side = (...p: number[]) => interpolate(Float64Array.of(...p), null, null);
    const triangle = buildCurve([side(0, 0, 0, 3, 0, 0), side(3, 0, 0, 0, 4, 0), side(0, 4, 0, 0, 0, 0)], true);
    const found = breaks(triangle, 0.1);
    expect(found.map((b) => Math.round(b.s))).toEqual([0, 3, 8]);
    expect(found.reduce((sum, b) => sum + b.angle, 0)).toBeCloseTo(TURN, 13);
  });
});

describe('reversal and shift of the start', () => {
  test('reversal runs the same way back, twice is the same curve', () => {
    for (const curve of [rim, stadium, bracket]) {
      expect(Math.abs(reverseCurve(curve).length - curve.length)).toBeLessThan(1e-11);
      expect(apart(curve, reverseCurve(curve), (s) => curve.length - s, -1)).toBeLessThan(1e-10);
      expect(apart(curve, reverseCurve(reverseCurve(curve)), (s) => s, 1)).toBeLessThan(1e-10);
    }
  });

  test(`a shifted start moves nothing else, seed ${SEED}`, () => {
    fc.assert(
      fc.property(fc.double({ min: -300, max: 300, noNaN: true }), fc.boolean(), (s, which) => {
        const curve = which ? rim : stadium;
        const moved = shiftStart(curve, s);
        expect(Math.abs(moved.length - curve.length)).toBeLessThan(1e-11);
        expect(breaks(moved, 1e-7)).toEqual([]);
        expect(apart(curve, moved, (t) => t - s, 1)).toBeLessThan(1e-9);
      }),
      { seed: SEED, numRuns: 40 },
    );
  });

  test('a start on a joint or a knot splits no span', () => {
    const spans = (curve: Curve) => curve.pieces.reduce((sum, p) => sum + p.knot.length - 1, 0);
    const onJoint = shiftStart(stadium, 40);
    expect(onJoint.pieces).toHaveLength(4);
    expect(spans(onJoint)).toBe(spans(stadium));
    const onKnot = shiftStart(rim, rim.pieces[0].arc[7]);
    expect(onKnot.pieces).toHaveLength(2);
    expect(spans(onKnot)).toBe(spans(rim));
    expect(shiftStart(rim, rim.length)).toBe(rim);
    expect(() => shiftStart(bracket, 3)).toThrow('closed');
  });
});

test(`a rigid motion of the points moves the curve and changes no scalar, seed ${SEED}`, () => {
  const number = fc.double({ min: -3, max: 3, noNaN: true });
  const { position } = sampleKnown(saddle, 40, TURN / 40);
  const still = buildCurve([interpolatePeriodic(position)], true);
  fc.assert(
    fc.property(fc.tuple(number, number, number), fc.tuple(number, number, number), (angles, shift) => {
      const motion = rigidFromAngles(
        shift.map((x) => 100 * x),
        angles,
      );
      const moved = buildCurve([interpolatePeriodic(movePoints(motion, position))], true);
      expect(Math.abs(moved.length - still.length)).toBeLessThan(1e-10);
      for (const s of [1, 50, 200]) {
        const p = at(still, s);
        const q = at(moved, s);
        const place = movePoints(motion, p.slice(0, 3));
        const turned = turnVectors(motion, p.slice(3));
        expect(distance(place, 0, q, 0)).toBeLessThan(1e-10);
        expect(distance(turned, 0, q, 3)).toBeLessThan(1e-11);
        expect(distance(turned, 3, q, 6)).toBeLessThan(1e-11);
      }
    }),
    { seed: SEED, numRuns: 50 },
  );
});

describe('closest point', () => {
  const bruteForce = (curve: Curve, x: Float64Array): number => {
    let least = Number.POSITIVE_INFINITY;
    const out = new Float64Array(9);
    for (const piece of curve.pieces) {
      for (let j = 0; j + 1 < piece.knot.length; j++) {
        const h = piece.knot[j + 1] - piece.knot[j];
        for (let k = 0; k <= 200; k++) {
          evaluate(piece, j, (h * k) / 200, out);
          least = Math.min(least, distance(out, 0, x, 0));
        }
      }
    }
    return least;
  };

  test(`never farther than brute force, and where it says it is, seed ${SEED}`, () => {
    const number = fc.double({ min: -60, max: 60, noNaN: true });
    fc.assert(
      fc.property(number, number, number, fc.constantFrom(rim, stadium, bracket), (x, y, z, curve) => {
        const p = Float64Array.of(x, y, z / 3);
        const found = closestPoint(curve, p[0], p[1], p[2]);
        expect(found.distance).toBeLessThanOrEqual(bruteForce(curve, p) + 1e-12);
        expect(Math.abs(distance(at(curve, found.s), 0, p, 0) - found.distance)).toBeLessThan(1e-9);
      }),
      { seed: SEED, numRuns: 150 },
    );
  });

  test(`single spans that loop and double back, with several foot points, seed ${SEED}`, () => {
    const within = (size: number) => fc.double({ min: -size, max: size, noNaN: true });
    const triple = (size: number) => fc.tuple(within(size), within(size), within(size));
    fc.assert(
      fc.property(triple(4), triple(12), triple(10), triple(2), (c1, c2, c3, p) => {
        const span = { knot: Float64Array.of(0, 1), coefficient: Float64Array.of(0, 0, 0, ...c1, ...c2, ...c3) };
        const curve = buildCurve([span], false);
        expect(closestPoint(curve, ...p).distance).toBeLessThanOrEqual(
          bruteForce(curve, Float64Array.of(...p)) + 1e-12,
        );
      }),
      { seed: SEED, numRuns: 3000 },
    );
  });

  test(`a point of the curve gives its own arc length, seed ${SEED}`, () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 0.999, noNaN: true }),
        fc.constantFrom(rim, stadium, bracket),
        (f, curve) => {
          const p = at(curve, f * curve.length);
          const found = closestPoint(curve, p[0], p[1], p[2]);
          expect(found.distance).toBeLessThan(1e-12);
          expect(Math.abs(found.s - f * curve.length)).toBeLessThan(1e-11);
        },
      ),
      { seed: SEED, numRuns: 200 },
    );
  });
});
