// Poses of the head: signs of lead and tilt, tool frames that turn no more than they must, and what no motion of part, start
// or direction may change.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { toMatrix } from '../../src/geometry/quaternion.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { Path } from '../../src/model/path.ts';
import { dotOf, inScene, lengthOf, plus, shell, unit, type Vector, valley } from './analytic-bodies.ts';
import {
  aim,
  aimJob,
  at,
  circleOnSphere,
  DEG,
  head,
  pathOf,
  plate,
  reversed,
  saddleRim,
  straight,
} from './known-paths.ts';

const materials = new Map([['lid', plate('lid', 1.565, { value: 0.8, thickness: 2 })]]);
const job = aimJob({ materials });
const column = (aimed: Aim, i: number, c: 0 | 1 | 2): Vector => {
  const rows = new Float64Array(9);
  toMatrix(aimed.frame, 4 * i, rows, 0);
  return [rows[c], rows[3 + c], rows[6 + c]];
};
const angle = (a: Vector, b: Vector) => Math.atan2(lengthOf(plus(a, -dotOf(a, b), b)), dotOf(a, b));

test('lead > 0: the head leans forward, its light points backward; tilt > 0: the head leans towards b', async () => {
  const led = await aim(straight(3), head({ lead: 0.2 }), [], job);
  expect(at(led.axis, 1)).toEqual([
    expect.closeTo(-Math.sin(0.2), 12),
    expect.closeTo(0, 12),
    expect.closeTo(-Math.cos(0.2), 12),
  ]);
  expect(at(led.head, 1)[0]).toBeCloseTo(0.5 + 150 * Math.sin(0.2), 9);
  // b = n x t = z x x = y.
  const tilted = await aim(straight(3), head({ tilt: 0.2 }), [], job);
  expect(at(tilted.axis, 1)).toEqual([
    expect.closeTo(0, 12),
    expect.closeTo(-Math.sin(0.2), 12),
    expect.closeTo(-Math.cos(0.2), 12),
  ]);
  expect(at(tilted.head, 1)[1]).toBeCloseTo(150 * Math.sin(0.2), 9);
});

test('a fixed direction is the one in which the light travels', async () => {
  const axis = unit([0.2, -0.1, -1]) as [number, number, number];
  const result = await aim(saddleRim(40, 'flange'), head({ axis }), [], job);
  for (let i = 0; i < 40; i++) expect(angle(at(result.axis, i), axis)).toBeLessThan(1e-12);
});

test('a beam that wavers between the two sides of a faint valley is taken on one of them', async () => {
  // Along the entry normal of either side the light from x = 0 enters the other one: no ray is consistent with its face.
  const slope = 0.01;
  const lid = inScene(0, 'transmissive', valley(2, slope), 'lid');
  const aimed = await aim(straight(3), head({ axis: 'entry-normal' }), [lid], job);
  const i = straight(3).position.indexOf(0) / 3;
  expect(aimed.layer[i]).toBeCloseTo(2, 2);
  expect(Math.abs(at(aimed.axis, i)[0])).toBeCloseTo(slope, 3);
});

describe('tool frames', () => {
  test('z along the beam, x near travel at the start, right-handed; a turn turns all of them', async () => {
    const path = circleOnSphere([0, 0, 0], 40, 70 * DEG, 200);
    const plain = await aim(path, head({ lead: 0.1 }), [], job);
    const turned = await aim(path, head({ lead: 0.1, turn: 50 * DEG }), [], job);
    const free = await aim(path, head({ lead: 0.1, turn: 'free' }), [], job);
    expect(Array.from(free.frame)).toEqual(Array.from(plain.frame));
    const t = at(path.tangent, 0);
    const a = at(plain.axis, 0);
    expect(angle(column(plain, 0, 0), unit(plus(t, -dotOf(t, a), a)))).toBeLessThan(1e-9);
    for (let i = 0; i < path.count; i++) {
      expect(angle(column(plain, i, 2), at(plain.axis, i))).toBeLessThan(1e-9);
      const x = column(turned, i, 0);
      expect(dotOf(x, column(plain, i, 0))).toBeCloseTo(Math.cos(50 * DEG), 9);
      expect(dotOf(x, column(plain, i, 1))).toBeCloseTo(Math.sin(50 * DEG), 9);
    }
  });

  test('round a flat rim the frame does not turn', async () => {
    const flat = circleOnSphere([0, 0, 0], 40, 90 * DEG, 100);
    const path: Path = { ...flat, normal: flat.normal.map((_, k) => (k % 3 === 2 ? 1 : 0)) };
    const result = await aim(path, head(), [], job);
    for (let i = 0; i < 100; i++) expect(angle(column(result, i, 0), column(result, 0, 0))).toBeLessThan(1e-12);
    expect(Math.max(...result.turnD1.map(Math.abs))).toBeLessThan(1e-12);
  });

  // Gauss-Bonnet: x carried round a cone of axes of half-angle q comes back turned by 2 pi (1 - cos q); spread evenly, the frame
  // turns about the beam by that much a round, less what the carrying itself does (none), and closes.
  test('round a dome the frame closes, and turns about the beam by the solid angle over the length', async () => {
    const path = circleOnSphere([0, 0, 0], 40, 40 * DEG, 400);
    const result = await aim(path, head(), [], job);
    const last = column(result, 399, 0);
    const step = angle(last, column(result, 398, 0));
    expect(angle(last, column(result, 0, 0))).toBeLessThan(step * 1.01);
    const solid = 2 * Math.PI * (1 - Math.cos(40 * DEG));
    for (let i = 0; i < 400; i += 7) {
      const about = dotOf(at(result.turnD1, i), at(result.axis, i));
      // Carried by least turns between 400 axes: 1e-4 of the solid angle.
      expect(Math.abs(Math.abs(about) - solid / path.length)).toBeLessThan((2e-4 * solid) / path.length);
    }
  });

  test('turn rates equal the turns between neighbouring frames', async () => {
    const path = saddleRim(800, 'flange');
    const result = await aim(path, head({ tilt: 0.1, lead: -0.05 }), [], job);
    for (let i = 1; i < 799; i += 13) {
      // (a x b) of each axis between the neighbours, halved, over their distance: second order, 1e-5 of the largest rate.
      const sum = [0, 1, 2].map((c) => {
        const cross = (axis: 0 | 1 | 2) => {
          const [a, b] = [column(result, i - 1, axis), column(result, i + 1, axis)];
          return a[(c + 1) % 3] * b[(c + 2) % 3] - a[(c + 2) % 3] * b[(c + 1) % 3];
        };
        return (cross(0) + cross(1) + cross(2)) / 2;
      });
      const ds = path.s[i + 1] - path.s[i - 1];
      for (let c = 0; c < 3; c++) expect(Math.abs(sum[c] / ds - result.turnD1[3 * i + c])).toBeLessThan(2e-5);
    }
  });

  test('differences stop at a corner', async () => {
    // Two legs of an L, 10 mm each.
    const path = pathOf(
      false,
      20,
      Float64Array.from({ length: 41 }, (_, i) => 0.5 * i),
      (i) =>
        i < 20
          ? { position: [0.5 * i, 0, 0], tangent: [1, 0, 0], normal: [0, 0, 1] }
          : { position: [10, 0.5 * (i - 20), 0], tangent: [0, 1, 0], normal: [0, 0, 1] },
    );
    path.corner[20] = Math.PI / 2;
    const result = await aim(path, head({ lead: 0.2 }), [], job);
    for (let i = 0; i < 41; i++) {
      expect(result.headFactor[i]).toBeCloseTo(1, 9);
      expect(lengthOf(at(result.headD2, i))).toBeLessThan(1e-9);
    }
  });
});

const SCALARS = [
  'headFactor',
  'incidenceEntry',
  'incidenceJoint',
  'layer',
  'gap',
  'rawGap',
  'transmitted',
  'delivered',
  'clipped',
  'spotAlong',
  'spotAcross',
  'focusShift',
] as const;
const dome = (centre: Vector, inner: number) => inScene(0, 'transmissive', shell(centre, inner, 32), 'lid');

/** A rotation by `turn` about the unit axis, then a shift, of points and directions. */
function motion(axis: Vector, turn: number, shift: Vector) {
  const rotate = (v: Vector): Vector => {
    const along = dotOf(axis, v);
    const side: Vector = [
      axis[1] * v[2] - axis[2] * v[1],
      axis[2] * v[0] - axis[0] * v[2],
      axis[0] * v[1] - axis[1] * v[0],
    ];
    const level = plus(v, -along, axis);
    return plus(plus(plus([0, 0, 0], along, axis), Math.cos(turn), level), Math.sin(turn), side);
  };
  return { rotate, move: (v: Vector) => plus(rotate(v), 1, shift) };
}

const settings = fc.record({
  lead: fc.double({ min: -0.25, max: 0.25, noNaN: true }),
  tilt: fc.double({ min: -0.25, max: 0.25, noNaN: true }),
  axis: fc.constantFrom('joint-normal' as const, 'entry-normal' as const),
  inner: fc.constantFrom(30, 29.9, 30.3),
  polar: fc.double({ min: 0.3, max: 1.2, noNaN: true }),
});
const component = fc.double({ min: -1, max: 1, noNaN: true });

describe('properties', () => {
  test('a rigid motion of path and part moves the poses and changes no scalar (seed 471)', async () => {
    await fc.assert(
      fc.asyncProperty(settings, fc.tuple(component, component, component), component, async (set, raw, part) => {
        fc.pre(lengthOf(raw) > 0.1);
        const { rotate, move } = motion(unit(raw), 3 * part, [110 * raw[0], -40 * part, 60 * raw[2]]);
        const path = circleOnSphere([1, 2, 3], 30, set.polar, 24);
        const moved = pathOf(true, path.length, path.s, (i) => ({
          position: move(at(path.position, i)),
          tangent: rotate(at(path.tangent, i)),
          normal: rotate(at(path.normal, i)),
        }));
        const here = await aim(path, head(set), [dome([1, 2, 3], set.inner)], job);
        const there = await aim(moved, head(set), [dome(move([1, 2, 3]), set.inner)], job);
        for (let i = 0; i < path.count; i++) {
          // Coordinates of 200 mm carry 3e-14 mm of rounding; ways settle to 1e-10 rad.
          expect(lengthOf(plus(move(at(here.tcp, i)), -1, at(there.tcp, i)))).toBeLessThan(1e-7);
          expect(angle(rotate(at(here.axis, i)), at(there.axis, i))).toBeLessThan(1e-8);
          expect(angle(rotate(column(here, i, 0)), column(there, i, 0))).toBeLessThan(1e-7);
          for (const name of SCALARS) expect(Math.abs(here[name][i] - there[name][i])).toBeLessThan(1e-6);
        }
      }),
      { seed: 471, numRuns: 25 },
    );
  });

  test('driven the other way with lead and tilt of the other sign, the head stands the same (seed 472)', async () => {
    await fc.assert(
      fc.asyncProperty(settings, async (set) => {
        const path = circleOnSphere([0, 0, 0], 30, set.polar, 24);
        const back = reversed(path);
        const there = await aim(path, head(set), [dome([0, 0, 0], set.inner)], job);
        const again = await aim(
          back,
          head({ ...set, lead: -set.lead, tilt: -set.tilt }),
          [dome([0, 0, 0], set.inner)],
          job,
        );
        for (let i = 0; i < path.count; i++) {
          const j = (path.count - i) % path.count;
          expect(lengthOf(plus(at(there.tcp, i), -1, at(again.tcp, j)))).toBeLessThan(1e-7);
          expect(lengthOf(plus(at(there.headD1, i), 1, at(again.headD1, j)))).toBeLessThan(1e-6);
          for (const name of SCALARS) expect(Math.abs(there[name][i] - again[name][j])).toBeLessThan(1e-6);
        }
      }),
      { seed: 472, numRuns: 25 },
    );
  });

  test('finer spacing converges: the head factor by the fourth power', async () => {
    const exact = await aim(saddleRim(3200, 'radial'), head(), [], job);
    const errors = [200, 400, 800].map(async (count) => {
      const result = await aim(saddleRim(count, 'radial'), head(), [], job);
      let worst = 0;
      for (let i = 0; i < count; i++)
        worst = Math.max(worst, Math.abs(result.headFactor[i] - exact.headFactor[(3200 / count) * i]));
      return worst;
    });
    const [a, b, c] = await Promise.all(errors);
    expect(a / b).toBeGreaterThan(12);
    expect(b / c).toBeGreaterThan(12);
  });
});
