// Distances to the borders of the joint face and the share of the spot within them, on faces whose borders are known exactly.
import { describe, expect, test } from 'vitest';
import { faceBorders } from '../../src/beam/face-borders.ts';
import { halfPlaneShare, stripShare } from '../../src/beam/spot-share.ts';
import type { Body, Edge } from '../../src/model/part.ts';
import type { Path } from '../../src/model/path.ts';
import { inScene, meshOnly, noMesh, slab, type Vector } from './analytic-bodies.ts';
import {
  aim,
  aimJob,
  circleOnSphere,
  DEG,
  head,
  optics,
  pathOf,
  reversed,
  seamOn,
  straight,
  task,
} from './known-paths.ts';

/** A body with nothing but these edges, each a chain of points between two faces, the first on its left. */
function bodyWith(chains: readonly { faces: [number, number]; closed: boolean; points: readonly Vector[] }[]): Body {
  const position: number[] = [];
  const edges = chains.map(({ faces, closed, points }, i): Edge => {
    const first = position.length / 3;
    position.push(...points.flat());
    const vertex = Uint32Array.from(points, (_, m) => first + m);
    return { id: `tub:${i}`, faces, vertex, closed, length: 0, dihedral: [0, 0] };
  });
  return { ...noMesh, position: Float64Array.from(position), edges };
}

const along = (y: number, cuts = 40): Vector[] =>
  Array.from({ length: cuts + 1 }, (_, i) => [-5 + (i * 30) / cuts, y, 0]);
const ring = (radius: number, z: number, cuts: number): Vector[] =>
  Array.from({ length: cuts }, (_, i) => [
    radius * Math.cos((2 * Math.PI * i) / cuts),
    radius * Math.sin((2 * Math.PI * i) / cuts),
    z,
  ]);
/** A strip of joint faces 0 and 1, end to end, between y = -right and y = left. */
const strip = (left: number, right: number): Body =>
  bodyWith([
    { faces: [2, 0], closed: false, points: along(left) },
    { faces: [0, 3], closed: false, points: along(-right) },
    {
      faces: [0, 1],
      closed: false,
      points: [
        [3, -right, 0],
        [3, left, 0],
      ],
    },
  ]);
const measure = (path: Path, body: Body, faces = [0, 1], reach = 5) =>
  faceBorders(path, seamOn(0, faces), [inScene(0, 'absorbing', meshOnly(body))], reach, task);

describe('distances', () => {
  test('a flat strip: left towards b = n x t, and the edge between two joint faces is no border', async () => {
    const { left, right } = await measure(straight(20), strip(1.2, 1.8));
    for (let i = 0; i < 20; i++)
      expect([left[i], right[i]]).toEqual([expect.closeTo(1.2, 12), expect.closeTo(1.8, 12)]);
    const back = await measure(reversed(straight(20)), strip(1.2, 1.8));
    expect([back.left[4], back.right[4]]).toEqual([expect.closeTo(1.8, 12), expect.closeTo(1.2, 12)]);
  });

  test.each([0, 1e-9, -1e-9])(
    'a seam on a border (%d mm off): the face lies where its other border is',
    async (off) => {
      const path = straight(9);
      path.position.forEach((_, k) => {
        if (k % 3 === 1) path.position[k] = off;
      });
      const edge = await measure(path, strip(0, 3));
      expect([edge.left[4], edge.right[4]]).toEqual([0, expect.closeTo(3, 8)]);
      const other = await measure(path, strip(3, 0));
      expect([other.left[4], other.right[4]]).toEqual([expect.closeTo(3, 8), 0]);
    },
  );

  test('borders beyond reach, and stations off the seam, are not measured', async () => {
    const { left, right } = await measure(straight(9, 2), strip(1, 9));
    expect([left[4], right[4]]).toEqual([expect.closeTo(1, 12), Number.NaN]);
    expect([left[0], right[1]]).toEqual([Number.NaN, Number.NaN]);
  });

  test('a seam beside the face: the nearer border is negative, on either side, and so it is between two strips', async () => {
    const at = async (y: number, body: Body) => {
      const path = straight(9);
      path.position.forEach((_, k) => {
        if (k % 3 === 1) path.position[k] = y;
      });
      const { left, right } = await measure(path, body);
      return [left[4], right[4]];
    };
    expect(await at(2, strip(1.2, 1.8))).toEqual([expect.closeTo(-0.8, 12), expect.closeTo(3.8, 12)]);
    expect(await at(-2, strip(1.2, 1.8))).toEqual([expect.closeTo(3.2, 12), expect.closeTo(-0.2, 12)]);
    const split = bodyWith([
      { faces: [2, 0], closed: false, points: along(3) },
      { faces: [0, 2], closed: false, points: along(1) },
      { faces: [2, 0], closed: false, points: along(-1) },
      { faces: [0, 2], closed: false, points: along(-3) },
    ]);
    expect(await at(0.4, split)).toEqual([expect.closeTo(2.6, 12), expect.closeTo(-0.6, 12)]);
    expect(await at(-0.4, split)).toEqual([expect.closeTo(-0.6, 12), expect.closeTo(2.6, 12)]);
    expect(await at(2.5, split)).toEqual([expect.closeTo(0.5, 12), expect.closeTo(1.5, 12)]);
  });

  test('beyond the end of its face a seam is on the smooth next one, not astray; beyond a sharp end it is', async () => {
    const beyond = async (dihedral: number) => {
      const flat = strip(2, 2);
      const edges = flat.edges.map((edge) => ({ ...edge, dihedral: [dihedral, dihedral] as const }));
      const elsewhere = slab([0, 0, -9], [0, 0, 1], 3).surface(1);
      const closest = (x: number) => (x > 3 ? 1 : 0);
      const query = { ...meshOnly({ ...flat, edges }), closest, surface: () => elsewhere };
      const { astray } = await faceBorders(straight(9), seamOn(0, [0]), [inScene(0, 'absorbing', query)], 0.5, task);
      return [astray[2], astray[8]];
    };
    expect(await beyond(1 * DEG)).toEqual([0, 0]);
    expect(await beyond(90 * DEG)).toEqual([0, 1]);
  });

  // Rounding puts the ends of such a border on either side of the plane across the seam: then it crosses it anywhere.
  test.each([0, 1e-15, -1e-15])(
    'a border that runs across the seam at its end bounds it on no side (%d rad askew)',
    async (askew) => {
      const across = bodyWith([
        { faces: [2, 0], closed: false, points: along(1.2) },
        { faces: [0, 3], closed: false, points: along(-1.8) },
        {
          faces: [0, 4],
          closed: false,
          points: [
            [2 + 1.2 * askew, 1.2, 0],
            [2 - 1.8 * askew, -1.8, 0],
          ],
        },
      ]);
      const { left, right } = await measure(straight(9), across);
      expect([left[4], right[4]]).toEqual([expect.closeTo(1.2, 12), expect.closeTo(1.8, 12)]);
    },
  );

  // On a dome the distance runs along the surface: R times the difference of polar angles, not the chord. 4,000 chords a round.
  test('a band on a dome of radius 12: along the surface', async () => {
    const R = 12;
    const polar = (mm: number) => 60 * DEG + mm / R;
    const border = (mm: number) => ring(R * Math.sin(polar(mm)), R * Math.cos(polar(mm)), 4000);
    const body = bodyWith([
      { faces: [1, 0], closed: true, points: border(-1.5) },
      { faces: [0, 2], closed: true, points: border(2.5) },
    ]);
    const { left, right } = await measure(circleOnSphere([0, 0, 0], R, 60 * DEG, 90), body, [0]);
    for (let i = 0; i < 90; i++) {
      expect(Math.abs(left[i] - 1.5)).toBeLessThan(1e-4);
      expect(Math.abs(right[i] - 2.5)).toBeLessThan(1e-4);
    }
  });

  // The oracle: every segment against every station.
  test('the grid finds what a search through all segments finds', async () => {
    const wave = (y: number): Vector[] =>
      Array.from({ length: 300 }, (_, i) => [i * 0.1 - 5, y + 0.4 * Math.sin(i * 0.31 + y), 0]);
    const body = bodyWith([
      { faces: [1, 0], closed: false, points: wave(1.5) },
      { faces: [0, 2], closed: false, points: wave(-1.9) },
    ]);
    const { left, right } = await measure(straight(41), body, [0]);
    for (let i = 0; i < 41; i++) {
      const hit = (y: number) => {
        const points = wave(y);
        const x = 0.5 * i;
        const m = points.findIndex((point) => point[0] > x);
        const [a, b] = [points[m - 1] as Vector, points[m] as Vector];
        return a[1] + ((x - a[0]) / (b[0] - a[0])) * (b[1] - a[1]);
      };
      expect(left[i]).toBeCloseTo(hit(1.5), 9);
      expect(right[i]).toBeCloseTo(-hit(-1.9), 9);
    }
  });
});

test('at the very end of a flat face with a sharp border, far from its sides, a seam is on it', async () => {
  // A wide plate: closest gives its end face there, which is as close as the top.
  const ends = bodyWith([{ faces: [0, 1], closed: false, points: [[4, -50, 0] as Vector, [4, 50, 0]] }]);
  const query = {
    ...slab([0, 0, -3], [0, 0, 1], 3),
    body: ends,
    closest: () => 0,
    surface: () => slab([0, 0, -3], [0, 0, 1], 3).surface(1),
  };
  const asEnd = { ...query, closest: () => 1 };
  for (const body of [query, asEnd]) {
    const { astray } = await faceBorders(straight(9), seamOn(0, [0]), [inScene(0, 'absorbing', body)], 5, task);
    expect(astray[8]).toBe(0);
  }
});

describe('capture', () => {
  const captureOn = async (
    body: Body,
    change: Partial<Parameters<typeof head>[0]> = {},
    profile: 'gaussian' | 'top-hat' = 'gaussian',
    path = straight(9),
  ) => {
    const job = aimJob({ optics: optics({ profile }) });
    const result = await aim(path, head(change), [inScene(0, 'absorbing', meshOnly(body))], job, seamOn(0, [0, 1]));
    return [result.capture[4], result.captureLateral[4]];
  };

  test.each(['gaussian', 'top-hat'] as const)('an edge taken with no offset catches one half (%s)', async (profile) => {
    const [nominal, lateral] = await captureOn(strip(0, 3), {}, profile);
    expect(nominal).toBeCloseTo(0.5, 6);
    expect(lateral).toBeCloseTo(halfPlaneShare(profile, -0.3 / 0.5), 6);
  });

  test('a seam beside its face catches what reaches over the border', async () => {
    const path = straight(9);
    path.position.forEach((_, k) => {
      if (k % 3 === 1) path.position[k] = 0.2;
    });
    expect((await captureOn(strip(0, 3), {}, 'gaussian', path))[0]).toBeCloseTo(halfPlaneShare('gaussian', -0.4), 6);
    path.position.forEach((_, k) => {
      if (k % 3 === 1) path.position[k] = 4;
    });
    expect((await captureOn(strip(0, 3), {}, 'gaussian', path))[0]).toBe(0);
  });

  test('both borders count, the tolerance at its worse end, a tilted spot with its width', async () => {
    const [nominal, lateral] = await captureOn(strip(0.6, 0.8));
    expect(nominal).toBeCloseTo(stripShare('gaussian', 1.2, 1.6), 9);
    expect(lateral).toBeCloseTo(stripShare('gaussian', 0.6, 2.2), 9);
    const [tilted] = await captureOn(strip(0.6, 0.8), { tilt: 60 * DEG });
    expect(tilted).toBeCloseTo(stripShare('gaussian', 0.6, 0.8), 9);
    const [leading] = await captureOn(strip(0.6, 0.8), { lead: 60 * DEG });
    expect(leading).toBeCloseTo(nominal, 9);
  });

  test('a rib three spots wide catches all of a top-hat', async () => {
    expect(await captureOn(strip(1.5, 1.5), {}, 'top-hat')).toEqual([1, 1]);
  });
});

test('a face that turns away beside the seam is measured across the seam, at every heading', async () => {
  // A strip turned by any angle in its plane: the same distances.
  for (const deg of [13, 77, 130, 205, 301]) {
    const [c, s] = [Math.cos(deg * DEG), Math.sin(deg * DEG)];
    const turn = ([x, y, z]: Vector): Vector => [c * x - s * y, s * x + c * y, z];
    const body = bodyWith([
      { faces: [2, 0], closed: false, points: along(1.2).map(turn) },
      { faces: [0, 3], closed: false, points: along(-1.8).map(turn) },
    ]);
    const path = pathOf(false, 9.5, straight(20).s, (i) => ({
      position: turn([0.5 * i, 0, 0]),
      tangent: turn([1, 0, 0]),
      normal: [0, 0, 1],
    }));
    const { left, right } = await measure(path, body);
    for (let i = 0; i < 20; i++) expect([left[i], right[i]]).toEqual([expect.closeTo(1.2, 9), expect.closeTo(1.8, 9)]);
  }
});
