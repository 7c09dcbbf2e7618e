// Faces of a mesh that comes without any: regions of triangles that meet at less than a feature angle.
import { RAD_PER_DEG } from '../model/units.ts';
import { computeFacetNormals, facetAngle } from './facet-normals.ts';
import type { MeshEdges } from './mesh-edges.ts';

/** Neighbouring triangles that fold by more than this belong to different faces, rad. */
const FEATURE_ANGLE = 30 * RAD_PER_DEG;

/** Face of each triangle, numbered by each face's first triangle; flat triangles go with a neighbour. */
export function growFaces(
  position: Float64Array,
  triangle: Uint32Array,
  edges: MeshEdges,
): { readonly faceOfTriangle: Uint32Array; readonly faceCount: number } {
  const n = triangle.length / 3;
  const normal = computeFacetNormals(position, triangle);
  const parent = new Uint32Array(n).map((_, i) => i);
  const root = (t: number): number => {
    let r = t;
    while (parent[r] !== r) r = parent[r];
    for (let p = t; parent[p] !== r; ) [p, parent[p]] = [parent[p], r];
    return r;
  };
  const flat = (t: number): boolean => Number.isNaN(normal[3 * t]);
  const join = (t: number, u: number): void => {
    const a = root(t);
    const b = root(u);
    // The smaller index stays the root: a face is known by its first triangle.
    if (a < b) parent[b] = a;
    else parent[a] = b;
  };
  const smooth = (e: number): boolean =>
    edges.uses[e] === 2 && facetAngle(normal, edges.left[e], edges.right[e]) <= FEATURE_ANGLE;
  for (let e = 0; e < edges.count; e++) if (smooth(e)) join(edges.left[e], edges.right[e]);
  // A flat triangle joins one side only, else it would bridge a fold.
  const placed = new Uint8Array(n);
  for (let e = 0; e < edges.count; e++) {
    const t = edges.left[e];
    const u = edges.right[e];
    if (t < 0 || u < 0 || flat(t) === flat(u)) continue;
    const thin = flat(t) ? t : u;
    if (!placed[thin]) join(t, u);
    placed[thin] = 1;
  }

  const number = new Map<number, number>();
  const faceOfTriangle = new Uint32Array(n);
  for (let t = 0; t < n; t++) {
    const r = root(t);
    if (!number.has(r)) number.set(r, number.size);
    faceOfTriangle[t] = number.get(r) as number;
  }
  return { faceOfTriangle, faceCount: number.size };
}
