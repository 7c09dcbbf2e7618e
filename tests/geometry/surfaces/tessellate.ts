// Bodies for the tests: parameter grids put on exact surfaces, and STEP files tessellated by the CAD importer itself.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Body } from '../../../src/model/part.ts';

export type Point = readonly [number, number, number];
/** Rotation by a unit quaternion (w, x, y, z), then a shift. */
export interface Motion {
  readonly turn: readonly [number, number, number, number];
  readonly shift: Point;
}

export const AT_REST: Motion = { turn: [1, 0, 0, 0], shift: [0, 0, 0] };
export const TILTED: Motion = { turn: [0.5, 0.1, -0.7, 0.5], shift: [120, -340, 55] };

export function rotate({ turn }: Motion, p: Point): [number, number, number] {
  const l = Math.hypot(...turn);
  const [w, x, y, z] = turn.map((c) => c / l);
  const t = [2 * (y * p[2] - z * p[1]), 2 * (z * p[0] - x * p[2]), 2 * (x * p[1] - y * p[0])];
  return [
    p[0] + w * t[0] + y * t[2] - z * t[1],
    p[1] + w * t[1] + z * t[0] - x * t[2],
    p[2] + w * t[2] + x * t[1] - y * t[0],
  ];
}

export function move(motion: Motion, p: Point): [number, number, number] {
  const r = rotate(motion, p);
  return [r[0] + motion.shift[0], r[1] + motion.shift[1], r[2] + motion.shift[2]];
}

/** Welds triangle soup by exact coordinates; `faces` gives the number of triangles of each face in turn. */
export function bodyFromTriangles(corners: readonly Point[], faces: readonly number[], noise = 1e-6): Body {
  const index = new Map<string, number>();
  const position: number[] = [];
  const triangle: number[] = [];
  const faceOfTriangle: number[] = [];
  const ranges: { firstTriangle: number; triangleCount: number }[] = [];
  const uses = new Map<string, number>();
  let next = 0;
  faces.forEach((count, face) => {
    const firstTriangle = triangle.length / 3;
    for (let t = 0; t < count; t += 1, next += 3) {
      const v = [0, 1, 2].map((k) => {
        const key = corners[next + k].map((c) => Math.round(c * 1e8)).join();
        let i = index.get(key);
        if (i === undefined) {
          i = index.size;
          index.set(key, i);
          position.push(...corners[next + k]);
        }
        return i;
      });
      if (v[0] === v[1] || v[1] === v[2] || v[0] === v[2]) continue;
      triangle.push(...v);
      faceOfTriangle.push(face);
      for (let k = 0; k < 3; k += 1) {
        const side = [v[k], v[(k + 1) % 3]].sort((a, b) => a - b).join();
        uses.set(side, (uses.get(side) ?? 0) + 1);
      }
    }
    ranges.push({ firstTriangle, triangleCount: triangle.length / 3 - firstTriangle });
  });
  return {
    name: 'test',
    index: 0,
    position: Float64Array.from(position),
    triangle: Uint32Array.from(triangle),
    faceOfTriangle: Uint32Array.from(faceOfTriangle),
    faces: ranges,
    edges: [],
    openEdges: [...uses.values()].filter((n) => n === 1).length,
    noise,
  };
}

/** Triangles of a grid of (columns + 1) x (rows + 1) points of a map from [0, 1]^2; outward is du x dv. */
export function gridTriangles(map: (u: number, v: number) => Point, columns: number, rows: number): Point[] {
  const out: Point[] = [];
  for (let i = 0; i < columns; i += 1) {
    for (let j = 0; j < rows; j += 1) {
      const a = map(i / columns, j / rows);
      const b = map((i + 1) / columns, j / rows);
      const c = map((i + 1) / columns, (j + 1) / rows);
      const d = map(i / columns, (j + 1) / rows);
      if ((i + j) % 2 === 0) out.push(a, b, c, a, c, d);
      else out.push(a, b, d, b, c, d);
    }
  }
  return out;
}

/** A body of one face on a parametric surface. */
export function gridBody(map: (u: number, v: number) => Point, columns: number, rows: number, motion = AT_REST): Body {
  const corners = gridTriangles(map, columns, rows).map((p) => move(motion, p));
  return bodyFromTriangles(corners, [corners.length / 3]);
}

/** A ball as one closed face: icosahedron split `splits` times, vertices exactly on the sphere. */
export function ballTriangles(radius: number, splits: number): Point[] {
  const g = (1 + Math.sqrt(5)) / 2;
  const unit = (p: Point): Point => {
    const l = Math.hypot(...p);
    return [(radius * p[0]) / l, (radius * p[1]) / l, (radius * p[2]) / l];
  };
  const v: Point[] = [
    [-1, g, 0],
    [1, g, 0],
    [-1, -g, 0],
    [1, -g, 0],
    [0, -1, g],
    [0, 1, g],
    [0, -1, -g],
    [0, 1, -g],
    [g, 0, -1],
    [g, 0, 1],
    [-g, 0, -1],
    [-g, 0, 1],
  ];
  const faces =
    '0 11 5 0 5 1 0 1 7 0 7 10 0 10 11 1 5 9 5 11 4 11 10 2 10 7 6 7 1 8 3 9 4 3 4 2 3 2 6 3 6 8 3 8 9 4 9 5 2 4 11 6 2 10 8 6 7 9 8 1'
      .split(' ')
      .map(Number);
  let soup = faces.map((i) => unit(v[i]));
  for (let s = 0; s < splits; s += 1) {
    const finer: Point[] = [];
    for (let t = 0; t < soup.length; t += 3) {
      const [a, b, c] = soup.slice(t, t + 3);
      const half = (p: Point, q: Point) => unit([p[0] + q[0], p[1] + q[1], p[2] + q[2]]);
      const [ab, bc, ca] = [half(a, b), half(b, c), half(c, a)];
      finer.push(a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca);
    }
    soup = finer;
  }
  return soup;
}

/** Twelve triangles of an axis-parallel box, two a face: -x, +x, -y, +y, -z, +z. */
export function boxTriangles(low: Point, high: Point): Point[] {
  const c = (i: number): Point => [i & 1 ? high[0] : low[0], i & 2 ? high[1] : low[1], i & 4 ? high[2] : low[2]];
  const quads = [
    [0, 4, 6, 2],
    [1, 3, 7, 5],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 2, 3, 1],
    [4, 5, 7, 6],
  ];
  return quads.flatMap(([p, q, r, s]) => [c(p), c(q), c(r), c(p), c(r), c(s)]);
}

interface ImporterResult {
  readonly success: boolean;
  readonly meshes: readonly {
    readonly name: string;
    readonly attributes: { readonly position: { readonly array: readonly number[] } };
    readonly index: { readonly array: readonly number[] };
    readonly brep_faces: readonly { readonly first: number; readonly last: number }[];
  }[];
}

interface Importer {
  ReadStepFile(content: Uint8Array, settings: Readonly<Record<string, string | number>>): ImporterResult;
}

// Starting the importer takes a second: one is kept for the test file.
let starting: Promise<Importer> | undefined;

/** Bodies of a STEP file, tessellated by the importer at `linear` mm and `angular` rad. */
export async function bodiesFromStep(path: string, linear = 0.01, angular = 0.1): Promise<Body[]> {
  starting ??= createRequire(import.meta.url)('occt-import-js')() as Promise<Importer>;
  const importer = await starting;
  const result: ImporterResult = importer.ReadStepFile(readFileSync(path), {
    linearUnit: 'millimeter',
    linearDeflectionType: 'absolute_value',
    linearDeflection: linear,
    angularDeflection: angular,
  });
  if (!result.success) throw new Error(`cannot read ${path}`);
  return result.meshes.map((mesh) => {
    const p = mesh.attributes.position.array;
    // Doubles within 1e-5 mm are one vertex.
    const weld = new Map<string, Point>();
    const corner = (i: number): Point => {
      const at: Point = [p[3 * i], p[3 * i + 1], p[3 * i + 2]];
      const key = at.map((c) => Math.round(c * 1e5)).join();
      const kept = weld.get(key);
      if (kept === undefined) weld.set(key, at);
      return kept ?? at;
    };
    const faces = mesh.brep_faces.map((f) => f.last - f.first + 1);
    const corners = mesh.brep_faces.flatMap((f) => mesh.index.array.slice(3 * f.first, 3 * f.last + 3).map(corner));
    return { ...bodyFromTriangles(corners, faces), name: mesh.name };
  });
}

/** Park & Miller's generator (1988), values in 0 .. 1. */
export function createRandom(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** A direction evenly over the sphere. */
export function randomDirection(random: () => number): [number, number, number] {
  const z = 2 * random() - 1;
  const a = 2 * Math.PI * random();
  const r = Math.sqrt(1 - z * z);
  return [r * Math.cos(a), r * Math.sin(a), z];
}

/** Angle between two directions, degrees, from the chord so that small angles keep their digits. */
export function degreesBetween(a: ArrayLike<number>, b: ArrayLike<number>, from = 0): number {
  const d = Math.hypot(a[from] - b[0], a[from + 1] - b[1], a[from + 2] - b[2]);
  return (2 * Math.asin(Math.min(1, d / 2)) * 180) / Math.PI;
}
