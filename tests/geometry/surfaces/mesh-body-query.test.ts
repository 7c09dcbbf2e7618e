// Rays, closest points, shadows and boxes against brute force over all triangles and against closed forms on the exact
// surfaces; rays aimed at edges and vertices.
import { describe, expect, test } from 'vitest';
import { createBodyQuery, createCrossings } from '../../../src/geometry/mesh-body-query.ts';
import type { Body } from '../../../src/model/part.ts';
import {
  AT_REST,
  ballTriangles,
  bodyFromTriangles,
  boxTriangles,
  createRandom,
  gridTriangles,
  type Motion,
  move,
  type Point,
  randomDirection,
  rotate,
  TILTED,
} from './tessellate.ts';

function ball(radius: number, splits: number, motion: Motion = AT_REST): Body {
  const corners = ballTriangles(radius, splits).map((p) => move(motion, p));
  return bodyFromTriangles(corners, [corners.length / 3]);
}

/** A tube of outer radius 30, inner radius 24, height 40: two cylinders and two annuli, closed. */
function tube(columns: number): Body {
  const wall = (r: number, turn: 1 | -1) =>
    gridTriangles(
      (u, v) => [r * Math.cos(turn * 2 * Math.PI * u), r * Math.sin(turn * 2 * Math.PI * u), 40 * v],
      columns,
      1,
    );
  const ring = (z: number, turn: 1 | -1) =>
    gridTriangles(
      (u, v) => {
        const r = 30 - 6 * v;
        return [r * Math.cos(turn * 2 * Math.PI * u), r * Math.sin(turn * 2 * Math.PI * u), z];
      },
      columns,
      1,
    );
  const parts = [wall(30, 1), wall(24, -1), ring(40, 1), ring(0, -1)];
  return bodyFromTriangles(
    parts.flat(),
    parts.map((p) => p.length / 3),
  );
}

function signedVolume(body: Body): number {
  let sum = 0;
  const p = body.position;
  for (let t = 0; t < body.triangle.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => 3 * body.triangle[t + k]);
    sum += p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]);
    sum += p[a + 1] * (p[b + 2] * p[c] - p[b] * p[c + 2]);
    sum += p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c]);
  }
  return sum / 6;
}

/** Distances at which the ray meets facets, by Moeller & Trumbore 1997 over every triangle. */
function bruteForce(body: Body, o: Point, d: Point): number[] {
  const out: number[] = [];
  const at = (v: number): Point => [body.position[3 * v], body.position[3 * v + 1], body.position[3 * v + 2]];
  const minus = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
  const dot = (a: Point, b: Point) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  const cross = (a: Point, b: Point): Point => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ];
  for (let t = 0; t < body.triangle.length; t += 3) {
    const a = at(body.triangle[t]);
    const u = minus(at(body.triangle[t + 1]), a);
    const v = minus(at(body.triangle[t + 2]), a);
    const h = cross(d, v);
    const det = dot(u, h);
    if (det === 0) continue;
    const s = minus(o, a);
    const p = dot(s, h) / det;
    const q = cross(s, u);
    const r = dot(d, q) / det;
    if (p < 0 || r < 0 || p + r > 1) continue;
    out.push(dot(v, q) / det);
  }
  return out.sort((a, b) => a - b);
}

test('the test bodies are closed and wound outward', () => {
  for (const body of [ball(20, 3), tube(60)]) {
    expect(body.openEdges).toBe(0);
    expect(signedVolume(body)).toBeGreaterThan(0);
  }
});

describe('cast', () => {
  for (const motion of [AT_REST, TILTED]) {
    test(`a ball: chords of the exact sphere, normals within 1e-6 degrees${motion === TILTED ? ', moved' : ''} (seed 31)`, () => {
      const query = createBodyQuery(ball(20, 3, motion));
      const out = createCrossings();
      const random = createRandom(31);
      for (let i = 0; i < 500; i += 1) {
        const aim = randomDirection(random);
        const d = randomDirection(random);
        const target: Point = [15 * aim[0], 15 * aim[1], 15 * aim[2]];
        const start: Point = [target[0] - 90 * d[0], target[1] - 90 * d[1], target[2] - 90 * d[2]];
        expect(
          query.cast(Float64Array.from(move(motion, start)), Float64Array.from(rotate(motion, d)), 0, 500, out),
        ).toBe(true);
        const b = start[0] * d[0] + start[1] * d[1] + start[2] * d[2];
        const h = Math.sqrt(b * b - (start[0] ** 2 + start[1] ** 2 + start[2] ** 2 - 400));
        expect(out.count).toBe(2);
        expect([...out.side.slice(0, 2)]).toEqual([1, -1]);
        expect(out.distance[0]).toBeCloseTo(-b - h, 8);
        expect(out.distance[1]).toBeCloseTo(-b + h, 8);
        const n = [0, 1, 2].map((k) => (start[k] + (-b - h) * d[k]) / 20) as unknown as Point;
        const moved = rotate(motion, n);
        expect(Math.hypot(...[0, 1, 2].map((k) => out.normal[k] - moved[k]))).toBeLessThan(1e-8);
      }
    });
  }

  test('every facet that brute force meets is met, with the same sides in turn (seed 32)', () => {
    const body = tube(40);
    const query = createBodyQuery(body);
    const out = createCrossings();
    const random = createRandom(32);
    let four = 0;
    for (let i = 0; i < 1500; i += 1) {
      const d = randomDirection(random);
      const o: Point = [60 * random() - 30 - 80 * d[0], 60 * random() - 30 - 80 * d[1], 40 * random() - 80 * d[2]];
      const expected = bruteForce(body, o, d).filter((t) => t > 0);
      const sound = query.cast(Float64Array.from(o), Float64Array.from(d), 0, 1000, out);
      expect(sound).toBe(true);
      expect(out.count).toBe(expected.length);
      if (out.count === 4) four += 1;
      for (let k = 0; k < out.count; k += 1) {
        expect(out.side[k]).toBe(k % 2 === 0 ? 1 : -1);
        // 40 columns of radius 30: facets lie up to 0.093 mm inside the cylinder, measured along its normal; a slanting
        // ray meets it where it has bent away further.
        const n = out.normal.subarray(3 * k, 3 * k + 3);
        const slope = Math.abs(n[0] * d[0] + n[1] * d[1] + n[2] * d[2]);
        expect(Math.abs(out.distance[k] - expected[k]) * slope).toBeLessThan(0.2);
      }
    }
    expect(four).toBeGreaterThan(200);
  });

  test('thickness of a wall is the true one, not the facets', () => {
    const query = createBodyQuery(tube(40));
    const out = createCrossings();
    for (let i = 0; i < 100; i += 1) {
      const a = 0.01 + i * 0.06;
      const d = Float64Array.of(-Math.cos(a), -Math.sin(a), 0);
      query.cast(Float64Array.of(50 * Math.cos(a), 50 * Math.sin(a), 20), d, 0, 40, out);
      expect(out.count).toBe(2);
      expect(out.distance[1] - out.distance[0]).toBeCloseTo(6, 9);
      expect(out.distance[0]).toBeCloseTo(20, 9);
    }
  });

  test('rays through vertices and middles of edges, from outside and from inside (seed 33)', () => {
    const body = ball(20, 2);
    const query = createBodyQuery(body);
    const out = createCrossings();
    const random = createRandom(33);
    const p = body.position;
    let asked = 0;
    for (let t = 0; t < body.triangle.length; t += 3) {
      const [a, b] = [3 * body.triangle[t], 3 * body.triangle[t + 1]];
      const targets = [
        [p[a], p[a + 1], p[a + 2]],
        [(p[a] + p[b]) / 2, (p[a + 1] + p[b + 1]) / 2, (p[a + 2] + p[b + 2]) / 2],
      ];
      for (const q of targets) {
        const inward = Float64Array.from(q, (c) => -c / Math.hypot(...q));
        const slanted = randomDirection(random).map((c, k) => 0.3 * c + inward[k]);
        const l = Math.hypot(...slanted);
        for (const d of [inward, Float64Array.from(slanted, (c) => c / l)]) {
          const o = Float64Array.from(d, (c, k) => q[k] - 64 * c);
          expect(query.cast(o, d, 0, 1000, out)).toBe(true);
          expect(out.count).toBe(2);
          expect([...out.side.slice(0, 2)]).toEqual([1, -1]);
          // The middle of the facet's edge lies up to 0.5 mm inside the sphere: the ray goes on to it.
          const chord = out.distance[1] - out.distance[0];
          const closest = d.reduce((s, c, k) => s + c * o[k], 0);
          const off2 = o.reduce((s, c) => s + c * c, 0) - closest * closest;
          expect(chord).toBeCloseTo(2 * Math.sqrt(400 - off2), 7);
          asked += 1;
        }
        // From the centre outwards there is one crossing, an exit.
        expect(
          query.cast(
            Float64Array.of(0, 0, 0),
            Float64Array.from(inward, (c) => -c),
            0,
            1000,
            out,
          ),
        ).toBe(true);
        expect(out.count).toBe(1);
        expect(out.side[0]).toBe(-1);
        expect(out.distance[0]).toBeCloseTo(20, 9);
      }
    }
    expect(asked).toBeGreaterThan(1000);
  });

  test('rays along faces, edges and corners of a box never give an odd answer', () => {
    const query = createBodyQuery(bodyFromTriangles(boxTriangles([0, 0, 0], [10, 20, 30]), [2, 2, 2, 2, 2, 2]));
    const out = createCrossings();
    for (const x of [0, 5, 10]) {
      for (const y of [0, 10, 20]) {
        for (const dz of [1, -1]) {
          const sound = query.cast(Float64Array.of(x, y, dz > 0 ? -9 : 39), Float64Array.of(0, 0, dz), 0, 100, out);
          const inside = x === 5 && y === 10;
          expect(sound).toBe(true);
          expect(out.count % 2).toBe(0);
          if (inside) expect([...out.distance.slice(0, 2)]).toEqual([expect.closeTo(9, 10), expect.closeTo(39, 10)]);
        }
      }
    }
  });

  test('only crossings between near and far are given, whatever side of it the facet lies', () => {
    const query = createBodyQuery(ball(20, 2));
    const out = createCrossings();
    const o = Float64Array.of(50, 0.3, 0.2);
    const d = Float64Array.of(-1, 0, 0);
    const true0 = 50 - Math.sqrt(400 - 0.13);
    query.cast(o, d, true0 - 1e-6, 40, out);
    expect(out.count).toBe(1);
    query.cast(o, d, true0 + 1e-6, 40, out);
    expect(out.count).toBe(0);
    query.cast(o, d, true0 + 1e-6, 100, out);
    expect([...out.side.slice(0, out.count)]).toEqual([-1]);
  });

  test('a body whose winding is broken gives no trust', () => {
    const corners = ballTriangles(20, 2);
    for (let t = 0; t < corners.length / 2; t += 3) [corners[t], corners[t + 1]] = [corners[t + 1], corners[t]];
    const query = createBodyQuery(bodyFromTriangles(corners, [corners.length / 3]));
    const out = createCrossings();
    let doubted = 0;
    const random = createRandom(34);
    for (let i = 0; i < 200; i += 1) {
      const d = randomDirection(random);
      const o = Float64Array.from(d, (c) => -50 * c);
      if (!query.cast(o, Float64Array.from(d), 0, 100, out)) doubted += 1;
    }
    expect(doubted).toBeGreaterThan(20);
  });

  test('an open sheet is crossed once', () => {
    const sheet = gridTriangles((u, v) => [10 * u, 10 * v, 0], 8, 8);
    const query = createBodyQuery(bodyFromTriangles(sheet, [sheet.length / 3]));
    const out = createCrossings();
    expect(query.cast(Float64Array.of(5, 5, 9), Float64Array.of(0, 0, -1), 0, 20, out)).toBe(true);
    expect(out.count).toBe(1);
    expect(out.distance[0]).toBeCloseTo(9, 12);
  });

  test('more crossings than the arrays hold', () => {
    const plates = Array.from({ length: 30 }, (_x, i) => boxTriangles([0, 0, 2 * i], [10, 10, 2 * i + 1]));
    const query = createBodyQuery(bodyFromTriangles(plates.flat(), new Array(180).fill(2)));
    const out = createCrossings();
    expect(query.cast(Float64Array.of(3, 4, -5), Float64Array.of(0, 0, 1), 0, 100, out)).toBe(true);
    expect(out.count).toBe(60);
    expect(out.distance[59]).toBeCloseTo(64, 10);
  });
});

describe('blocks', () => {
  test('as brute force says (seed 35)', () => {
    const body = tube(40);
    const query = createBodyQuery(body);
    const random = createRandom(35);
    let blocked = 0;
    for (let i = 0; i < 1500; i += 1) {
      const point = (): Point => [80 * random() - 40, 80 * random() - 40, 60 * random() - 10];
      const [a, b] = [point(), point()];
      const d: Point = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
      const expected = bruteForce(body, a, d).some((t) => t >= 0 && t <= 1);
      expect(query.blocks(...(a as [number, number, number]), ...(b as [number, number, number]))).toBe(expected);
      if (expected) blocked += 1;
    }
    expect(blocked).toBeGreaterThan(300);
    expect(blocked).toBeLessThan(1400);
  });
});

describe('closest', () => {
  test('on a ball: the exact sphere, from inside and outside (seed 36)', () => {
    const query = createBodyQuery(ball(20, 3));
    const out = new Float64Array(6);
    const random = createRandom(36);
    for (let i = 0; i < 500; i += 1) {
      const d = randomDirection(random);
      const r = 15 + 10 * random();
      expect(query.closest(r * d[0], r * d[1], r * d[2], 50, out)).toBe(0);
      for (let k = 0; k < 3; k += 1) {
        expect(out[k]).toBeCloseTo(20 * d[k], 9);
        expect(out[3 + k]).toBeCloseTo(d[k], 9);
      }
    }
  });

  test('on a tube: distances of the closed form, faces and rims alike (seed 37)', () => {
    const query = createBodyQuery(tube(120));
    const out = new Float64Array(6);
    const random = createRandom(37);
    for (let i = 0; i < 1500; i += 1) {
      const p = [90 * random() - 45, 90 * random() - 45, 70 * random() - 15];
      const rho = Math.hypot(p[0], p[1]);
      const outside = Math.hypot(Math.max(0, rho - 30, 24 - rho), Math.max(0, -p[2], p[2] - 40));
      const inside = Math.min(30 - rho, rho - 24, p[2], 40 - p[2]);
      const expected = outside > 0 ? outside : inside;
      expect(query.closest(p[0], p[1], p[2], 100, out)).toBeGreaterThanOrEqual(0);
      const distance = Math.hypot(out[0] - p[0], out[1] - p[1], out[2] - p[2]);
      // Beyond a sharp rim the point lies on a chord of it, 120 of them of radius 30: up to 0.011 mm off.
      expect(Math.abs(distance - expected)).toBeLessThan(0.011);
      expect(Number.isFinite(out[3] + out[4] + out[5])).toBe(true);
    }
  });

  test('nothing beyond its reach', () => {
    const query = createBodyQuery(ball(20, 3));
    const out = new Float64Array(6);
    expect(query.closest(40, 0, 0, 19, out)).toBe(-1);
    expect(query.closest(40, 0, 0, 21, out)).toBe(0);
  });

  // On a coarse ball (facets up to 0.37 mm inside the sphere) it is the sphere that is within reach or not, not the facet.
  test.each([1, 0.3, 0.02])(
    'the true surface is within reach of %d mm or not, whatever its facets are (seed 39)',
    (reach) => {
      const query = createBodyQuery(ball(20, 3));
      const out = new Float64Array(6);
      const random = createRandom(39);
      let found = 0;
      for (let i = 0; i < 600; i += 1) {
        const d = randomDirection(random);
        const r = 20 - 2 * reach + 4 * reach * random();
        const face = query.closest(r * d[0], r * d[1], r * d[2], reach, out);
        if (Math.abs(Math.abs(r - 20) - reach) > 1e-9) expect(face >= 0).toBe(Math.abs(r - 20) < reach);
        if (face >= 0) found += 1;
      }
      expect(found).toBeGreaterThan(200);
      expect(found).toBeLessThan(400);
    },
  );

  test('on a tube nothing is given from beyond 0.3 mm, and all of what is nearer (seed 40)', () => {
    const query = createBodyQuery(tube(120));
    const out = new Float64Array(6);
    const random = createRandom(40);
    let found = 0;
    for (let i = 0; i < 3000; i += 1) {
      const turn = 2 * Math.PI * random();
      const rho = 23 + 8 * random();
      const p = [rho * Math.cos(turn), rho * Math.sin(turn), -1 + 2 * random()];
      const outside = Math.hypot(Math.max(0, rho - 30, 24 - rho), Math.max(0, -p[2]));
      const expected = outside > 0 ? outside : Math.min(30 - rho, rho - 24, p[2]);
      const face = query.closest(p[0], p[1], p[2], 0.3, out);
      const distance = Math.hypot(out[0] - p[0], out[1] - p[1], out[2] - p[2]);
      if (face >= 0) expect(distance).toBeLessThan(0.3 + 1e-9);
      // Chords of the rims again: up to 0.011 mm off.
      if (Math.abs(expected - 0.3) > 0.011) expect(face >= 0).toBe(expected < 0.3);
      if (face >= 0) found += 1;
    }
    expect(found).toBeGreaterThan(500);
  });
});

describe('near', () => {
  test('as brute force over the boxes of all triangles says (seed 38)', () => {
    const body = ball(20, 2);
    const query = createBodyQuery(body);
    const random = createRandom(38);
    let met = 0;
    for (let i = 0; i < 800; i += 1) {
      const low = [0, 1, 2].map(() => 60 * random() - 30);
      const high = low.map((c) => c + 12 * random());
      let expected = false;
      for (let t = 0; t < body.triangle.length && !expected; t += 3) {
        expected = [0, 1, 2].every((k) => {
          const c = [0, 1, 2].map((j) => body.position[3 * body.triangle[t + j] + k]);
          return Math.min(...c) <= high[k] && Math.max(...c) >= low[k];
        });
      }
      expect(query.near(low[0], low[1], low[2], high[0], high[1], high[2])).toBe(expected);
      if (expected) met += 1;
    }
    expect(met).toBeGreaterThan(100);
    expect(met).toBeLessThan(700);
  });
});
