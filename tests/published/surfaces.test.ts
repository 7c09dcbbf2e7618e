// Surfaces recognised from what the CAD importer gives, against the surfaces that the files themselves state.
// Source: the STEP files of an interoperability forum that ship with the importer, whose CYLINDRICAL_SURFACE (radius),
// CONICAL_SURFACE (radius, half angle) and TOROIDAL_SURFACE (radii) entities (ISO 10303-42) give the values below (seen);
// and the closed forms in `sample-parts/README.md` (computed by the modelling script, cut by another geometry kernel).
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { createBodyQuery, createCrossings } from '../../src/geometry/mesh-body-query.ts';
import type { Surface } from '../../src/geometry/surface.ts';
import type { Body } from '../../src/model/part.ts';
import { bodiesFromStep, degreesBetween } from '../geometry/surfaces/tessellate.ts';

const FORUM = join(dirname(createRequire(import.meta.url).resolve('occt-import-js/package.json')), 'test/testfiles');
const SAMPLES = join(import.meta.dirname, '../../sample-parts');

const imported = new Map<string, Promise<Body[]>>();

/** Bodies of a sample part, imported once. */
function sample(file: string): Promise<Body[]> {
  let bodies = imported.get(file);
  if (bodies === undefined) {
    bodies = bodiesFromStep(join(SAMPLES, file));
    imported.set(file, bodies);
  }
  return bodies;
}

function surfacesOf(body: Body): Surface[] {
  const query = createBodyQuery(body);
  return body.faces.map((_face, i) => query.surface(i));
}

/** The different values of one parameter among the surfaces of a kind, ascending, to nine figures. */
function values(surfaces: readonly Surface[], kind: string, parameter: string): number[] {
  const found = surfaces.filter((s) => s.kind === kind).map((s) => Number(s.parameters[parameter]?.toString()));
  return [...new Set(found.map((x) => Number(x.toPrecision(9))))].sort((a, b) => a - b);
}

describe('files of an interoperability forum', () => {
  test('conical-surface.step: CYLINDRICAL_SURFACE 0.532145256772786 and 0.216535433070866 inch, cone of 0.785398163397449 rad', async () => {
    const [body] = await bodiesFromStep(join(FORUM, 'conical-surface/conical-surface.step'));
    const surfaces = surfacesOf(body);
    expect(surfaces.map((s) => s.kind)).toEqual(['cylinder', 'plane', 'plane', 'cylinder', 'cone']);
    const radii = [0.216535433070866, 0.532145256772786].map((r) => r * 25.4);
    values(surfaces, 'cylinder', 'radius').forEach((r, k) => {
      expect(Math.abs(r / radii[k] - 1)).toBeLessThan(1e-8);
    });
    expect(Number(surfaces[4].parameters.slope)).toBeCloseTo(Math.tan(0.785398163397449), 10);
  });

  test('sg1-c5-214.stp: cylinders 10.4991168976, 20, 30, 40 and a cone of half angle 0.278299659005 rad', async () => {
    const [body] = await bodiesFromStep(join(FORUM, 'cax-if/sg1-c5-214.stp'));
    const surfaces = surfacesOf(body);
    const radii = [10.4991168976, 20, 30, 40];
    const found = values(surfaces, 'cylinder', 'radius');
    expect(found).toHaveLength(radii.length);
    found.forEach((r, k) => {
      expect(Math.abs(r / radii[k] - 1)).toBeLessThan(1e-8);
    });
    const cones = surfaces.filter((s) => s.kind === 'cone');
    expect(cones).toHaveLength(2);
    for (const c of cones) expect(Number(c.parameters.slope)).toBeCloseTo(Math.tan(0.278299659005), 9);
    expect(surfaces.every((s) => s.kind !== 'fitted')).toBe(true);
  });

  test('io1-cm-214.stp: TOROIDAL_SURFACE 30, 1 as a fillet between a plane and a cylinder', async () => {
    const [body] = await bodiesFromStep(join(FORUM, 'cax-if/io1-cm-214.stp'));
    const surfaces = surfacesOf(body);
    expect(values(surfaces, 'torus', 'majorRadius')).toEqual([30]);
    expect(values(surfaces, 'torus', 'minorRadius')).toEqual([1]);
    expect(surfaces.filter((s) => s.kind === 'plane')).toHaveLength(5);
    expect(surfaces.every((s) => s.kind !== 'fitted')).toBe(true);
  });

  test('the same assembly written by two systems, analytic in one and B-splines in the other, gives the same kinds', async () => {
    const kinds = async (file: string) => {
      const bodies = await bodiesFromStep(join(FORUM, 'cax-if', file));
      return bodies.flatMap((body) => surfacesOf(body).map((s) => s.kind)).sort();
    };
    const [analytic, splines] = [await kinds('as1-oc-214.stp'), await kinds('as1-tu-203.stp')];
    expect(analytic.filter((k) => k === 'cylinder')).toHaveLength(70);
    expect(splines).toEqual(analytic);
  });
});

describe('sample parts', () => {
  test("wave pod: the rib's top is the torus 330 / 80 about y, the lid's top that of 82, within 0.02 degrees", async () => {
    const [lid, tub] = await sample('wave-pod.step');
    const tori = (body: Body) => surfacesOf(body).filter((s) => s.kind === 'torus');
    const [rib] = tori(tub);
    expect(Number(rib.parameters.majorRadius)).toBeCloseTo(330, 5);
    expect(Number(rib.parameters.minorRadius)).toBeCloseTo(80, 5);
    expect(
      degreesBetween(rib.parameters.axis as number[], [0, Math.sign((rib.parameters.axis as number[])[1]), 0]),
    ).toBeLessThan(1e-5);
    expect(tori(lid).map((s) => Math.round(Number(s.parameters.minorRadius) * 1e4) / 1e4)).toContain(82);
    expect(rib.residual).toBeLessThan(1e-6);
    const out = new Float64Array(6);
    rib.project(-78, 0, 310 - Math.sqrt(250 * 250 - 78 * 78), out);
    // Seen from below the torus the nearest point of its circle lies straight behind: n points to the axis.
    expect(degreesBetween(out, [78 / 250, 0, Math.sqrt(1 - (78 / 250) ** 2)], 3)).toBeLessThan(1e-5);
  });

  test('dome pair: spheres of 60 and 62 about the origin', async () => {
    const [lid, dome] = await sample('dome-pair.step');
    const spheres = [lid, dome].map((b) => surfacesOf(b).filter((s) => s.kind === 'sphere'));
    expect(
      spheres
        .flat()
        .map((s) => Math.round(Number(s.parameters.radius) * 1e6) / 1e6)
        .sort(),
    ).toEqual([60, 60, 62]);
    for (const s of spheres.flat()) expect(Math.hypot(...(s.parameters.centre as number[]))).toBeLessThan(1e-6);
  });

  test('torus ring: torus 50 / 20', async () => {
    const [, ring] = await sample('torus-ring.step');
    const [top] = surfacesOf(ring).filter((s) => s.kind === 'torus');
    expect(Number(top.parameters.majorRadius)).toBeCloseTo(50, 6);
    expect(Number(top.parameters.minorRadius)).toBeCloseTo(20, 6);
  });

  test("tide pod: the free-form rib's top within 2 um and 0.1 degrees of its height function, borders included", async () => {
    const [, tub] = await sample('tide-pod.step');
    const query = createBodyQuery(tub);
    const top = tub.faces.findIndex((_face, i) => query.surface(i).kind === 'fitted');
    const surface = query.surface(top);
    const height = (x: number, y: number) =>
      42 + (x * x) / 800 - (y * y) / 190 + 1.2 * Math.sin(x / 32) * Math.cos(y / 36) + 0.06 * y;
    const normal = (x: number, y: number) => {
      const a = -(x / 400 + (1.2 / 32) * Math.cos(x / 32) * Math.cos(y / 36));
      const b = -(-y / 95 - (1.2 / 36) * Math.sin(x / 32) * Math.sin(y / 36) + 0.06);
      const l = Math.hypot(a, b, 1);
      return [a / l, b / l, 1 / l];
    };
    const { firstTriangle, triangleCount } = tub.faces[top];
    const out = new Float64Array(6);
    let off = 0;
    let turned = 0;
    // Corners, middles of sides and centroids of every facet.
    const shares = [
      [1, 0, 0],
      [0.5, 0.5, 0],
      [0.5, 0, 0.5],
      [0, 0.5, 0.5],
      [1 / 3, 1 / 3, 1 / 3],
    ];
    for (let t = firstTriangle; t < firstTriangle + triangleCount; t += 1) {
      for (const share of shares) {
        const p = [0, 1, 2].map((k) =>
          share.reduce((sum, s, j) => sum + s * tub.position[3 * tub.triangle[3 * t + j] + k], 0),
        );
        expect(surface.project(p[0], p[1], p[2], out)).toBe(true);
        const n = normal(out[0], out[1]);
        off = Math.max(off, Math.abs(out[2] - height(out[0], out[1])) * n[2]);
        turned = Math.max(turned, degreesBetween(out, n, 3));
      }
    }
    expect(triangleCount).toBeGreaterThan(500);
    expect(off).toBeLessThan(2e-3);
    expect(turned).toBeLessThan(0.1);
  });

  test('rays through lid and rib of every pair are sound: entries and exits alternate', async () => {
    for (const file of ['wave-pod.step', 'tide-pod.step']) {
      for (const body of await sample(file)) {
        const query = createBodyQuery(body);
        const out = createCrossings();
        let crossed = 0;
        for (let v = 0; v < body.position.length; v += 30) {
          // Straight down through vertices: the hardest place to hit.
          const o = Float64Array.of(body.position[v], body.position[v + 1], 200);
          expect(query.cast(o, Float64Array.of(0, 0, -1), 0, 400, out)).toBe(true);
          expect(out.count % 2).toBe(0);
          if (out.count > 0) crossed += 1;
        }
        expect(crossed).toBeGreaterThan(30);
      }
    }
  });
});
