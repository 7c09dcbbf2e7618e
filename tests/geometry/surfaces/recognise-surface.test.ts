// Recognition on exact vertices: full and partial faces, thin bands without a vertex inside, moved rigidly, with strays on
// the border as cuts of general surfaces leave them, and faces that are none of the five.
import { describe, expect, test } from 'vitest';
import { recogniseSurface } from '../../../src/geometry/recognise-surface.ts';
import type { Body } from '../../../src/model/part.ts';
import {
  AT_REST,
  createRandom,
  degreesBetween,
  gridBody,
  type Motion,
  move,
  type Point,
  rotate,
  TILTED,
} from './tessellate.ts';

interface Case {
  readonly name: string;
  readonly kind: string;
  readonly map: (u: number, v: number) => Point;
  readonly normal: (u: number, v: number) => Point;
  readonly grid: readonly [number, number];
  /** Radii, mm. */
  readonly radii: readonly number[];
}

const { sin, cos, PI } = Math;

function cylinder(name: string, r: number, span: number, height: number, grid: readonly [number, number]): Case {
  return {
    name,
    kind: 'cylinder',
    map: (u, v) => [r * cos(span * u), r * sin(span * u), height * v],
    normal: (u) => [cos(span * u), sin(span * u), 0],
    grid,
    radii: [r],
  };
}

function cone(
  name: string,
  r: number,
  slope: number,
  span: number,
  height: number,
  grid: readonly [number, number],
): Case {
  const l = Math.hypot(1, slope);
  return {
    name,
    kind: 'cone',
    map: (u, v) => {
      const rho = r + slope * height * v;
      return [rho * cos(span * u), rho * sin(span * u), height * v];
    },
    normal: (u) => [cos(span * u) / l, sin(span * u) / l, -slope / l],
    grid,
    radii: [],
  };
}

function torus(
  name: string,
  R: number,
  r: number,
  span: readonly [number, number],
  tube: readonly [number, number],
  grid: readonly [number, number],
): Case {
  const at = (u: number, v: number) => [span[0] + (span[1] - span[0]) * u, tube[0] + (tube[1] - tube[0]) * v];
  return {
    name,
    kind: 'torus',
    map: (u, v) => {
      const [a, b] = at(u, v);
      return [(R + r * cos(b)) * cos(a), (R + r * cos(b)) * sin(a), r * sin(b)];
    },
    normal: (u, v) => {
      const [a, b] = at(u, v);
      return [cos(b) * cos(a), cos(b) * sin(a), sin(b)];
    },
    grid,
    radii: [R, r],
  };
}

function sphere(
  name: string,
  r: number,
  span: number,
  from: number,
  to: number,
  grid: readonly [number, number],
): Case {
  const normal = (u: number, v: number): Point => {
    const b = from + (to - from) * v;
    return [cos(b) * cos(span * u), cos(b) * sin(span * u), sin(b)];
  };
  return {
    name,
    kind: 'sphere',
    map: (u, v) => normal(u, v).map((c) => r * c) as unknown as Point,
    normal,
    grid,
    radii: [r],
  };
}

const flat: Case = {
  name: 'a plane',
  kind: 'plane',
  map: (u, v) => [30 * u, 20 * v, 0],
  normal: () => [0, 0, 1],
  grid: [3, 2],
  radii: [],
};

/** A 3 mm band over a torus R 330, r 80 along a rounded path: the borders' vertices and none inside. */
const pathBand: Case = {
  name: 'a 3 mm band that winds over a torus R 330 r 80, all vertices on its border',
  kind: 'torus',
  map: (u, v) => {
    const a = 2 * PI * u;
    const x = (70 + 3 * (0.5 - v)) * cos(a);
    const y = (42 + 3 * (0.5 - v)) * sin(a);
    // z from (sqrt(x^2 + z^2) - 330)^2 + y^2 = 80^2, the outer sheet.
    const rho = 330 + Math.sqrt(6400 - y * y);
    return [x, y, Math.sqrt(rho * rho - x * x)];
  },
  normal: (u, v) => {
    const a = 2 * PI * u;
    const x = (70 + 3 * (0.5 - v)) * cos(a);
    const y = (42 + 3 * (0.5 - v)) * sin(a);
    const c = Math.sqrt(6400 - y * y);
    const rho = 330 + c;
    return [(c / 80) * (x / rho), y / 80, ((c / 80) * Math.sqrt(rho * rho - x * x)) / rho];
  },
  grid: [150, 1],
  radii: [330, 80],
};

const CASES: readonly Case[] = [
  flat,
  { ...flat, name: 'a plane of two triangles', grid: [1, 1] },
  cylinder('a full cylinder', 12, 2 * PI, 40, [64, 1]),
  cylinder('a quarter cylinder of two rims', 13.5, PI / 2, 3, [16, 1]),
  cylinder('a cylinder 20 degrees wide, ten vertices', 12, PI / 9, 25, [4, 1]),
  cylinder('a fillet of radius 0.5', 0.5, PI / 2, 60, [16, 1]),
  cone('a full cone', 10, 0.8, 2 * PI, 15, [64, 3]),
  cone('a chamfer of two rims, which a sphere would fit too', 20, -1, 2 * PI, 1, [63, 1]),
  cone('a wall drafted by half a degree', 30, 0.00873, PI / 2, 25, [18, 1]),
  sphere('a sphere cap', 55, 2 * PI, 0.6, 1.5, [48, 8]),
  sphere('a sphere band 3 mm wide', 50, 2 * PI, 0.5, 0.56, [80, 2]),
  torus('a full torus', 40, 12, [0, 2 * PI], [0, 2 * PI], [48, 24]),
  torus('a fillet round a boss', 20, 1, [0, 2 * PI], [PI / 2, PI], [60, 6]),
  torus('a torus patch 3 mm wide and 60 long', 330, 80, [0, 0.15], [0.7, 0.7375], [24, 2]),
  pathBand,
];

/** Largest error of position (mm) and normal (degrees) over points between the vertices. */
function errors(c: Case, body: Body, motion: Motion) {
  const surface = recogniseSurface(body, 0);
  if (surface === null) return { kind: 'none', position: Infinity, normal: Infinity, surface };
  const out = new Float64Array(6);
  let position = 0;
  let normal = 0;
  for (let i = 0; i <= 40; i += 1) {
    for (let j = 0; j <= 6; j += 1) {
      const [u, v] = [i / 40, j / 6];
      const p = move(motion, c.map(u, v));
      surface.project(p[0], p[1], p[2], out);
      position = Math.max(position, Math.hypot(out[0] - p[0], out[1] - p[1], out[2] - p[2]));
      normal = Math.max(normal, degreesBetween(out, rotate(motion, c.normal(u, v)), 3));
    }
  }
  return { kind: surface.kind, position, normal, surface };
}

describe('exact vertices', () => {
  for (const motion of [AT_REST, TILTED]) {
    for (const c of CASES) {
      test(`${c.name}${motion === TILTED ? ', moved' : ''}`, () => {
        const body = gridBody(c.map, c.grid[0], c.grid[1], motion);
        const found = errors(c, body, motion);
        expect(found.kind).toBe(c.kind);
        // Vertices are exact to rounding (1e-13 of 400 mm); narrow faces lever that up by some hundred.
        expect(found.position).toBeLessThan(1e-7);
        expect(found.normal).toBeLessThan(1e-5);
        const { radius, majorRadius, minorRadius } = found.surface?.parameters ?? {};
        const radii = [radius, majorRadius, minorRadius].filter((r) => r !== undefined);
        expect(radii).toHaveLength(c.radii.length);
        radii.forEach((r, k) => {
          // The flat patch says little of its far-off axis; elsewhere radii come out to 1e-6.
          const share = c.name.includes('60 long') ? 1e-2 : 1e-6;
          expect(Math.abs(Number(r) / c.radii[k] - 1)).toBeLessThan(share);
        });
      });
    }
  }

  test('normals follow the winding: a hole looks to its axis', () => {
    const c = cylinder('hole', 5, 2 * PI, 10, [40, 1]);
    const hole = gridBody((u, v) => c.map(1 - u, v), 40, 1);
    const surface = recogniseSurface(hole, 0);
    const out = new Float64Array(6);
    surface?.project(6, 0, 5, out);
    expect(surface?.kind).toBe('cylinder');
    expect([...out]).toEqual([5, 0, 5, -1, 0, 0].map((x) => expect.closeTo(x, 9)));
    expect(surface?.normalCurvature(5, 0, 5, 0, 1, 0)).toBeCloseTo(-0.2, 9);
  });
});

describe('strays on the border', () => {
  test('a third of the border off by up to 7e-4 mm leaves normals within 0.001 degrees (seed 5)', () => {
    const random = createRandom(5);
    const c = cylinder('wall', 15.5, PI / 2, 3, [40, 1]);
    const body = gridBody(
      (u, v) => {
        const [x, y, z] = c.map(u, v);
        const f = u < 0.35 ? 1 + (7e-4 * Math.sin(40 * u) * random()) / 15.5 : 1;
        return [f * x, f * y, z];
      },
      40,
      1,
    );
    const found = errors(c, body, AT_REST);
    expect(found.kind).toBe('cylinder');
    expect(found.surface?.residual).toBeGreaterThan(1e-5);
    expect(found.normal).toBeLessThan(1e-3);
  });
});

describe('other surfaces', () => {
  const others: readonly [string, (u: number, v: number) => Point][] = [
    ['a saddle', (u, v) => [40 * u, 40 * v, 0.01 * (40 * u - 20) * (40 * v - 20)]],
    ['an elliptic cylinder', (u, v) => [30 * cos(2 * PI * u), 20 * sin(2 * PI * u), 10 * v]],
    ['a wavy band', (u, v) => [100 * u, 3 * v, 2 * sin(6 * u) + 0.05 * v * cos(9 * u)]],
    [
      'a sphere dented by 2 um',
      (u, v) => {
        const r = 50 + 2e-3 * sin(9 * u) * sin(7 * v);
        return [r * cos(u) * cos(v), r * sin(u) * cos(v), r * sin(v)];
      },
    ],
  ];
  for (const [name, map] of others) {
    test(`${name} is none of the five`, () => {
      expect(recogniseSurface(gridBody(map, 40, 6), 0)).toBeNull();
    });
  }

  test('a face without triangles is none', () => {
    const body = gridBody(flat.map, 2, 2);
    const empty = { ...body, faces: [{ firstTriangle: 0, triangleCount: 0 }] };
    expect(recogniseSurface(empty, 0)).toBeNull();
  });
});
