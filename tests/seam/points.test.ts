// Digitised seams: what a CSV file may hold, and the line that measured points give on the joint face.
import { describe, expect, test } from 'vitest';
import type { SceneBody } from '../../src/geometry/scene.ts';
import { type PointList, readPointList } from '../../src/model/point-list.ts';
import type { Seam } from '../../src/model/seam.ts';
import { rawBox, rawTube, seeded } from '../intake/support.ts';
import { moved, rawLog, rawPrism } from './contact-bodies.ts';
import { bodyOf, draw, sampleSeam, sceneOf } from './support.ts';

const select = (more: object = {}) =>
  ({
    kind: 'points',
    file: 'touched.csv',
    body: 'tub',
    closed: null,
    smooth: 0,
    reach: 2,
    faceNear: null,
    ...more,
  }) as const;

const csv = (points: readonly (readonly number[])[], head = 'x_mm,y_mm,z_mm'): string =>
  [head, ...points.map((p) => p.join(','))].join('\r\n');

const list = (points: readonly (readonly number[])[]): PointList => readPointList(csv(points), 'touched.csv');

async function ringScene(): Promise<SceneBody[]> {
  return sceneOf([await bodyOf({ ...rawTube(30, 20, 15, 128), name: 'tub' })], ['absorbing']);
}

const circle = (radius: number, n: number, z = 15, from = 0): number[][] =>
  Array.from({ length: n }, (_, i) => {
    const u = from + (2 * Math.PI * i) / n;
    return [radius * Math.cos(u), radius * Math.sin(u), z];
  });

const offCircle = (seam: Seam, radius: number, z: number): number =>
  Math.max(...sampleSeam(seam, 300).map(({ p }) => Math.hypot(Math.hypot(p[0], p[1]) - radius, p[2] - z)));

describe('the file', () => {
  test('columns in any order, others passed over, comments, empty lines, both line ends, a mark at the front', () => {
    const text = '\ufeff# probe 3\r\n\r\nname;z_mm;x_mm;y_mm\na;3;1;2\r\n\nb; 6 ;4e0;+5.0\n';
    const { position, line } = readPointList(text, 'touched.csv');
    expect([...position]).toEqual([1, 2, 3, 4, 5, 6]);
    expect([...line]).toEqual([4, 6]);
  });

  test('s_mm puts the points in order', () => {
    const rows = circle(25, 12).map((p, i) => [...p, i]);
    const shuffled = [5, 2, 9, 0, 11, 7, 4, 1, 10, 3, 8, 6].map((i) => rows[i]);
    const read = readPointList(csv(shuffled, 'x_mm,y_mm,z_mm,s_mm'), 'touched.csv');
    expect(read.position).toEqual(list(circle(25, 12)).position);
  });

  test.each([
    ['nothing', '', 'points-columns', 'touched.csv'],
    ['no columns', '1,2,3\n4,5,6', 'points-columns', 'touched.csv'],
    ['a column missing', 'x_mm,y_mm\n1,2', 'points-columns', 'touched.csv'],
    ['a column twice', 'x_mm,y_mm,z_mm,x_mm\n1,2,3,4', 'points-columns', 'touched.csv'],
    ['no number', 'x_mm,y_mm,z_mm\n1,2,3\n1,NaN,3', 'points-value', 'touched.csv:3'],
    ['infinite', 'x_mm,y_mm,z_mm\n1,1e999,3\n1,2,3', 'points-value', 'touched.csv:2'],
    ['a decimal comma', 'x_mm;y_mm;z_mm\n1,5;2,5;3,5\n1;2;3', 'points-value', 'touched.csv:2'],
    ['a cell missing', 'x_mm,y_mm,z_mm\n1,2,3\n\n1,2', 'points-value', 'touched.csv:4'],
    ['hexadecimal', 'x_mm,y_mm,z_mm\n1,0x10,3\n1,2,3', 'points-value', 'touched.csv:2'],
    ['a broken order', 'x_mm,y_mm,z_mm,s_mm\n1,2,3,0\n1,2,3,', 'points-value', 'touched.csv:3'],
    ['an open quotation', 'x_mm,y_mm,z_mm\n"1,2,3\n4,5,6', 'points-value', /^touched\.csv:/],
    ['one point', 'x_mm,y_mm,z_mm\n1,2,3', 'points-few', 'touched.csv'],
    ['no point', 'x_mm,y_mm,z_mm\n', 'points-few', 'touched.csv'],
  ])('%s is an error', (_name, text, code, place) => {
    const at = typeof place === 'string' ? place : expect.stringMatching(place);
    expect(() => readPointList(text, 'touched.csv')).toThrow(
      expect.objectContaining({ name: 'InputError', code, place: at }),
    );
  });
});

describe('the line', () => {
  test('through exact points of a circle: closed by itself, on the face, as long as it is', async () => {
    // Held 0.3 mm above the face, as a probe's ball is: the points are laid onto it.
    const points = list(circle(25, 90, 15.3));
    const seam = await draw(await ringScene(), { select: select(), points });
    expect(seam.curve.closed).toBe(true);
    expect(seam.faceChoice).toBe('points');
    expect(offCircle(seam, 25, 15)).toBeLessThan(1e-4);
    expect(seam.curve.length).toBeCloseTo(50 * Math.PI, 3);
    expect(seam.fit.points).toBe(90);
    expect(seam.fit.largest).toBeLessThan(1e-4);
  });

  test('the first point again at the end, and points twice, change nothing', async () => {
    const scene = await ringScene();
    const points = circle(25, 90);
    const once = await draw(scene, { select: select(), points: list(points) });
    const twice = await draw(scene, {
      select: select(),
      points: list([...points.slice(0, 7), points[6], points[6], ...points.slice(7), points[0]]),
    });
    expect(twice.curve.length).toBeCloseTo(once.curve.length, 9);
  });

  test('an arc is open, and closed on demand', async () => {
    const scene = await ringScene();
    const points = list(circle(25, 90).slice(0, 46));
    const seam = await draw(scene, { select: select(), points });
    expect(seam.curve.closed).toBe(false);
    expect(seam.curve.length).toBeCloseTo(25 * Math.PI, 3);
    const whole = list(circle(25, 90).slice(0, 80));
    expect((await draw(scene, { select: select({ closed: true }), points: whole })).curve.closed).toBe(true);
    expect((await draw(scene, { select: select({ closed: false }), points: list(circle(25, 90)) })).curve.closed).toBe(
      false,
    );
  });

  test('noise is smoothed to what is stated: closer to the truth than the points are (seed 11)', async () => {
    const random = seeded(11);
    // Sum of twelve even numbers: normal to good accuracy (central limit), deviation 0.03 in each direction.
    const normal = (): number => Array.from({ length: 12 }, random).reduce((sum, x) => sum + x, -6) * 0.03;
    const noisy = circle(25, 400, 15).map(([x, y, z]) => [x + normal(), y + normal(), z + normal()]);
    // In the face two directions are left: 0.03 sqrt(2).
    const smooth = 0.03 * Math.SQRT2;
    const seam = await draw(await ringScene(), { select: select({ smooth }), points: list(noisy) });
    const off = offCircle(seam, 25, 15);
    const worst = Math.max(...noisy.map(([x, y]) => Math.abs(Math.hypot(x, y) - 25)));
    expect(off).toBeLessThan(0.45 * worst);
    expect(seam.fit.rms).toBeGreaterThan(0.02);
    expect(seam.fit.rms).toBeLessThan(smooth);
    const through = await draw(await ringScene(), { select: select({ smooth: 0.005 }), points: list(noisy) });
    expect(offCircle(through, 25, 15)).toBeGreaterThan(1.5 * off);
  });

  test('a straight line stays one under any smoothing', async () => {
    const scene = sceneOf([await bodyOf({ ...rawBox(60, 20, 5), name: 'tub' })], ['absorbing']);
    const points = list(Array.from({ length: 20 }, (_, i) => [5 + 2.5 * i, 10, 5]));
    const seam = await draw(scene, { select: select({ smooth: 5 }), points });
    for (const { p } of sampleSeam(seam, 30))
      expect([p[1], p[2]]).toEqual([expect.closeTo(10, 6), expect.closeTo(5, 9)]);
    expect(seam.curve.length).toBeCloseTo(47.5, 6);
  });

  test('over several faces that go on smoothly: every stretch on its own face', async () => {
    // A plane that bends down over a cylinder of radius 20 about (y, z) = (10, -20).
    const bend = Array.from({ length: 31 }, (_, i): [number, number] => {
      const a = (i / 30) * (Math.PI / 3);
      return [10 + 20 * Math.sin(a), -20 + 20 * Math.cos(a)];
    });
    const body = await bodyOf(
      rawPrism(
        'tub',
        40,
        [
          [
            [0, 0],
            [10, 0],
          ],
          bend,
        ],
        -40,
      ),
    );
    const scene = sceneOf([body], ['absorbing']);
    const at = (way: number): number[] => {
      const a = Math.max(0, way - 10) / 20;
      return [20 + 0.2 * way, Math.min(way, 10) + 20 * Math.sin(a), -20 + 20 * Math.cos(a)];
    };
    const points = list(Array.from({ length: 57 }, (_, i) => at(1 + 0.5 * i)));
    const seam = await draw(scene, { select: select(), points });
    expect(seam.faces.map(({ ref }) => ref.face)).toEqual([0, 1]);
    // The way in the unrolled face: 28 along y, 5.6 along x. It passes to the bend after 9 of the 28.
    expect(seam.curve.length).toBeCloseTo(Math.hypot(28, 5.6), 3);
    expect(seam.faces[1].from).toBeCloseTo((Math.hypot(28, 5.6) * 9) / 28, 2);
    for (const { p } of sampleSeam(seam, 60)) {
      const height = p[1] > 10 ? Math.hypot(p[1] - 10, p[2] + 20) - 20 : p[2];
      // The spline knows nothing of the jump of curvature, 1/20, inside a step of up to 1 mm: a part of h^2 k / 8 = 6 um.
      expect(Math.abs(height)).toBeLessThan(1e-3);
    }
  });

  test('on a curved face the points lie on the surface, not on chords between them', async () => {
    const scene = sceneOf([await bodyOf({ ...rawLog(40, 60, 128), name: 'tub' })], ['absorbing']);
    const points = list(
      Array.from({ length: 40 }, (_, i) => {
        const u = (2 * Math.PI * i) / 40;
        return [15 * Math.cos(u), 15 * Math.sin(u), Math.sqrt(1600 - (15 * Math.sin(u)) ** 2)];
      }),
    );
    const seam = await draw(scene, { select: select(), points });
    for (const { p } of sampleSeam(seam, 100)) expect(Math.hypot(p[1], p[2])).toBeCloseTo(40, 4);
  });
});

describe('hostile points', () => {
  test.each([
    ['off the part', circle(25, 40).map((p, i) => (i === 17 ? [p[0], p[1], 40] : p)), 'points-off', 'touched.csv:19'],
    ['in another frame', circle(25, 40, 315), 'points-off', 'touched.csv:2'],
    [
      'in disorder',
      circle(25, 40).map((p, i, all) => (i === 8 ? all[14] : i === 14 ? all[8] : p)),
      'points-disorder',
      /^touched\.csv:\d+$/,
    ],
    ['all the same', circle(25, 40).map(() => [25, 0, 15]), 'points-few', 'touched.csv'],
    ['three only', circle(25, 40).slice(0, 3), 'points-few', 'touched.csv'],
  ])('%s', async (_name, points, code, place) => {
    const at = typeof place === 'string' ? place : expect.stringMatching(place);
    await expect(draw(await ringScene(), { select: select(), points: list(points) })).rejects.toMatchObject({
      name: 'InputError',
      code,
      place: at,
    });
  });

  test('points along a border are laid onto the face that most of them are closest to', async () => {
    const scene = await ringScene();
    // Within 0.2 mm of the outer border, now on the top, now on the wall.
    const points = circle(25, 60).map(([x, y], i) => {
      const r = i % 5 === 0 ? 30.05 : 29.9;
      return [(x / 25) * r, (y / 25) * r, i % 5 === 0 ? 14.8 : 15];
    });
    const seam = await draw(scene, { select: select({ smooth: 0.1 }), points: list(points) });
    expect(seam.faces.map(({ ref }) => ref.face)).toEqual([1]);
    const given = await draw(scene, { select: select({ smooth: 0.1, faceNear: [30, 0, 10] }), points: list(points) });
    expect(given.faces.map(({ ref }) => ref.face)).toEqual([0]);
    expect(given.faceChoice).toBe('given');
    await expect(
      draw(scene, { select: select({ faceNear: [99, 0, 10] }), points: list(points) }),
    ).rejects.toMatchObject({ code: 'selection-empty' });
  });

  test('a body that does not absorb', async () => {
    const lid = sceneOf([await bodyOf(moved(rawBox(60, 60, 15), 'tub', -30, -30, 0))], ['transmissive']);
    await expect(draw(lid, { select: select(), points: list(circle(25, 40)) })).rejects.toMatchObject({
      code: 'body-role',
    });
  });
});
