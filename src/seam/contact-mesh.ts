// The facets of a body next to another body, split until none is long: what a region of contact is cut out of. Splitting
// puts a corner in the middle of every long side, on the face's true surface, so that neighbours stay neighbours.
import type { BodyQuery } from '../geometry/body-query.ts';
import type { Surface } from '../geometry/surface.ts';
import type { Task } from '../model/task.ts';
import { createFacesOther } from './facing-facets.ts';

/** Sides are split until they are no longer than this, mm: contact narrower than that may be missed inside a face. */
const LONGEST_SIDE = 0.75;

/** More facets than this are not made: sides stay longer on large faces. */
const MOST_FACETS = 60_000;

/** Rounds of splitting: a side of a metre takes eleven. */
const ROUNDS = 24;

export interface ContactMesh {
  /** Corners, 3 x n, mm; those of the body first. */
  readonly position: readonly number[];
  /** Corners of the facets, 3 x m, counter-clockwise from outside, and their faces, m. */
  readonly corner: readonly number[];
  readonly face: readonly number[];
  /** Edge of the body that a side lies on, -1 where it lies inside a face. */
  edgeOf(a: number, b: number): number;
}

/** One number for the two ends of a side, whichever way it runs. */
export function sideKey(a: number, b: number): number {
  return a < b ? a * 2 ** 26 + b : b * 2 ** 26 + a;
}

/** Facets of `own` that lie within `tolerance` (mm) of `other`, split. */
export async function createContactMesh(
  own: BodyQuery,
  other: BodyQuery,
  surfaceOf: (face: number) => Surface,
  tolerance: number,
  task: Task,
): Promise<ContactMesh> {
  const { body } = own;
  const position: number[] = Array.from(body.position);
  const edges = new Map<number, number>();
  body.edges.forEach(({ vertex, closed }, edge) => {
    for (let i = closed ? 0 : 1; i < vertex.length; i++) {
      edges.set(sideKey(vertex[(i + vertex.length - 1) % vertex.length], vertex[i]), edge);
    }
  });
  const facesOther = await createFacesOther(own, other, tolerance, task);
  let corner: number[] = [];
  let face: number[] = [];
  for (let t = 0; t < body.faceOfTriangle.length; t++) {
    if (t % 512 === 0) await task.pause('looking for contact', 0.25 + t / body.faceOfTriangle.length / 4);
    const [a, b, c] = body.triangle.subarray(3 * t, 3 * t + 3);
    if (!facesOther(position, a, b, c)) continue;
    corner.push(a, b, c);
    face.push(body.faceOfTriangle[t]);
  }
  const foot = new Float64Array(6);
  const sizeOf = (a: number, b: number): number => {
    const x = position[3 * a] - position[3 * b];
    const y = position[3 * a + 1] - position[3 * b + 1];
    const z = position[3 * a + 2] - position[3 * b + 2];
    return Math.sqrt(x * x + y * y + z * z);
  };
  for (let round = 0; round < ROUNDS && face.length > 0; round++) {
    const longest = Math.max(LONGEST_SIDE, Math.sqrt((2.5 * areaOf(position, corner)) / MOST_FACETS));
    const middles = new Map<number, number>();
    const middleOf = (a: number, b: number, f: number): number => {
      if (sizeOf(a, b) <= longest) return -1;
      const key = sideKey(a, b);
      const known = middles.get(key);
      if (known !== undefined) return known;
      const made = position.length / 3;
      const x = (position[3 * a] + position[3 * b]) / 2;
      const y = (position[3 * a + 1] + position[3 * b + 1]) / 2;
      const z = (position[3 * a + 2] + position[3 * b + 2]) / 2;
      if (surfaceOf(f).project(x, y, z, foot)) position.push(foot[0], foot[1], foot[2]);
      else position.push(x, y, z);
      middles.set(key, made);
      const edge = edges.get(key);
      if (edge !== undefined) {
        edges.set(sideKey(a, made), edge);
        edges.set(sideKey(made, b), edge);
      }
      return made;
    };
    const corners: number[] = [];
    const faces: number[] = [];
    const keep = (f: number, a: number, b: number, c: number): void => {
      if (!facesOther(position, a, b, c)) return;
      corners.push(a, b, c);
      faces.push(f);
    };
    for (let t = 0; t < face.length; t++) {
      if (t % 512 === 0) await task.pause('looking for contact', 0.5);
      splitFacet(
        corner,
        3 * t,
        (a, b) => middleOf(a, b, face[t]),
        (a, b, c) => keep(face[t], a, b, c),
      );
    }
    corner = corners;
    face = faces;
    if (middles.size === 0) break;
  }
  return { position, corner, face, edgeOf: (a, b) => edges.get(sideKey(a, b)) ?? -1 };
}

/** Cuts a facet at the middles of its sides, as many as there are (-1: none). */
function splitFacet(
  corner: readonly number[],
  t: number,
  middleOf: (a: number, b: number) => number,
  keep: (a: number, b: number, c: number) => void,
): void {
  let [a, b, c] = [corner[t], corner[t + 1], corner[t + 2]];
  let [ab, bc, ca] = [middleOf(a, b), middleOf(b, c), middleOf(c, a)];
  const split = (ab < 0 ? 0 : 1) + (bc < 0 ? 0 : 1) + (ca < 0 ? 0 : 1);
  if (split === 0) {
    keep(a, b, c);
    return;
  }
  // Turned so that the first side is split, and of two the last is not.
  while (ab < 0 || (split === 2 && ca >= 0)) {
    [a, b, c] = [b, c, a];
    [ab, bc, ca] = [bc, ca, ab];
  }
  if (split === 1) {
    keep(a, ab, c);
    keep(ab, b, c);
  } else if (split === 2) {
    keep(ab, b, bc);
    keep(a, ab, bc);
    keep(a, bc, c);
  } else {
    keep(a, ab, ca);
    keep(ab, b, bc);
    keep(ca, bc, c);
    keep(ab, bc, ca);
  }
}

function areaOf(position: readonly number[], corner: readonly number[]): number {
  let sum = 0;
  for (let t = 0; t < corner.length; t += 3) sum += facetArea(position, corner[t], corner[t + 1], corner[t + 2]);
  return sum;
}

/** Area of a triangle between three corners, mm2. */
export function facetArea(p: readonly number[], a: number, b: number, c: number): number {
  const ux = p[3 * b] - p[3 * a];
  const uy = p[3 * b + 1] - p[3 * a + 1];
  const uz = p[3 * b + 2] - p[3 * a + 2];
  const vx = p[3 * c] - p[3 * a];
  const vy = p[3 * c + 1] - p[3 * a + 1];
  const vz = p[3 * c + 2] - p[3 * a + 2];
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  return Math.sqrt(x * x + y * y + z * z) / 2;
}
