// Which way an offset goes: towards b = n x t of the seam as it is driven at last, whichever way its edges were drawn.
import { beforeAll, expect, test } from 'vitest';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Point } from '../../src/model/job.ts';
import { rawBox } from '../intake/support.ts';
import { bodyOf, draw, sampleScene, sampleSeam, sceneOf } from './support.ts';

let stadium: SceneBody[];
beforeAll(async () => {
  stadium = await sampleScene('stadium', { lid: 'transmissive', tray: 'absorbing' });
});

/** Distance of a place from the two middles of the stadium's half circles and the line between them. */
const radius = (p: readonly number[]): number => Math.hypot(Math.max(Math.abs(p[0]) - 30, 0), p[1]);

// Source: closed form of the rib, borders of 18.5 and 21.5 round the same line. The rib lies to the left of its outer border
// run counter-clockwise, and to the right of its inner one: b looks inward on both.
test.each([
  ['outer border, counter-clockwise', -21.5, false, 1.5, 20],
  ['outer border, reversed: b looks outward', -21.5, true, -1.5, 20],
  ['inner border, drawn clockwise, driven counter-clockwise', -18.5, false, -1.5, 20],
  ['inner border, reversed: b looks outward', -18.5, true, 1.5, 20],
])('%s', async (_name, y, reverse, offset, expected) => {
  const select = { kind: 'edge', body: 'tray', near: [0, y, 8] as Point, follow: 'tangent', faceNear: null } as const;
  const seam = await draw(stadium, { select, offset, reverse });
  const places = sampleSeam(seam, 200);
  for (const { p } of places) expect(radius(p)).toBeCloseTo(expected, 5);
  // Counter-clockwise unless reversed: below the middle line it runs along +x.
  const low = places.filter(({ p }) => p[1] < 0 && Math.abs(p[0]) < 25);
  expect(low.length).toBeGreaterThan(20);
  for (const { t } of low) expect(t[0]).toBeCloseTo(reverse ? -1 : 1, 6);
});

test.each([
  ['as it lies, the joint face on its left', {}, 2],
  ['reversed', { reverse: true }, -2],
  ['from the end near its start', { startNear: [9.5, 0, 30] as Point }, -2],
])('an open edge, %s', async (_name, request, offset) => {
  const scene = sceneOf([await bodyOf(rawBox(10, 16, 30))], ['absorbing']);
  const select = {
    kind: 'edge',
    body: 'box',
    near: [5, 0, 30] as Point,
    follow: 'none',
    faceNear: [5, 8, 30] as Point,
  } as const;
  const seam = await draw(scene, { select, offset, ...request });
  for (const { p } of sampleSeam(seam, 9)) expect(p[1]).toBeCloseTo(2, 9);
});

test('an offset that does not fit is named as the job has it', async () => {
  const scene = sceneOf([await bodyOf(rawBox(10, 16, 30))], ['absorbing']);
  const select = {
    kind: 'edge',
    body: 'box',
    near: [5, 0, 30] as Point,
    follow: 'loop',
    faceNear: [5, 8, 30] as Point,
  } as const;
  await expect(draw(scene, { select, offset: 5.5 })).rejects.toMatchObject({
    code: 'offset-too-large',
    sentence: expect.stringContaining('an offset of 5.5 mm'),
  });
});
