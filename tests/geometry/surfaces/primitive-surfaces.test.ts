// Closest points, normals and curvatures of the five primitives.
// Source: do Carmo 1976, Differential Geometry of Curves and Surfaces, sections 3-2 and 3-3 (principal curvatures of the
// sphere, cylinder and torus of revolution; Euler's formula), from memory; the cone by Meusnier's theorem, derived again.
import { describe, expect, test } from 'vitest';
import {
  createCone,
  createCylinder,
  createPlane,
  createSphere,
  createTorus,
} from '../../../src/geometry/primitive-surfaces.ts';
import type { Surface } from '../../../src/geometry/surface.ts';
import { createRandom, randomDirection } from './tessellate.ts';

const AXIS = [0.36, 0.48, 0.8];
const HALF = Math.PI / 5;
const ALL: readonly Surface[] = [
  createPlane([1, 2, 3], AXIS),
  createSphere([1, 2, 3], 20, 1),
  createCylinder([1, 2, 3], AXIS, 20, 1),
  createCone([1, 2, 3], AXIS, Math.cos(HALF), Math.sin(HALF), 1),
  createTorus([1, 2, 3], AXIS, 50, 20, 1),
];

describe('closest point', () => {
  for (const surface of ALL) {
    test(`${surface.kind}: foot, normal and start lie on one line, and no other point is nearer (seed 11)`, () => {
      const random = createRandom(11);
      const out = new Float64Array(6);
      const other = new Float64Array(6);
      let judged = 0;
      for (let i = 0; i < 200; i += 1) {
        const d = randomDirection(random);
        const p = d.map((c, k) => [1, 2, 3][k] + 90 * random() * c);
        if (!surface.project(p[0], p[1], p[2], out)) continue;
        judged += 1;
        const away = [p[0] - out[0], p[1] - out[1], p[2] - out[2]];
        const along = away[0] * out[3] + away[1] * out[4] + away[2] * out[5];
        expect(Math.hypot(out[3], out[4], out[5])).toBeCloseTo(1, 12);
        expect(Math.hypot(...away) - Math.abs(along)).toBeLessThan(1e-10);
        // The foot projects onto itself.
        surface.project(out[0], out[1], out[2], other);
        for (let k = 0; k < 3; k += 1) expect(Math.abs(other[k] - out[k])).toBeLessThan(1e-11);
        // Feet of points near p are points of the surface: none of them is nearer to p.
        for (let n = 0; n < 10; n += 1) {
          const e = randomDirection(random);
          if (!surface.project(p[0] + 5 * e[0], p[1] + 5 * e[1], p[2] + 5 * e[2], other)) continue;
          const distance = Math.hypot(p[0] - other[0], p[1] - other[1], p[2] - other[2]);
          expect(distance).toBeGreaterThan(Math.hypot(...away) - 1e-10);
        }
      }
      expect(judged).toBeGreaterThan(80);
    });
  }

  test('says so where there is no closest point', () => {
    const out = new Float64Array(6);
    for (const surface of ALL.slice(1)) {
      expect(surface.project(1, 2, 3, out)).toBe(false);
      expect([...out].every(Number.isNaN)).toBe(true);
    }
  });
});

describe('normal curvature', () => {
  test('known principal curvatures', () => {
    const cylinder = createCylinder([0, 0, 0], [0, 0, 1], 20, 1);
    expect(cylinder.normalCurvature(20, 0, 7, 0, 1, 0)).toBeCloseTo(1 / 20, 14);
    expect(cylinder.normalCurvature(20, 0, 7, 0, 0, 1)).toBeCloseTo(0, 14);
    // Euler: cos^2 at 45 degrees is a half.
    expect(cylinder.normalCurvature(20, 0, 7, 0, Math.SQRT1_2, Math.SQRT1_2)).toBeCloseTo(1 / 40, 14);
    expect(createCylinder([0, 0, 0], [0, 0, 1], 20, -1).normalCurvature(20, 0, 7, 0, 1, 0)).toBeCloseTo(-1 / 20, 14);
    expect(createSphere([0, 0, 0], 8, 1).normalCurvature(8, 0, 0, 0, 1, 0)).toBeCloseTo(1 / 8, 14);
    const torus = createTorus([0, 0, 0], [0, 0, 1], 50, 20, 1);
    expect(torus.normalCurvature(70, 0, 0, 0, 0, 1)).toBeCloseTo(1 / 20, 14);
    expect(torus.normalCurvature(70, 0, 0, 0, 1, 0)).toBeCloseTo(1 / 70, 14);
    expect(torus.normalCurvature(30, 0, 0, 0, 1, 0)).toBeCloseTo(-1 / 30, 14);
    expect(torus.normalCurvature(50, 0, 20, 0, 1, 0)).toBeCloseTo(0, 14);
  });

  for (const surface of ALL) {
    test(`${surface.kind}: the turning of the normal over a short step (seed 12)`, () => {
      const random = createRandom(12);
      const at = new Float64Array(6);
      const ahead = new Float64Array(6);
      let judged = 0;
      for (let i = 0; i < 100; i += 1) {
        const d = randomDirection(random);
        if (!surface.project(1 + 60 * d[0], 2 + 60 * d[1], 3 + 60 * d[2], at)) continue;
        const e = randomDirection(random);
        const n = at.subarray(3);
        const flat = e[0] * n[0] + e[1] * n[1] + e[2] * n[2];
        const t = e.map((c, k) => c - flat * n[k]);
        const l = Math.hypot(...t);
        if (l < 0.1) continue;
        const u = t.map((c) => c / l);
        const step = 1e-4;
        let turn = 0;
        for (const s of [step, -step]) {
          surface.project(at[0] + s * u[0], at[1] + s * u[1], at[2] + s * u[2], ahead);
          turn += (ahead[3] * u[0] + ahead[4] * u[1] + ahead[5] * u[2]) / (2 * s);
        }
        const k = surface.normalCurvature(at[0], at[1], at[2], u[0], u[1], u[2]);
        // A two-sided difference over 1e-4 mm: 1e-8 x curvature^3 (up to 1 near the cone's tip), rounding 1e-16 / 1e-4.
        expect(Math.abs(k - turn)).toBeLessThan(1e-7);
        judged += 1;
      }
      expect(judged).toBeGreaterThan(40);
    });
  }
});
