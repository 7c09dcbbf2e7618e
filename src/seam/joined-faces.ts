// A face and the faces that it goes on into smoothly, as one surface: what lies over a neighbour is on the neighbour's
// own surface; beyond the last border the surface that ends there goes on.
import type { BodyQuery } from '../geometry/body-query.ts';
import type { Surface } from '../geometry/surface.ts';
import { isSmoothEdge } from './smooth-edge.ts';

/** Faces farther away than so many smooth edges are not looked at. */
const DEPTH = 6;

/** A place farther than this from every face is beyond them all, mm. */
const REACH = 3;

export interface JoinedFaces {
  /** The surface of a face, gone on over its smooth neighbours. */
  surface(face: number): Surface;
  /** Of `face` and its smooth neighbours, recursively, the one that lies under the point (mm); `face` where none does. */
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
  const near = new Float64Array(6);
  const under = (face: number, x: number, y: number, z: number): number => {
    const members = group(face);
    if (members.size === 1) return face;
    const found = query.closest(x, y, z, REACH, near);
    return members.has(found) ? found : face;
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
        if (!own.project(x, y, z, out)) return false;
        const other = under(face, out[0], out[1], out[2]);
        return other === face || query.surface(other).project(x, y, z, out);
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
