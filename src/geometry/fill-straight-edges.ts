// Points along the straight edges of a face: an edge of two vertices is a line of the model, and often all that is known of
// a narrow face between its rims.
import type { Body } from '../model/part.ts';
import type { FacePoints } from './face-points.ts';

/** Points put on one edge. */
const BETWEEN = 7;

/** The points of face `face` with points on its straight edges added after its own; the same record where it has none. */
export function fillStraightEdges(points: FacePoints, body: Body, face: number): FacePoints {
  const ends = body.edges
    .filter(({ faces, vertex }) => faces.includes(face) && vertex.length === 2)
    .map(({ vertex }) => [pointAt(points, body, vertex[0]), pointAt(points, body, vertex[1])] as const);
  if (ends.length === 0) return points;
  const added = ends.length * BETWEEN;
  const own = 3 * points.count;
  const position = new Float64Array(own + 3 * added);
  const normal = new Float64Array(own + 3 * added);
  position.set(points.position);
  normal.set(points.normal);
  ends.forEach(([a, b], e) => {
    for (let k = 0; k < BETWEEN; k += 1) {
      const f = (k + 1) / (BETWEEN + 1);
      const at = own + 3 * (e * BETWEEN + k);
      const mean = [0, 1, 2].map((j) => (1 - f) * points.normal[3 * a + j] + f * points.normal[3 * b + j]);
      const l = Math.sqrt(mean[0] * mean[0] + mean[1] * mean[1] + mean[2] * mean[2]);
      for (let j = 0; j < 3; j += 1) {
        position[at + j] = (1 - f) * points.position[3 * a + j] + f * points.position[3 * b + j];
        normal[at + j] = mean[j] / l;
      }
    }
  });
  const border = new Uint8Array(points.count + added).fill(1);
  return { ...points, count: points.count + added, position, normal, border };
}

/** Index in the points of a vertex of the body. */
function pointAt({ count, position, centre }: FacePoints, body: Body, vertex: number): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < count; i += 1) {
    let d = 0;
    for (let k = 0; k < 3; k += 1) d += (position[3 * i + k] + centre[k] - body.position[3 * vertex + k]) ** 2;
    if (d >= least) continue;
    least = d;
    best = i;
  }
  return best;
}
