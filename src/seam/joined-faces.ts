// A face and the faces that it goes on into smoothly, as one surface: what lies over a neighbour is on the neighbour's
// own surface; beyond the last border the surface that ends there goes on.
import type { BodyQuery } from '../geometry/body-query.ts';
import { createMeshIndex } from '../geometry/mesh-index.ts';
import type { Surface } from '../geometry/surface.ts';
import type { Body } from '../model/part.ts';
import { isSmoothEdge } from './smooth-edge.ts';

/** Faces farther away than so many smooth edges are not looked at. */
const DEPTH = 6;

/** A place farther than this from every face is beyond them all, mm. */
const REACH = 5;

export interface JoinedFaces {
  /** The surface of a face, gone on over its smooth neighbours. */
  surface(face: number): Surface;
  /** Of `face` and its smooth neighbours, recursively, the one closest to the point (mm); `face` where all are far. */
  under(face: number, x: number, y: number, z: number): number;
  /** `face` and its smooth neighbours, recursively. */
  group(face: number): ReadonlySet<number>;
}

export function createJoinedFaces(query: BodyQuery): JoinedFaces {
  const { body } = query;
  const edgesOf = new Map<number, number[]>();
  body.edges.forEach(({ faces }, edge) => {
    for (const face of faces) {
      if (face < 0 || faces[1] < 0) continue;
      const list = edgesOf.get(face) ?? [];
      edgesOf.set(face, list);
      list.push(edge);
    }
  });
  const smooth = new Map<number, boolean>();
  const isSmooth = (edge: number): boolean => {
    const known = smooth.get(edge) ?? isSmoothEdge(query, edge);
    smooth.set(edge, known);
    return known;
  };
  const groups = new Map<number, ReadonlySet<number>>();
  const group = (face: number): ReadonlySet<number> => {
    const known = groups.get(face);
    if (known !== undefined) return known;
    const members = new Set([face]);
    let ring = [face];
    for (let depth = 0; depth < DEPTH && ring.length > 0; depth++) {
      const next: number[] = [];
      for (const at of ring) {
        for (const edge of edgesOf.get(at) ?? []) {
          const [one, two] = body.edges[edge].faces;
          const other = one === at ? two : one;
          if (members.has(other) || !isSmooth(edge)) continue;
          members.add(other);
          next.push(other);
        }
      }
      ring = next;
    }
    groups.set(face, members);
    return members;
  };
  const indices = new Map<string, GroupIndex>();
  const indexOf = (members: ReadonlySet<number>): GroupIndex => {
    const key = [...members].sort((a, b) => a - b).join();
    const index = indices.get(key) ?? createGroupIndex(body, members);
    indices.set(key, index);
    return index;
  };
  const under = (face: number, x: number, y: number, z: number): number => {
    const members = group(face);
    if (members.size === 1) return face;
    const found = indexOf(members)(x, y, z);
    return found < 0 ? face : found;
  };
  const surfaces = new Map<number, Surface>();
  const surface = (face: number): Surface => {
    const known = surfaces.get(face);
    if (known !== undefined) return known;
    const own = query.surface(face);
    const joined: Surface = {
      kind: own.kind,
      residual: own.residual,
      parameters: own.parameters,
      project(x, y, z, out) {
        const over = under(face, x, y, z);
        if (over !== face) return query.surface(over).project(x, y, z, out);
        return own.project(x, y, z, out);
      },
      normalCurvature: (x, y, z, tx, ty, tz) =>
        query.surface(under(face, x, y, z)).normalCurvature(x, y, z, tx, ty, tz),
    };
    surfaces.set(face, joined);
    return joined;
  };
  return {
    // A lone face's surface is handed out as it is.
    surface: (face) => (group(face).size === 1 ? query.surface(face) : surface(face)),
    under,
    group,
  };
}

/** Face of the group whose facets are closest to a place, or -1. */
type GroupIndex = (x: number, y: number, z: number) => number;

function createGroupIndex(body: Body, members: ReadonlySet<number>): GroupIndex {
  const kept = [...body.faceOfTriangle.keys()].filter((t) => members.has(body.faceOfTriangle[t]));
  const triangle = Uint32Array.from(kept.flatMap((t) => [...body.triangle.subarray(3 * t, 3 * t + 3)]));
  const index = createMeshIndex({ ...body, triangle });
  const near = new Float64Array(3);
  return (x, y, z) => {
    const found = index.closest(x, y, z, REACH, near);
    return found < 0 ? -1 : body.faceOfTriangle[kept[found]];
  };
}
