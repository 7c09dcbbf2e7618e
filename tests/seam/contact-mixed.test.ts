// Contacts whose border goes from one body's edges to the other's, coarse meshes, and whatever chance puts together.
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { InputError } from '../../src/model/input-error.ts';
import type { RawBody } from '../../src/model/raw-import.ts';
import { rawBox, rawTube } from '../intake/support.ts';
import { moved, rawTorus } from './contact-bodies.ts';
import { bodyOf, draw, sampleSeam, sceneOf } from './support.ts';

const select = (tolerance = 0.1) => ({ kind: 'contact', bodies: ['lid', 'tub'], tolerance, near: null }) as const;

const pair = async (tub: RawBody, lid: RawBody) =>
  sceneOf(
    [await bodyOf({ ...lid, name: 'lid' }), await bodyOf({ ...tub, name: 'tub' })],
    ['transmissive', 'absorbing'],
  );

test.each([0.3, 0.8, 1.2])('a ring set off by %d mm on its like: borders of both in turn', async (aside) => {
  const tub = moved(rawTube(20, 15, 10, 128), 'tub', 0, 0, -10);
  const lid = moved(rawTube(20, 15, 3, 128), 'lid', aside, 0, 0);
  const seam = await draw(await pair(tub, lid), { select: select() });
  expect(new Set(seam.edgeIds.map((id) => id.split(':')[0]))).toEqual(new Set(['tub', 'lid']));
  // The outer border is the nearer of both outer circles, the inner one the farther of both inner circles; equal distances.
  let worst = 0;
  for (const { p } of sampleSeam(seam, 200)) {
    const [a, b] = [Math.hypot(p[0], p[1]), Math.hypot(p[0] - aside, p[1])];
    // Where two circles cross the nearest border is their crossing.
    const outer = Math.min(20 - a, 20 - b);
    const inner = Math.min(a - 15, b - 15);
    if (Math.abs(p[0] - aside / 2) < 0.5) continue;
    worst = Math.max(worst, Math.abs(outer - inner) / 2);
  }
  expect(worst).toBeLessThan(1e-3);
});

test('a mesh of few facets: borders are as exact as their edges, not as their facets', async () => {
  // 24 segments: a chord's middle lies 0.17 mm inside the circle, more than the tolerance of the contact.
  const tub = moved(rawTube(20, 12, 10, 24), 'tub', 0, 0, -10);
  const lid = moved(rawTube(25, 15, 3, 36), 'lid', 0, 0, 0);
  const seam = await draw(await pair(tub, lid), { select: select(0.05) });
  for (const { p } of sampleSeam(seam, 200)) expect(Math.hypot(p[0], p[1])).toBeCloseTo(17.5, 5);
});

test('facets of half a metre, askew: a few large facets are split where the other body is, not all over', async () => {
  const askew = (raw: RawBody): RawBody => {
    const position = raw.position.slice();
    for (let i = 0; i < position.length; i += 3) {
      const [x, y, z] = position.subarray(i, i + 3);
      const [u, v] = [0.6 * x - 0.8 * z, 0.8 * x + 0.6 * z];
      position.set([u, 0.6 * y - 0.8 * v, 0.8 * y + 0.6 * v], i);
    }
    return { ...raw, position };
  };
  const tub = askew(moved(rawBox(500, 500, 5), 'tub', -250, -250, -5));
  const lid = askew(moved(rawTube(40, 37, 3, 128), 'lid', 150, 0, 0));
  const seam = await draw(await pair(tub, lid), { select: select() });
  expect(seam.curve.length).toBeCloseTo(77 * Math.PI, 4);
});

test('bodies set down by chance give a seam or a clean error (fast-check, seed 31)', async () => {
  const size = fc.double({ min: 1, max: 25, noNaN: true });
  const shift = fc.double({ min: -12, max: 12, noNaN: true });
  const gap = fc.constantFrom(0, 0, 0.04, -0.04, 0.09, 0.2);
  const body = fc.oneof(
    fc.tuple(size, size, size).map(([x, y, z]) => moved(rawBox(x, y, z), 'b', -x / 2, -y / 2, 0)),
    fc.tuple(size, size, fc.integer({ min: 5, max: 60 })).map(([r, h, n]) => rawTube(r, 0.7 * r, h, n)),
    fc.tuple(size, fc.integer({ min: 12, max: 48 })).map(([r, n]) => {
      return moved(rawTorus(r, 0.3 * r, n, 16), 'b', 0, 0, 0.3 * r);
    }),
  );
  let drawn = 0;
  await fc.assert(
    fc.asyncProperty(body, body, shift, shift, gap, async (tub, lid, x, y, z) => {
      const height = Math.max(...tub.position.filter((_, i) => i % 3 === 2));
      const scene = await pair(tub, moved(lid, 'lid', x, y, height + z));
      try {
        const seam = await draw(scene, { select: select() });
        expect(seam.curve.length).toBeGreaterThan(0);
        for (const { p } of sampleSeam(seam, 10)) expect(p.every(Number.isFinite)).toBe(true);
        drawn++;
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
      }
    }),
    { seed: 31, numRuns: 120 },
  );
  expect(drawn).toBeGreaterThan(20);
});
