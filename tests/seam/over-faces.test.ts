// Seams, bands and offsets that go from face to face, against closed forms on a bent plate.
import { beforeAll, describe, expect, test } from 'vitest';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Point } from '../../src/model/job.ts';
import { rawTube } from '../intake/support.ts';
import { rawGrids, rawPrism } from './contact-bodies.ts';
import { bodyOf, draw, sampleScene, sampleSeam, sceneOf } from './support.ts';

const RADIUS = 20;
const BEND = Math.PI / 3;

/** Over the top, from left to right: a plane, a bend of radius 20, a plane. */
function profile(first: number, angle: number, last: number) {
  const bend = first + RADIUS * angle;
  const place = (way: number): [number, number] => {
    const a = Math.min(Math.max(0, way - first) / RADIUS, angle);
    const rest = Math.max(0, way - bend);
    return [
      Math.min(way, first) + RADIUS * Math.sin(a) + rest * Math.cos(angle),
      -RADIUS + RADIUS * Math.cos(a) - rest * Math.sin(angle),
    ];
  };
  const raised = (way: number): [number, number] => {
    const a = Math.min(Math.max(0, way - first) / RADIUS, angle);
    const [y, z] = place(way);
    return [y + 2 * Math.sin(a), z + 2 * Math.cos(a)];
  };
  const stretches: readonly [number, number, number][] = [
    [0, first, 1],
    [first, bend, 30],
    [bend, bend + last, 1],
  ];
  const runs = stretches.map(([from, to, n]) =>
    Array.from({ length: n + 1 }, (_, i) => place(from + ((to - from) * i) / n)),
  );
  return { place, raised, stretches, runs, width: bend + last };
}

const WIDE = profile(10, BEND, 15);
const { place, width: WIDTH } = WIDE;

let plate: SceneBody[];
beforeAll(async () => {
  const body = await bodyOf(rawPrism('tub', 50, WIDE.runs, -60));
  plate = sceneOf([body], ['absorbing']);
});

const lower = {
  kind: 'edge',
  body: 'tub',
  near: [25, 0, 0] as Point,
  follow: 'none',
  faceNear: [25, 3, 0] as Point,
} as const;

// Source: a bent plate unrolls into a plane without change of length (do Carmo 1976, sec. 4-2).
describe('offsets over faces', () => {
  test.each([
    [4, [0]],
    [17, [1]],
    [36, [2]],
  ])('by %d mm onto the faces %j: measured along the surface, not along a chord', async (offset, faces) => {
    // Driven with the face on its left, so that b looks over the plate.
    const seam = await draw(plate, { select: lower, offset });
    const [y, z] = place(offset);
    for (const { p } of sampleSeam(seam, 25)) {
      expect(p[1]).toBeCloseTo(y, 4);
      expect(p[2]).toBeCloseTo(z, 4);
    }
    expect(seam.curve.length).toBeCloseTo(50, 6);
    expect(seam.faces.map(({ ref }) => ref.face)).toEqual(faces);
  });

  test('an edge that runs over three faces, moved aside: each stretch on its own face', async () => {
    // The end of the plate at x = 0.
    const select = {
      kind: 'edge',
      body: 'tub',
      near: [0, 5, 0] as Point,
      follow: 'tangent',
      faceNear: [3, 5, 0] as Point,
    } as const;
    const seam = await draw(plate, { select, offset: 6 });
    expect(seam.curve.length).toBeCloseTo(WIDTH, 4);
    expect(seam.faces.map(({ ref }) => ref.face).sort()).toEqual([0, 1, 2]);
    expect(seam.edgeIds.length).toBe(3);
    for (const { p } of sampleSeam(seam, 50)) expect(p[0]).toBeCloseTo(6, 5);
    expect([seam.corners, seam.kinks]).toEqual([[], []]);
  });

  test('beyond the last smooth face the surface that ends there goes on: an edge is not turned over', async () => {
    const tube = sceneOf([await bodyOf({ ...rawTube(30, 20, 15, 128), name: 'tub' })], ['absorbing']);
    const select = {
      kind: 'edge',
      body: 'tub',
      near: [30, 0, 15] as Point,
      follow: 'tangent',
      faceNear: [28, 0, 15] as Point,
    } as const;
    const seam = await draw(tube, { select, offset: -1 });
    for (const { p } of sampleSeam(seam, 40)) {
      expect(Math.hypot(p[0], p[1])).toBeCloseTo(31, 5);
      expect(p[2]).toBeCloseTo(15, 9);
    }
    expect(seam.faces.length).toBe(1);
  });
});

describe('bands over faces', () => {
  test('a band of three faces, one after the other: its middle, each stretch on its own face', async () => {
    const narrow = await bodyOf(rawPrism('tub', 4, WIDE.runs, -60));
    const scene = sceneOf([narrow], ['absorbing']);
    const seam = await draw(scene, { select: { kind: 'band', body: 'tub', near: [2, 5, 0], follow: 'tangent' } });
    expect(seam.curve.length).toBeCloseTo(WIDTH, 4);
    expect(seam.faces.map(({ ref }) => ref.face).sort()).toEqual([0, 1, 2]);
    for (const { p } of sampleSeam(seam, 50)) expect(p[0]).toBeCloseTo(2, 6);
  });

  test('a contact over a rim that is split lengthwise: the middle lies on both halves', async () => {
    // Three faces side by side, as long as the rim, under a lid of the same shape.
    const narrow = profile(1, 0.06, 1.4);
    const lid = await bodyOf(shell(120, narrow));
    const long = await bodyOf(rawPrism('tub', 120, narrow.runs, -60));
    const scene = sceneOf([lid, long], ['transmissive', 'absorbing']);
    const seam = await draw(scene, { select: { kind: 'contact', bodies: ['lid', 'tub'], tolerance: 0.1, near: null } });
    expect(seam.curve.length).toBeCloseTo(120, 3);
    const [y, z] = narrow.place(narrow.width / 2);
    for (const { p } of sampleSeam(seam, 40)) expect(Math.hypot(p[1] - y, p[2] - z)).toBeLessThan(5e-4);
    expect(seam.faces.map(({ ref }) => ref.face)).toEqual([1]);
  });

  test('the pod: one face, nothing cut', async () => {
    const scene = await sampleScene('stadium', { lid: 'transmissive', tray: 'absorbing' });
    const seam = await draw(scene, { select: { kind: 'band', body: 'tray', near: [0, -20, 8], follow: 'tangent' } });
    expect(seam.faces.length).toBe(1);
  });
});

/** A shell on the plate: its lower side is the plate's top, its upper side 2 mm above. */
function shell(length: number, { place, raised, stretches: runs, width }: ReturnType<typeof profile>) {
  const strip = (at: (way: number) => [number, number], [from, to, n]: [number, number, number]) =>
    Array.from({ length: n + 1 }, (_, i) => {
      const [y, z] = at(from + ((to - from) * i) / n);
      return [[0, y, z] as const, [length, y, z] as const];
    });
  const across = (way: number) =>
    [place(way), raised(way)].map(([y, z]) => [[0, y, z] as const, [length, y, z] as const]);
  const end = (x: number) => {
    const ways = runs.flatMap(([from, to, n], k) =>
      Array.from({ length: n + (k === 2 ? 1 : 0) }, (_, i) => from + ((to - from) * i) / n),
    );
    const rows = [raised, place].map((at) => ways.map((way) => [x, ...at(way)] as const));
    return x === 0 ? rows : rows.reverse();
  };
  return rawGrids('lid', [
    ...runs.map((run) => strip(raised, run)),
    ...runs.map((run) => strip(place, run).reverse()),
    across(width).reverse(),
    across(0),
    end(0),
    end(length),
  ]);
}
