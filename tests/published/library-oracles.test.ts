// Rays, closest points and curve lengths on a free-form part from STEP, against a general-purpose library: `three`, which
// tries every triangle and every chord. Facets stand off the true surface by the deflection, 0.01 mm, and no more.
import { Ray, Triangle, Vector3 } from 'three';
import { beforeAll, describe, expect, test } from 'vitest';
import { createCrossings } from '../../src/geometry/mesh-body-query.ts';
import { pointAt } from '../../src/geometry/curve.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import { createRandom } from '../geometry/surfaces/tessellate.ts';
import { draw, sampleScene } from '../seam/support.ts';

const DEFLECTION = 0.01;

describe('tide pod', () => {
  let scene: SceneBody[];
  let lid: SceneBody;
  let triangles: Triangle[];
  beforeAll(async () => {
    scene = await sampleScene('tide-pod', { lid: 'transmissive', tub: 'absorbing' });
    lid = scene.find(({ role }) => role === 'transmissive') as SceneBody;
    const { position, triangle } = lid.query.body;
    const corner = (v: number) => new Vector3(position[3 * v], position[3 * v + 1], position[3 * v + 2]);
    triangles = Array.from(
      { length: triangle.length / 3 },
      (_, t) => new Triangle(corner(triangle[3 * t]), corner(triangle[3 * t + 1]), corner(triangle[3 * t + 2])),
    );
  });

  test('rays straight down cross the lid where the library says (seed 71)', () => {
    const random = createRandom(71);
    const hits = createCrossings();
    const point = new Vector3();
    let crossed = 0;
    for (let n = 0; n < 120; n++) {
      const origin = new Vector3(-85 + 170 * random(), -55 + 110 * random(), 120);
      const ray = new Ray(origin, new Vector3(0.1 * random(), 0.1 * random(), -1).normalize());
      const expected = triangles
        .flatMap(({ a, b, c }) => (ray.intersectTriangle(a, b, c, false, point) ? [point.distanceTo(origin)] : []))
        .sort((a, b) => a - b);
      const from = Float64Array.from(origin.toArray());
      expect(lid.query.cast(from, Float64Array.from(ray.direction.toArray()), 0, 400, hits)).toBe(true);
      // A ray through the edge of two triangles meets both for the library.
      const separate = expected.filter((d, i) => i === 0 || d - expected[i - 1] > 1e-6);
      expect(hits.count).toBe(separate.length);
      separate.forEach((d, i) => {
        // Along a ray the deflection counts by the slope that it meets.
        const slope = Math.abs(
          [0, 1, 2].reduce((sum, k) => sum + hits.normal[3 * i + k] * ray.direction.getComponent(k), 0),
        );
        expect(Math.abs(hits.distance[i] - d) * slope).toBeLessThan(1.5 * DEFLECTION);
      });
      if (separate.length > 0) crossed++;
    }
    expect(crossed).toBeGreaterThan(20);
  });

  test('closest points are as far as the library says (seed 72)', () => {
    const random = createRandom(72);
    const out = new Float64Array(6);
    const point = new Vector3();
    for (let n = 0; n < 120; n++) {
      const from = new Vector3(-90 + 180 * random(), -60 + 120 * random(), 20 + 50 * random());
      let expected = Number.POSITIVE_INFINITY;
      for (const facet of triangles) {
        facet.closestPointToPoint(from, point);
        expected = Math.min(expected, point.distanceTo(from));
      }
      expect(lid.query.closest(from.x, from.y, from.z, Number.POSITIVE_INFINITY, out)).toBeGreaterThanOrEqual(0);
      const found = point.set(out[0], out[1], out[2]).distanceTo(from);
      expect(Math.abs(found - expected)).toBeLessThan(1.5 * DEFLECTION);
    }
  });

  test('the seam is as long as its chords: they fall short by kappa^2 h^2 / 24', async () => {
    const near = [-18.166928, -43.388853, 29.67018] as const;
    const { curve } = await draw(scene, { select: { kind: 'band', body: 'tub', near, follow: 'tangent' } });
    const at = new Float64Array(9);
    const place = (s: number): Vector3 => {
      pointAt(curve, s, at);
      return new Vector3(at[0], at[1], at[2]);
    };
    const count = 8000;
    let chords = 0;
    for (let i = 0; i < count; i++) {
      chords += place((i * curve.length) / count).distanceTo(place(((i + 1) * curve.length) / count));
    }
    // h 0.05 mm, kappa at most 1/15 mm: 5e-7 of the length.
    expect(chords).toBeLessThan(curve.length);
    expect(1 - chords / curve.length).toBeLessThan(5e-7);
  });
});
