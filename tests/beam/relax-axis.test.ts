// Smoothed axes: never outside their cones, held where the cone is closed, the least cost among all that are allowed, and the
// same whichever way the part is turned or the seam is driven.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { axisStiffness, bendingForce } from '../../src/beam/axis-stiffness.ts';
import { type AxisField, relaxAxis } from '../../src/beam/relax-axis.ts';
import { lengthOf, plus, unit, type Vector } from './analytic-bodies.ts';
import { at, DEG, saddleRim, task } from './known-paths.ts';

const SEED = 20260702;

/** Chord between two axes as an angle; exact for small ones. */
const between = (a: Vector, b: Vector) => 2 * Math.asin(lengthOf(plus(a, -1, b)) / 2);

/** Axes against the normals of the saddle's flange, with cones that change along the seam; every seventh of 60 is closed. */
function saddle(closed: boolean, cone: (i: number) => number, count = 120): AxisField {
  const path = saddleRim(count, 'flange');
  return {
    nominal: path.normal.map((value) => -value),
    cone: Float64Array.from({ length: count }, (_, i) => cone(i)),
    gap: Float64Array.from({ length: count }, (_, i) => (i + 1 < count ? path.s[i + 1] : path.length) - path.s[i]),
    closed,
  };
}
const cones = (i: number) => (i % 60 === 7 ? 0 : (4 + 3 * Math.sin(i)) * DEG);

describe.each([true, false])('closed: %s', (closed) => {
  const field = saddle(closed, cones);
  const count = field.gap.length;
  // The rounding of 1 mm that the module works with.
  const stiffness = axisStiffness(field.gap, closed, 1);
  const cost = (axis: Float64Array) => bendingForce(stiffness, axis, new Float64Array(3 * count));

  test('unit axes inside their cones, those of closed cones untouched', async () => {
    const axis = await relaxAxis(field, task);
    let leaning = 0;
    for (let i = 0; i < count; i++) {
      expect(lengthOf(at(axis, i))).toBeCloseTo(1, 12);
      const lean = between(at(axis, i), at(field.nominal, i));
      expect(lean).toBeLessThanOrEqual(field.cone[i] * (1 + 1e-12));
      if (lean > 0.9 * field.cone[i] && field.cone[i] > 0) leaning++;
    }
    expect(leaning).toBeGreaterThan(10);
    expect(cost(axis)).toBeLessThan(0.85 * cost(field.nominal));
  });

  test(`no bump that the cones allow costs less, seed ${SEED}`, async () => {
    const axis = await relaxAxis(field, task);
    const least = cost(axis);
    const bump = fc.record({
      at: fc.integer({ min: 0, max: count - 1 }),
      wide: fc.integer({ min: 0, max: 25 }),
      by: fc.tuple(...[0, 1, 2].map(() => fc.double({ min: -1, max: 1, noNaN: true }))),
      size: fc.constantFrom(1e-4, 1e-3, 1e-2, 0.1),
    });
    let tried = 0;
    fc.assert(
      fc.property(bump, ({ at: place, wide, by, size }) => {
        const other = axis.slice();
        for (let m = -wide; m <= wide; m++) {
          const i = (place + m + count) % count;
          if (field.cone[i] === 0 || (!closed && i !== place + m)) continue;
          const height = size * (1 - Math.abs(m) / (wide + 1));
          const moved = unit(plus(at(axis, i), height, by as unknown as Vector));
          if (between(moved, at(field.nominal, i)) < field.cone[i]) other.set(moved, 3 * i);
        }
        tried++;
        // The barrier stops about 1e-6 of the nominal cost above the least.
        expect(cost(other)).toBeGreaterThan(least - 2e-6 * cost(field.nominal));
      }),
      { seed: SEED, numRuns: 1000 },
    );
    expect(tried).toBe(1000);
  });

  test('turning the part turns the axes; driving the seam the other way leaves them', async () => {
    const axis = await relaxAxis(field, task);
    const [c, s] = [Math.cos(0.7), Math.sin(0.7)];
    const turn = ([x, y, z]: Vector): Vector => [c * x - s * z, y, s * x + c * z];
    const turned = await relaxAxis(
      {
        ...field,
        nominal: Float64Array.from(Array.from({ length: count }, (_, i) => turn(at(field.nominal, i))).flat()),
      },
      task,
    );
    const order = Array.from({ length: count }, (_, i) => count - 1 - i);
    const back = await relaxAxis(
      {
        closed,
        nominal: Float64Array.from(order.flatMap((i) => at(field.nominal, i))),
        cone: Float64Array.from(order, (i) => field.cone[i]),
        gap: Float64Array.from(order, (i) => field.gap[(i + count - 1) % count]),
      },
      task,
    );
    for (let i = 0; i < count; i++) {
      // Newton ends within 0.1 standard widths of the barrier's valley, some 1e-6 rad where nothing else holds an axis.
      expect(between(at(turned, i), turn(at(axis, i)))).toBeLessThan(1e-5);
      expect(between(at(back, count - 1 - i), at(axis, i))).toBeLessThan(1e-5);
    }
  });
});

test('nothing to gain, nothing known or nothing allowed: the nominal axes, bit for bit', async () => {
  const still = saddle(true, () => 0.1);
  still.nominal.forEach((_, k) => {
    still.nominal[k] = k % 3 === 2 ? -1 : 0;
  });
  expect(await relaxAxis(still, task)).toEqual(still.nominal);
  const shut = saddle(true, () => 0);
  expect(await relaxAxis(shut, task)).toEqual(shut.nominal);
  const unknown = saddle(false, () => 0.1);
  unknown.nominal[30] = Number.NaN;
  expect(await relaxAxis(unknown, task)).toEqual(unknown.nominal);
});

test("cost of a turn: half of |a'|^2 + reach^2 |a''|^2 over arc length", () => {
  // Axes that turn evenly by k rad a mm round a circle: |a'| = k, |a''| = k^2, on 400 chords short by (k h)^2 / 12, 2e-5.
  const [count, radius, reach] = [400, 30, 4];
  const gap = new Float64Array(count).fill((2 * Math.PI * radius) / count);
  const axis = Float64Array.from({ length: 3 * count }, (_, k) => {
    const angle = (2 * Math.PI * Math.floor(k / 3)) / count;
    return [Math.cos(angle), Math.sin(angle), 0][k % 3];
  });
  const cost = bendingForce(axisStiffness(gap, true, reach), axis, new Float64Array(3 * count));
  const exact = Math.PI * radius * (1 / radius ** 2 + reach ** 2 / radius ** 4);
  expect(Math.abs(cost / exact - 1)).toBeLessThan(1e-4);
});
