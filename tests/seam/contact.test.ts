// Centre lines of contacts against closed forms: borders of the joint's own body, of the other one, and where the gap
// reaches the tolerance.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { closestPoint } from '../../src/geometry/closest-point.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Point } from '../../src/model/job.ts';
import type { RawBody } from '../../src/model/raw-import.ts';
import type { Seam } from '../../src/model/seam.ts';
import { rawBox, rawTube } from '../intake/support.ts';
import { moved, rawLog, rawSaddleTube, rawTorus, together } from './contact-bodies.ts';
import { bodyOf, draw, norm, sampleScene, sampleSeam, sceneOf } from './support.ts';

const contact = (tolerance = 0.1, near: Point | null = null, bodies: readonly [string, string] = ['lid', 'tub']) =>
  ({ kind: 'contact', bodies, tolerance, near }) as const;

async function pair(tub: RawBody, lid: RawBody): Promise<SceneBody[]> {
  return sceneOf([await bodyOf(lid), await bodyOf({ ...tub, name: 'tub' })], ['transmissive', 'absorbing']);
}

/** Largest distance of a seam from the circle of a radius about z at a height. */
function offCircle(seam: Seam, radius: number, z: number): number {
  return Math.max(...sampleSeam(seam, 400).map(({ p }) => Math.hypot(Math.hypot(p[0], p[1]) - radius, p[2] - z)));
}

// Source: distances in a plane, on a sphere and on a torus are those of their closed forms (do Carmo 1976, sec. 4-4).
describe('closed contacts', () => {
  const plate = moved(rawBox(60, 60, 4), 'tub', -30, -30, -4);

  test("a narrow ring on a plate: both borders are the lid's", async () => {
    const scene = await pair(plate, moved(rawTube(15, 12, 5, 96), 'lid', 0, 0, 0));
    const seam = await draw(scene, { select: contact() });
    expect(seam.curve.closed).toBe(true);
    expect(seam.faceChoice).toBe('contact');
    expect(seam.edgeIds.every((id) => id.startsWith('lid'))).toBe(true);
    expect(offCircle(seam, 13.5, 0)).toBeLessThan(1e-5);
    expect(seam.curve.length).toBeCloseTo(27 * Math.PI, 5);
    expect(seam.faces).toEqual([{ from: 0, ref: { part: 1, face: 1 } }]);
  });

  test("a stepped joint: the outer border is the tub's, the inner one the lid's", async () => {
    const scene = await pair(
      moved(rawTube(20, 15, 10, 128), 'tub', 0, 0, -10),
      moved(rawTube(25, 17, 3, 128), 'lid', 0, 0, 0),
    );
    const seam = await draw(scene, { select: contact() });
    expect(seam.edgeIds.map((id) => id.split(':')[0]).sort()).toEqual(['lid', 'tub']);
    expect(offCircle(seam, 18.5, 0)).toBeLessThan(1e-5);
  });

  test('flush walls: the border of both bodies is one', async () => {
    const scene = await pair(
      moved(rawTube(20, 15, 10, 128), 'tub', 0, 0, -10),
      moved(rawTube(20, 15, 3, 128), 'lid', 0, 0, 0),
    );
    expect(offCircle(await draw(scene, { select: contact() }), 17.5, 0)).toBeLessThan(1e-5);
  });

  test('a lid that floats within the tolerance, and one that does not', async () => {
    const floating = (gap: number) => pair(plate, moved(rawTube(15, 12, 5, 96), 'lid', 0, 0, gap));
    expect(offCircle(await draw(await floating(0.08), { select: contact(0.1) }), 13.5, 0)).toBeLessThan(1e-5);
    expect(offCircle(await draw(await floating(-0.08), { select: contact(0.1) }), 13.5, 0)).toBeLessThan(1e-5);
    await expect(floating(0.12).then((scene) => draw(scene, { select: contact(0.1) }))).rejects.toMatchObject({
      name: 'InputError',
      code: 'contact-none',
      hint: expect.stringContaining('0.12 mm'),
    });
  });

  test('a crowned lid: both borders lie where the gap reaches the tolerance', async () => {
    // The torus stands 20 above the plate and touches it along the circle of radius 18: the strip is symmetric about it.
    const scene = await pair(plate, moved(rawTorus(18, 6, 128, 48), 'lid', 0, 0, 6));
    const seam = await draw(scene, { select: contact(0.05) });
    expect(seam.edgeIds).toEqual([]);
    expect(offCircle(seam, 18, 0)).toBeLessThan(1e-4);
  });

  test('a crowned rib under a plate: the joint is the torus', async () => {
    const scene = await pair(
      moved(rawTorus(18, 6, 128, 48), 'tub', 0, 0, -6),
      moved(rawBox(60, 60, 3), 'lid', -30, -30, 0),
    );
    const seam = await draw(scene, { select: contact(0.05) });
    expect(offCircle(seam, 18, 0)).toBeLessThan(1e-3);
  });

  test('a tube on a lying cylinder: equally far from both crossings, in the unrolled cylinder', async () => {
    const scene = await pair(rawLog(40, 60, 256), rawSaddleTube(16, 20, 40, 192, 4));
    const seam = await draw(scene, { select: contact(0.05) });
    // Source: a cylinder unrolls into a plane without change of length (do Carmo 1976, sec. 4-2).
    const unrolled = (r: number, u: number) => [r * Math.cos(u), 40 * Math.asin((r * Math.sin(u)) / 40)];
    const distance = (x: number, y: number, r: number): number => {
      let [low, high] = [Math.atan2(y, x) - 0.2, Math.atan2(y, x) + 0.2];
      const at = (u: number): number => Math.hypot(unrolled(r, u)[0] - x, unrolled(r, u)[1] - y);
      for (let i = 0; i < 80; i++) {
        const [a, b] = [low + 0.382 * (high - low), low + 0.618 * (high - low)];
        if (at(a) < at(b)) high = b;
        else low = a;
      }
      return at((low + high) / 2);
    };
    let worst = 0;
    for (const { p } of sampleSeam(seam, 100)) {
      expect(Math.hypot(p[1], p[2])).toBeCloseTo(40, 5);
      const y = 40 * Math.atan2(p[1], p[2]);
      worst = Math.max(worst, Math.abs(distance(p[0], y, 16) - distance(p[0], y, 20)) / 2);
    }
    // Figure to reach: 5 um.
    expect(worst).toBeLessThan(5e-3);
    expect(worst).toBeLessThan(1e-3);
  });

  test('dome pair: the circle of latitude 40 degrees', async () => {
    const scene = await sampleScene('dome-pair', { lid: 'transmissive', dome: 'absorbing' });
    const seam = await draw(scene, { select: contact(0.1, null, ['dome', 'lid']) });
    const polar = (40 * Math.PI) / 180;
    expect(offCircle(seam, 60 * Math.sin(polar), 60 * Math.cos(polar))).toBeLessThan(1e-4);
  });
});

describe('open contacts', () => {
  test('a strip across a bar ends at the borders of the bar', async () => {
    const bar = moved(rawBox(30, 10, 8), 'tub', 0, 0, -8);
    const strip = moved(rawBox(4, 30, 2), 'lid', 12, -10, 0);
    const seam = await draw(await pair(bar, strip), { select: contact() });
    expect(seam.curve.closed).toBe(false);
    expect(seam.curve.length).toBeCloseTo(10, 6);
    for (const { p } of sampleSeam(seam, 20))
      expect([p[0], p[2]]).toEqual([expect.closeTo(14, 6), expect.closeTo(0, 9)]);
  });
});

describe('hostile contacts', () => {
  const plate = moved(rawBox(60, 60, 4), 'tub', -30, -30, -4);
  const ring = moved(rawTube(9, 6, 5, 96), 'lid', 0, 0, 0);

  test('specks beside the contact are passed over', async () => {
    const speck = (x: number) => moved(rawBox(0.7, 0.7, 1), 'lid', x, 20, 0);
    const scene = await pair(plate, together('lid', [ring, speck(-5), speck(0), speck(5)]));
    const seam = await draw(scene, { select: contact() });
    expect(offCircle(seam, 7.5, 0)).toBeLessThan(1e-5);
    const specks = await pair(plate, together('lid', [speck(-5), speck(0)]));
    await expect(draw(specks, { select: contact() })).rejects.toMatchObject({
      code: 'contact-none',
      sentence: expect.stringContaining('specks'),
    });
  });

  test('two contacts need a point, which takes one of them', async () => {
    const scene = await pair(plate, together('lid', [moved(ring, 'a', -15, 0, 0), moved(ring, 'b', 15, 0, 0)]));
    await expect(draw(scene, { select: contact() })).rejects.toMatchObject({ code: 'contact-several' });
    await expect(draw(scene, { select: contact(0.1, [0, 25, 0]) })).rejects.toMatchObject({ code: 'contact-several' });
    const seam = await draw(scene, { select: contact(0.1, [22.5, 0, 0]) });
    const x = sampleSeam(seam, 100).reduce((sum, { p }) => sum + p[0] / 100, 0);
    expect(x).toBeCloseTo(15, 3);
  });

  test.each([
    ['a full disc has no centre line', rawTube(20, 0.01, 5, 96), 'contact-unclear'],
    ['a plate on a plate in the middle', moved(rawBox(30, 20, 5), 'lid', -15, -10, 0), null],
  ])('%s', async (_name, lid, code) => {
    const drawn = pair(plate, moved(lid, 'lid', 0, 0, 0)).then((scene) => draw(scene, { select: contact() }));
    if (code !== null) await expect(drawn).rejects.toMatchObject({ name: 'InputError', code });
    else expect((await drawn).curve.length).toBeCloseTo(30, 6);
  });

  test.each([
    ['an unknown body', ['lid', 'tray'], 'body-unknown'],
    ['one body twice', ['tub', 'tub'], 'body-role'],
    ['no absorbing body', ['lid', 'lid'], 'body-role'],
  ] as const)('%s is an error', async (_name, bodies, code) => {
    const scene = await pair(plate, ring);
    await expect(draw(scene, { select: contact(0.1, null, bodies) })).rejects.toMatchObject({
      code,
      place: 'seam rim',
    });
  });
});

test('moving both bodies moves the seam and changes no scalar (fast-check, seed 6)', async () => {
  const tub = await bodyOf({ ...rawTube(20, 15, 10, 96), name: 'tub' });
  const lid = await bodyOf(moved(rawTube(25, 17, 3, 96), 'lid', 0, 0, 10));
  const still = await draw(sceneOf([lid, tub], ['transmissive', 'absorbing']), { select: contact() });
  const angle = fc.double({ min: -3, max: 3, noNaN: true });
  const shift = fc.double({ min: -200, max: 200, noNaN: true });
  await fc.assert(
    fc.asyncProperty(angle, angle, shift, async (a, b, d) => {
      const move = (p: ArrayLike<number>): number[] => {
        const [x, y] = [Math.cos(a) * p[0] - Math.sin(a) * p[1], Math.sin(a) * p[0] + Math.cos(a) * p[1]];
        return [x + d, Math.cos(b) * y - Math.sin(b) * p[2] - d, Math.sin(b) * y + Math.cos(b) * p[2]];
      };
      const both = [lid, tub].map((body) => {
        const position = new Float64Array(body.position.length);
        for (let i = 0; i < position.length; i += 3) position.set(move(body.position.subarray(i, i + 3)), i);
        return { ...body, position };
      });
      const seam = await draw(sceneOf(both, ['transmissive', 'absorbing']), { select: contact() });
      expect(seam.curve.length).toBeCloseTo(still.curve.length, 6);
      for (const { p } of sampleSeam(still, 40)) {
        const [x, y, z] = move(p);
        expect(closestPoint(seam.curve, x, y, z).distance).toBeLessThan(1e-6);
      }
      expect(norm(sampleSeam(seam, 7)[3].k)).toBeCloseTo(norm(sampleSeam(still, 7)[3].k), 5);
    }),
    { seed: 6, numRuns: 6 },
  );
});
