// A selection that survives a new export of the same part: numbers of faces and edges changed, shape not.
import { describe, expect, test } from 'vitest';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Point } from '../../src/model/job.ts';
import type { RawBody } from '../../src/model/raw-import.ts';
import type { Seam } from '../../src/model/seam.ts';
import { rawBox, rawTube } from '../intake/support.ts';
import { moved } from './contact-bodies.ts';
import { bodyOf, draw, sampleSeam, sceneOf } from './support.ts';

/** The same body with its faces in another order. */
function reordered(raw: RawBody, order: readonly number[]): RawBody {
  const triangle: number[] = [];
  const faceRange: number[] = [];
  for (const face of order) {
    const [from, to] = raw.faceRange.subarray(2 * face, 2 * face + 2);
    faceRange.push(triangle.length / 3);
    triangle.push(...raw.triangle.subarray(3 * from, 3 * to));
    faceRange.push(triangle.length / 3);
  }
  return { ...raw, triangle: Uint32Array.from(triangle), faceRange: Uint32Array.from(faceRange) };
}

const box = { ...rawBox(40, 30, 10), name: 'tub' };
const tub = async (raw: RawBody = box): Promise<SceneBody[]> => sceneOf([await bodyOf(raw)], ['absorbing']);
const inside: Point = [20, 15, 10];
const byIds = (ids: readonly string[]) => ({ kind: 'edges', ids, faceNear: inside }) as const;

/** Three of the four edges of the top: an open seam with two corners. */
async function selected(): Promise<{ ids: string[]; seam: Seam }> {
  const loop = { kind: 'edge', body: 'tub', near: [20, 0, 10] as Point, follow: 'loop', faceNear: inside } as const;
  const ids = (await draw(await tub(), { select: loop })).edgeIds.slice(0, 3);
  return { ids: [...ids], seam: await draw(await tub(), { select: byIds(ids) }) };
}

const samePlaces = (a: Seam, b: Seam): void => {
  expect(b.curve.length).toBeCloseTo(a.curve.length, 9);
  const [p, q] = [sampleSeam(a, 30), sampleSeam(b, 30)];
  const back = Math.hypot(...p[0].p.map((x, i) => x - q[0].p[i])) > 1;
  p.forEach((place, i) => {
    const other = q[back ? 29 - i : i].p;
    // Seen from the other end the places are not quite the same: sampled at 0.382 of each step.
    expect(Math.hypot(...place.p.map((x, c) => x - other[c]))).toBeLessThan(back ? 1 : 1e-9);
  });
};

describe('edges', () => {
  test('a fingerprint says what was selected', async () => {
    const { seam } = await selected();
    expect(seam.match).toEqual({ kind: 'none', distance: 0, why: '' });
    const { length, closed, points } = seam.fingerprint;
    expect([length, closed]).toEqual([seam.curve.length, false]);
    // One inside each edge, and eight along the line.
    expect(points.length).toBe(11);
    for (const [, , z] of points) expect(z).toBe(10);
    // Before offset, start and direction: none of them changes it.
    const { ids } = await selected();
    const other = await draw(await tub(), { select: byIds(ids), offset: 2, reverse: true });
    expect(other.fingerprint).toEqual(seam.fingerprint);
  });

  test('nothing changed: the same', async () => {
    const { ids, seam } = await selected();
    const again = await draw(await tub(), { select: byIds(ids), fingerprint: seam.fingerprint });
    expect(again.match.kind).toBe('same');
    samePlaces(seam, again);
  });

  test.each([
    ['other numbers on the same edges', [5, 4, 3, 2, 1, 0]],
    ['two faces exchanged', [0, 2, 1, 3, 4, 5]],
    ['three faces turned round', [1, 2, 0, 3, 4, 5]],
  ])('%s: found by its geometry, and says so', async (_name, order) => {
    const { ids, seam } = await selected();
    const scene = await tub(reordered(box, order));
    const found = await draw(scene, { select: byIds(ids), fingerprint: seam.fingerprint });
    expect(found.match.kind).toBe('found');
    expect(found.match.distance).toBeLessThan(1e-3);
    expect(found.match.why).not.toBe('');
    expect([...found.edgeIds].sort()).not.toEqual([...ids].sort());
    expect(found.curve.length).toBeCloseTo(seam.curve.length, 9);
    expect(found.fingerprint.length).toBe(seam.fingerprint.length);
    // What it says can be written into the job.
    const anew = await draw(scene, { select: byIds(found.edgeIds), fingerprint: seam.fingerprint });
    expect(anew.match.kind).toBe('same');
    samePlaces(found, anew);
  });

  test('another name of the body', async () => {
    const { ids, seam } = await selected();
    const scene = await tub({ ...box, name: 'Solid1' });
    await expect(draw(scene, { select: byIds(ids) })).rejects.toMatchObject({ code: 'edge-unknown' });
    const found = await draw(scene, { select: byIds(ids), fingerprint: seam.fingerprint });
    expect(found.match).toMatchObject({ kind: 'found', why: expect.stringContaining('there is no edge') });
  });

  test('another shape under the same numbers is told, another shape under other numbers is an error', async () => {
    const { ids, seam } = await selected();
    const longer = { ...rawBox(40.5, 30, 10), name: 'tub' };
    const changed = await draw(await tub(longer), { select: byIds(ids), fingerprint: seam.fingerprint });
    expect(changed.match.kind).toBe('changed');
    expect(changed.match.distance).toBeGreaterThan(0.1);
    await expect(
      draw(await tub({ ...longer, name: 'Solid1' }), { select: byIds(ids), fingerprint: seam.fingerprint }),
    ).rejects.toMatchObject({ name: 'InputError', code: 'selection-lost', place: 'seam rim' });
  });

  test('a part moved by more than 0.02 mm is not the same part', async () => {
    const { ids, seam } = await selected();
    const near = await draw(await tub(moved(box, 'tub', 0.015, 0, 0)), {
      select: byIds(ids),
      fingerprint: seam.fingerprint,
    });
    expect(near.match.kind).toBe('same');
    const far = await draw(await tub(moved(box, 'tub', 0.03, 0, 0)), {
      select: byIds(ids),
      fingerprint: seam.fingerprint,
    });
    expect(far.match).toMatchObject({ kind: 'changed', distance: expect.closeTo(0.03, 3) });
  });
});

describe('other selections', () => {
  const ring = { ...rawTube(30, 20, 15, 96), name: 'tub' };

  test('a band whose body has another name, or whose point has gone astray', async () => {
    const band = (near: Point) => ({ kind: 'band', body: 'tub', near, follow: 'tangent' }) as const;
    const { fingerprint } = await draw(await tub(ring), { select: band([25, 0, 15]) });
    const renamed = await tub({ ...reordered(ring, [3, 1, 0, 2]), name: 'Solid1' });
    expect((await draw(renamed, { select: band([25, 0, 15]), fingerprint })).match.kind).toBe('found');
    expect((await draw(await tub(ring), { select: band([25, 0, 90]), fingerprint })).match.kind).toBe('found');
    // The band below is as long, but elsewhere.
    const below = await draw(await tub(ring), { select: band([25, 0, 0]), fingerprint });
    expect(below.match.kind).toBe('found');
    for (const { p } of sampleSeam(below, 9)) expect(p[2]).toBeCloseTo(15, 9);
    const taller = { ...rawTube(30, 20, 18, 96), name: 'tub' };
    await expect(draw(await tub(taller), { select: band([25, 0, 15]), fingerprint })).rejects.toMatchObject({
      code: 'selection-lost',
    });
  });

  test('a contact is held against it too', async () => {
    const scene = sceneOf(
      [await bodyOf(moved(rawTube(40, 22, 3, 96), 'lid', 0, 0, 15)), await bodyOf(ring)],
      ['transmissive', 'absorbing'],
    );
    const select = { kind: 'contact', bodies: ['lid', 'tub'], tolerance: 0.1, near: null } as const;
    const { fingerprint } = await draw(scene, { select });
    expect((await draw(scene, { select, fingerprint })).match.kind).toBe('same');
    const other = { ...fingerprint, length: fingerprint.length + 1 };
    expect((await draw(scene, { select, fingerprint: other })).match.kind).toBe('changed');
  });
});
