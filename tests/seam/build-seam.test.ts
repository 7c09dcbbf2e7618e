import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { pointAt } from '../../src/geometry/curve.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Point } from '../../src/model/job.ts';
import type { Body } from '../../src/model/part.ts';
import type { Seam } from '../../src/model/seam.ts';
import type { SeamRequest } from '../../src/seam/build-seam.ts';
import { rawBox, rawTube } from '../intake/support.ts';
import { bodyOf, draw, minus, norm, sampleScene, sampleSeam, sceneOf } from './support.ts';

type Select = SeamRequest['select'];

/** A box of 10 x 16 x 30, absorbing, alone. Its top edge loop lies at z = 30. */
async function boxScene(): Promise<SceneBody[]> {
  return sceneOf([await bodyOf(rawBox(10, 16, 30))], ['absorbing']);
}

const edge = (near: Point, more: object = {}): Select =>
  ({ kind: 'edge', body: 'box', near, follow: 'tangent', faceNear: [5, 8, 30], ...more }) as Select;

describe('selections', () => {
  let scene: SceneBody[];
  beforeAll(async () => {
    scene = await boxScene();
  });

  test('follow: tangent stays on a straight edge, loop goes round the joint face, none takes the edge alone', async () => {
    const tangent = await draw(scene, { select: edge([5, 0, 30]) });
    expect([tangent.curve.closed, tangent.curve.length]).toEqual([false, 10]);
    const loop = await draw(scene, { select: edge([5, 0, 30], { follow: 'loop' }) });
    expect(loop.curve.closed).toBe(true);
    expect(loop.curve.length).toBeCloseTo(52, 9);
    expect(loop.corners.length).toBe(4);
    for (const corner of loop.corners) expect(corner.angle).toBeCloseTo(Math.PI / 2, 9);
    expect(loop.edgeIds.length).toBe(4);
    const none = await draw(scene, { select: edge([5, 0, 30], { follow: 'none' }) });
    expect(none.edgeIds).toEqual(tangent.edgeIds);
  });

  test('an open seam runs with the joint face on its left, or from the end that is near its start', async () => {
    const ends = async (request: object): Promise<number[]> => {
      const seam = await draw(scene, { select: edge([5, 0, 30]), ...request });
      const at = new Float64Array(9);
      pointAt(seam.curve, 0, at);
      const from = at[0];
      pointAt(seam.curve, seam.curve.length, at);
      return [from, at[0]];
    };
    expect(await ends({})).toEqual([0, 10]);
    expect(await ends({ reverse: true })).toEqual([10, 0]);
    expect(await ends({ startNear: [9.5, 0, 30] })).toEqual([10, 0]);
  });

  test('edges by id are put in order, and their ends meet in a corner', async () => {
    const { edges } = scene[0].query.body;
    const top = (await draw(scene, { select: edge([5, 0, 30], { follow: 'loop' }) })).edgeIds;
    const seam = await draw(scene, {
      select: { kind: 'edges', ids: [top[2], top[0], top[1]], faceNear: [5, 8, 30] },
    });
    expect(seam.edgeIds).toEqual([top[0], top[1], top[2]]);
    expect(seam.curve.closed).toBe(false);
    expect(seam.corners.map(({ s }) => s)).toEqual([
      edges.find(({ id }) => id === top[0])?.length,
      (edges.find(({ id }) => id === top[0])?.length ?? 0) + (edges.find(({ id }) => id === top[1])?.length ?? 0),
    ]);
    const byIndex = top.map((id) => id.replace('box', '#0'));
    const whole = await draw(scene, { select: { kind: 'edges', ids: byIndex, faceNear: [5, 8, 30] } });
    expect(whole.curve.closed).toBe(true);
  });

  test.each<[string, Partial<SeamRequest> & { select: Select }, string]>([
    ['no edge near', { select: edge([5, 8, 30]) }, 'selection-empty'],
    ['a corner: two edges of the joint face equally close', { select: edge([0, 0, 30]) }, 'selection-ambiguous'],
    ['an unknown body', { select: edge([5, 0, 30], { body: 'lid' }) }, 'body-unknown'],
    [
      'a face that is not one of the two',
      { select: edge([5, 0, 30], { faceNear: [5, 16, 15] }) },
      'joint-face-ambiguous',
    ],
    ['a face point in the air', { select: edge([5, 0, 30], { faceNear: [50, 16, 15] }) }, 'selection-empty'],
    ['nothing to tell the joint face', { select: edge([5, 0, 30], { faceNear: null }) }, 'joint-face-ambiguous'],
    ['an unknown edge', { select: { kind: 'edges', ids: ['box:0-9'], faceNear: null } }, 'edge-unknown'],
    ['an edge of an unknown body', { select: { kind: 'edges', ids: ['lid:0-1'], faceNear: null } }, 'edge-unknown'],
    ['an edge named twice', { select: { kind: 'edges', ids: ['box:0-2', 'box:0-2'], faceNear: null } }, 'edge-twice'],
    [
      'edges that do not meet',
      { select: { kind: 'edges', ids: ['box:0-2', 'box:1-3'], faceNear: null } },
      'edges-apart',
    ],
    [
      'a band on nothing',
      { select: { kind: 'band', body: 'box', near: [5, 8, 40], follow: 'none' } },
      'selection-empty',
    ],
    ['an offset beyond the face', { select: edge([5, 0, 30], { follow: 'loop' }), offset: 5.5 }, 'offset-too-large'],
    ['a start far away', { select: edge([5, 0, 30]), startNear: [5, 40, 30] }, 'start-far'],
    [
      'a start and a direction',
      { select: edge([5, 0, 30]), startNear: [0, 0, 30], reverse: true },
      'start-and-reverse',
    ],
  ])('%s is an error', async (_name, request, code) => {
    await expect(draw(scene, request)).rejects.toMatchObject({ name: 'InputError', code, place: 'seam rim' });
  });

  test('a seam on a transmissive body is an error', async () => {
    const lid = sceneOf([scene[0].query.body], ['transmissive']);
    await expect(draw(lid, { select: edge([5, 0, 30]) })).rejects.toMatchObject({ code: 'body-role' });
    const ids: Select = { kind: 'edges', ids: ['box:0-2'], faceNear: null };
    await expect(draw(lid, { select: ids })).rejects.toMatchObject({ code: 'body-role' });
  });

  test('bands: closed between two rims, open along a lone face, none where the border has corners', async () => {
    const tube = sceneOf([await bodyOf(rawTube(30, 20, 15, 96))], ['absorbing']);
    const seam = await draw(tube, { select: { kind: 'band', body: 'tube', near: [25, 0, 15], follow: 'tangent' } });
    expect(seam.curve.length).toBeCloseTo(50 * Math.PI, 4);
    expect(seam.faceChoice).toBe('band');
    expect(seam.edgeIds).toEqual(['tube:0-1', 'tube:1-2']);
    // A lone face of a box: the band along its longer sides, open.
    const open = await draw(scene, { select: { kind: 'band', body: 'box', near: [5, 8, 30], follow: 'tangent' } });
    expect([open.curve.closed, Number(open.curve.length.toFixed(9))]).toEqual([false, 16]);
    // A square tube: every side a face of its own, the top a frame with corners.
    const square = rawTube(30, 20, 15, 4);
    const sides = [0, 2, 4, 6, 8, 16, 18, 20, 22, 24, 32];
    const faced = { ...square, faceRange: Uint32Array.from(sides.slice(1).flatMap((to, i) => [sides[i], to])) };
    const frame = sceneOf([await bodyOf(faced)], ['absorbing']);
    const select: Select = { kind: 'band', body: 'tube', near: [25 * Math.SQRT1_2, 0, 15], follow: 'tangent' };
    await expect(draw(frame, { select })).rejects.toMatchObject({
      code: 'band-unclear',
      sentence: expect.stringContaining('corner'),
    });
  });
});

describe('the joint face', () => {
  test('is the one that the transmissive body covers', async () => {
    const box = await bodyOf(rawBox(10, 16, 30));
    // A plate of 2 mm on the top, and the same beside the front.
    const plate = async (from: Point, to: Point): Promise<Body> => {
      const raw = rawBox(to[0] - from[0], to[1] - from[1], to[2] - from[2]);
      return bodyOf({ ...raw, name: 'lid', position: raw.position.map((x, i) => x + from[i % 3]) });
    };
    const near: Point = [5, 0, 30];
    const face = async (lid: Body): Promise<[string, number]> => {
      const seam = await draw(sceneOf([box, lid], ['absorbing', 'transmissive']), {
        select: edge(near, { faceNear: null }),
      });
      const at = new Float64Array(6);
      const scene = sceneOf([box], ['absorbing']);
      scene[0].query.surface(seam.faces[0].ref.face).project(5, 0, 30, at);
      return [seam.faceChoice, Math.abs(at[5])];
    };
    expect(await face(await plate([-1, -1, 30], [11, 17, 32]))).toEqual(['covered', 1]);
    expect(await face(await plate([-1, -2, 0], [11, 0, 30]))).toEqual(['covered', 0]);
    // Far above: nothing is covered, the top looks towards the light.
    expect(await face(await plate([-1, -1, 35], [11, 17, 37]))).toEqual(['towards-beam', 1]);
  });

  test('without a transmissive body it is the one that looks against a given axis', async () => {
    const scene = await boxScene();
    const head = { axis: [0, 0.6, -0.8] as Point };
    const seam = await draw(scene, { select: edge([5, 0, 30], { faceNear: null }), head });
    const given = await draw(scene, { select: edge([5, 0, 30]) });
    expect(seam.faceChoice).toBe('towards-beam');
    expect(seam.faces).toEqual(given.faces);
  });
});

describe('offsets round corners', () => {
  test('inward: cut where the moved sides cross; outward: led on to where they do', async () => {
    const scene = await boxScene();
    for (const [offset, length] of [
      [2, 2 * (6 + 12)],
      [-2, 2 * (14 + 20)],
    ]) {
      const seam = await draw(scene, { select: edge([5, 0, 30], { follow: 'loop' }), offset });
      expect(seam.curve.closed).toBe(true);
      expect(seam.curve.length).toBeCloseTo(length, 7);
      expect(seam.corners.length).toBe(4);
      for (const { p } of sampleSeam(seam, 50)) expect(p[2]).toBeCloseTo(30, 9);
    }
  });
});

describe('direction and start', () => {
  let stadium: SceneBody[];
  const select: Select = { kind: 'band', body: 'tray', near: [0, -20, 8], follow: 'tangent' };
  beforeAll(async () => {
    stadium = await sampleScene('stadium', { lid: 'transmissive', tray: 'absorbing' });
  });
  const start = (seam: Seam): Float64Array => {
    const at = new Float64Array(9);
    pointAt(seam.curve, 0, at);
    return at;
  };

  test('by itself: from the middle of a straight, counter-clockwise seen from outside', async () => {
    const at = start(await draw(stadium, { select }));
    // The grid of places is 720 a round: the middle is met to about half a step, 0.2 mm.
    expect(Math.abs(at[0])).toBeLessThan(0.5);
    expect(Math.abs(at[1])).toBeCloseTo(20, 6);
    expect(at[3]).toBeCloseTo(at[1] < 0 ? 1 : -1, 6);
  });

  test('from a given place, and the other way', async () => {
    const ahead = await draw(stadium, { select, startNear: [50, 0, 8] });
    const back = await draw(stadium, { select, startNear: [50, 0, 8], reverse: true });
    expect([...start(ahead).subarray(0, 6)].map((x) => Number(x.toFixed(6)) + 0)).toEqual([50, 0, 8, 0, 1, 0]);
    expect([...start(back).subarray(0, 6)].map((x) => Number(x.toFixed(6)) + 0)).toEqual([50, 0, 8, 0, -1, 0]);
    const a = new Float64Array(9);
    const b = new Float64Array(9);
    for (let i = 1; i < 50; i++) {
      const s = (i * ahead.curve.length) / 50;
      pointAt(ahead.curve, s, a);
      pointAt(back.curve, back.curve.length - s, b);
      expect(norm(minus([...a.subarray(0, 3)], [...b.subarray(0, 3)]))).toBeLessThan(1e-9);
    }
    expect(back.faces.length).toBe(ahead.faces.length);
  });

  test('moving the part moves the seam and changes no scalar (fast-check, seed 17)', async () => {
    const tray = stadium[1].query.body;
    const request = { select, offset: 0.4 };
    const still = await draw([stadium[1]], request);
    const angle = fc.double({ min: -3, max: 3, noNaN: true });
    const shift = fc.double({ min: -200, max: 200, noNaN: true });
    await fc.assert(
      fc.asyncProperty(angle, angle, angle, shift, shift, shift, async (a, b, c, x, y, z) => {
        const move = rigid(a, b, c, [x, y, z]);
        const position = new Float64Array(tray.position.length);
        for (let i = 0; i < position.length; i += 3) position.set(move([...tray.position.subarray(i, i + 3)]), i);
        const near = move([0, -20, 8]) as unknown as Point;
        const scene = sceneOf([{ ...tray, position }], ['absorbing']);
        const moved = await draw(scene, { ...request, select: { ...select, near } as Select });
        expect(moved.curve.length).toBeCloseTo(still.curve.length, 6);
        const [p, q] = [sampleSeam(still, 60), sampleSeam(moved, 60)];
        for (let i = 0; i < p.length; i++) {
          expect(norm(minus(move(p[i].p), q[i].p))).toBeLessThan(1e-6);
          expect(Math.abs(norm(p[i].k) - norm(q[i].k))).toBeLessThan(1e-5);
        }
      }),
      { seed: 17, numRuns: 12 },
    );
  });
});

/** Rotation Rz Ry Rx and a shift, as a function. */
function rigid(a: number, b: number, c: number, d: readonly number[]): (p: readonly number[]) => number[] {
  const turn = (p: number[], i: number, j: number, angle: number): void => {
    const [u, v] = [p[i], p[j]];
    p[i] = Math.cos(angle) * u - Math.sin(angle) * v;
    p[j] = Math.sin(angle) * u + Math.cos(angle) * v;
  };
  return (q) => {
    const p = [...q];
    turn(p, 1, 2, a);
    turn(p, 2, 0, b);
    turn(p, 0, 1, c);
    return p.map((x, i) => x + d[i]);
  };
}

test('the border of an open sheet of two triangles keeps its four corners', async () => {
  const sheet = {
    name: 'sheet',
    position: Float64Array.of(0, 0, 0, 40, 0, 0, 40, 30, 0, 0, 30, 0),
    triangle: Uint32Array.of(0, 1, 2, 0, 2, 3),
    faceRange: Uint32Array.of(0, 2),
  };
  const scene = sceneOf([await bodyOf(sheet)], ['absorbing']);
  const seam = await draw(scene, {
    select: { kind: 'edge', body: 'sheet', near: [20, 0, 0], follow: 'none', faceNear: null },
  });
  expect(seam.curve.closed).toBe(true);
  expect(seam.curve.length).toBeCloseTo(140, 9);
  expect(seam.corners.map(({ angle }) => angle)).toEqual(new Array(4).fill(expect.closeTo(Math.PI / 2, 9)));
});
