// The vertices and facets of one face, gathered once: what recognition and local fits start from.
import type { Body } from '../model/part.ts';

export interface FacePoints {
  /** Number of distinct vertices, n. */
  readonly count: number;
  /** Positions, 3 x n, mm, less `centre`. */
  readonly position: Float64Array;
  /** Mean of the vertices, mm. */
  readonly centre: readonly [number, number, number];
  /** Largest distance of a vertex from the centre, mm. */
  readonly size: number;
  /** 1 where the vertex lies on the face's border, n. */
  readonly border: Uint8Array;
  /** Mean of the adjoining facets' unit normals, weighted with area, normalised; 3 x n. */
  readonly normal: Float64Array;
  /** Vertices of the face's triangles, 3 x triangles. */
  readonly corner: Uint32Array;
  /** Number of facets with an area, m. */
  readonly facets: number;
  /** Centroid, less `centre`, and unit normal of each facet, 3 x m each; area, m, mm2. */
  readonly facetCentre: Float64Array;
  readonly facetNormal: Float64Array;
  readonly facetArea: Float64Array;
  /** Sum of the facets' areas, mm2. */
  readonly area: number;
}

/** Gathers face `face` of `body`. A face without triangles gives zero counts. */
export function gatherFacePoints(body: Body, face: number): FacePoints {
  const { firstTriangle, triangleCount } = body.faces[face];
  const local = new Map<number, number>();
  const corner = new Uint32Array(3 * triangleCount);
  for (let k = 0; k < corner.length; k += 1) {
    const vertex = body.triangle[3 * firstTriangle + k];
    let i = local.get(vertex);
    if (i === undefined) {
      i = local.size;
      local.set(vertex, i);
    }
    corner[k] = i;
  }
  const count = local.size;
  const position = new Float64Array(3 * count);
  const centre: [number, number, number] = [0, 0, 0];
  for (const [vertex, i] of local) {
    for (let k = 0; k < 3; k += 1) {
      position[3 * i + k] = body.position[3 * vertex + k];
      centre[k] += position[3 * i + k] / count;
    }
  }
  let size2 = 0;
  for (let i = 0; i < count; i += 1) {
    for (let k = 0; k < 3; k += 1) position[3 * i + k] -= centre[k];
    size2 = Math.max(size2, position[3 * i] ** 2 + position[3 * i + 1] ** 2 + position[3 * i + 2] ** 2);
  }
  const points = {
    count,
    position,
    centre,
    size: Math.sqrt(size2),
    border: markBorder(corner, count),
    normal: new Float64Array(3 * count),
    corner,
    facets: 0,
    facetCentre: new Float64Array(3 * triangleCount),
    facetNormal: new Float64Array(3 * triangleCount),
    facetArea: new Float64Array(triangleCount),
    area: 0,
  };
  measureFacets(points);
  return points;
}

/** Marks both ends of every mesh edge that only one of the face's triangles has. */
function markBorder(corner: Uint32Array, count: number): Uint8Array {
  const uses = new Map<number, number>();
  for (let t = 0; t < corner.length; t += 3) {
    for (let k = 0; k < 3; k += 1) {
      const a = corner[t + k];
      const b = corner[t + ((k + 1) % 3)];
      const key = a < b ? a * count + b : b * count + a;
      uses.set(key, (uses.get(key) ?? 0) + 1);
    }
  }
  const border = new Uint8Array(count);
  for (const [key, n] of uses) {
    if (n !== 1) continue;
    border[Math.floor(key / count)] = 1;
    border[key % count] = 1;
  }
  return border;
}

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

function measureFacets(points: Mutable<FacePoints>): void {
  const { position: p, normal, corner, facetCentre, facetNormal, facetArea } = points;
  let m = 0;
  for (let t = 0; t < corner.length; t += 3) {
    const a = 3 * corner[t];
    const b = 3 * corner[t + 1];
    const c = 3 * corner[t + 2];
    const ux = p[b] - p[a];
    const uy = p[b + 1] - p[a + 1];
    const uz = p[b + 2] - p[a + 2];
    const vx = p[c] - p[a];
    const vy = p[c + 1] - p[a + 1];
    const vz = p[c + 2] - p[a + 2];
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const l = Math.sqrt(x * x + y * y + z * z);
    if (!(l > 0)) continue;
    for (let k = 0; k < 3; k += 1) facetCentre[3 * m + k] = (p[a + k] + p[b + k] + p[c + k]) / 3;
    facetNormal.set([x / l, y / l, z / l], 3 * m);
    facetArea[m] = l / 2;
    points.area += l / 2;
    for (const v of [a, b, c]) {
      normal[v] += x;
      normal[v + 1] += y;
      normal[v + 2] += z;
    }
    m += 1;
  }
  points.facets = m;
  for (let v = 0; v < normal.length; v += 3) {
    const l = Math.sqrt(normal[v] ** 2 + normal[v + 1] ** 2 + normal[v + 2] ** 2);
    if (!(l > 0)) continue;
    normal[v] /= l;
    normal[v + 1] /= l;
    normal[v + 2] /= l;
  }
}
