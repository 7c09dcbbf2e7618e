// Whether the two faces of an edge go on smoothly into each other: by their surfaces' normals, not by facets.
import type { BodyQuery } from '../geometry/body-query.ts';
import { angleBetween } from '../geometry/vector.ts';
import { RAD_PER_DEG } from '../model/units.ts';

/** Faces whose normals differ by no more, at the middle of their edge, go on smoothly. */
const SMOOTH_FOLD = 5 * RAD_PER_DEG;

/** Facets fold by no more than this along an edge of smooth faces, however coarse they are. */
const FACET_FOLD = 40 * RAD_PER_DEG;

/** Whether the faces of edge `edge` go on smoothly, judged at its middle vertex; false along an open border. */
export function isSmoothEdge(query: BodyQuery, edge: number): boolean {
  const { vertex, faces, dihedral } = query.body.edges[edge];
  if (faces[1] < 0 || dihedral[0] > FACET_FOLD) return false;
  const v = 3 * vertex[vertex.length >> 1];
  const [x, y, z] = query.body.position.subarray(v, v + 3);
  const a = new Float64Array(6);
  const b = new Float64Array(6);
  const found = query.surface(faces[0]).project(x, y, z, a) && query.surface(faces[1]).project(x, y, z, b);
  return found && angleBetween(a, 3, b, 3) <= SMOOTH_FOLD;
}
