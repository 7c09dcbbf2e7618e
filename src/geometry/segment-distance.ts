// Distance between a segment and the facets of a body: the tree of three-mesh-bvh, walked best first, with the tests of
// Ericson 2005 (Real-Time Collision Detection, 5.1.5 and 5.1.9) in double precision at its leaves.
import { Box3, BufferAttribute, BufferGeometry } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import type { Body } from '../model/part.ts';

/**
 * Smallest distance (mm) of the segment a[i..i+2] - b[j..j+2] from the facets, 0 where it passes through one; `reach`
 * where nothing is nearer. A segment wholly inside a closed body has a distance too: from its skin.
 */
export type SegmentDistance = (a: Float64Array, i: number, b: Float64Array, j: number, reach: number) => number;

/** Builds the tree: about 1.3 us a triangle. A body without triangles is infinitely far. */
export function segmentDistance(body: Pick<Body, 'position' | 'triangle'>): SegmentDistance {
  const { position, triangle } = body;
  if (triangle.length === 0) return (_a, _i, _b, _j, reach) => reach;
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(position, 3));
  geometry.setIndex(new BufferAttribute(triangle, 1));
  const tree = new MeshBVH(geometry, { indirect: true });
  const whole = tree.getBoundingBox(new Box3());
  const p = new Float64Array(3);
  const q = new Float64Array(3);
  let best = 0;
  const callbacks = {
    boundsTraverseOrder: (box: Box3): number => boxBound(box, p, q),
    intersectsBounds: (_box: Box3, _leaf: boolean, score: number | undefined): boolean => (score ?? 0) < best,
    intersectsRange: (offset: number, count: number): boolean => {
      for (let k = offset; k < offset + count; k++) {
        const t = 3 * tree.resolveTriangleIndex(k);
        const d = toTriangle(p, q, position, 3 * triangle[t], 3 * triangle[t + 1], 3 * triangle[t + 2]);
        if (d < best) best = d;
      }
      return best === 0;
    },
  };
  return (a, i, b, j, reach) => {
    for (let c = 0; c < 3; c++) {
      p[c] = a[i + c];
      q[c] = b[j + c];
    }
    best = reach;
    // Most of what moves in a cell is far from a part all the time: one look at the whole box will do.
    if (boxBound(whole, p, q) < reach) tree.shapecast(callbacks);
    return best;
  };
}

/** No point of the box is nearer to the segment than this: by the gaps along the axes, and by the box's bounding ball. */
function boxBound({ min, max }: Box3, p: Float64Array, q: Float64Array): number {
  const gx = Math.max(min.x - Math.max(p[0], q[0]), Math.min(p[0], q[0]) - max.x, 0);
  const gy = Math.max(min.y - Math.max(p[1], q[1]), Math.min(p[1], q[1]) - max.y, 0);
  const gz = Math.max(min.z - Math.max(p[2], q[2]), Math.min(p[2], q[2]) - max.z, 0);
  const hx = (max.x - min.x) / 2;
  const hy = (max.y - min.y) / 2;
  const hz = (max.z - min.z) / 2;
  const ball = Math.sqrt(hx * hx + hy * hy + hz * hz);
  const away = toPoint(p, q, min.x + hx, min.y + hy, min.z + hz) - ball;
  return Math.max(Math.sqrt(gx * gx + gy * gy + gz * gz), away);
}

/** Distance of the segment p - q from a point. */
function toPoint(p: Float64Array, q: Float64Array, x: number, y: number, z: number): number {
  const dx = q[0] - p[0];
  const dy = q[1] - p[1];
  const dz = q[2] - p[2];
  const l = dx * dx + dy * dy + dz * dz;
  const u = l > 0 ? clamp((dx * (x - p[0]) + dy * (y - p[1]) + dz * (z - p[2])) / l) : 0;
  const ex = p[0] + u * dx - x;
  const ey = p[1] + u * dy - y;
  const ez = p[2] + u * dz - z;
  return Math.sqrt(ex * ex + ey * ey + ez * ez);
}

const clamp = (u: number): number => Math.min(Math.max(u, 0), 1);

/** Distance of the segment p - q from the triangle with its corners at v[a..], v[b..], v[c..]; 0 where they cross. */
function toTriangle(p: Float64Array, q: Float64Array, v: Float64Array, a: number, b: number, c: number): number {
  const edges = Math.min(toEdge(p, q, v, a, b), toEdge(p, q, v, b, c), toEdge(p, q, v, c, a));
  const ux = v[b] - v[a];
  const uy = v[b + 1] - v[a + 1];
  const uz = v[b + 2] - v[a + 2];
  const wx = v[c] - v[a];
  const wy = v[c + 1] - v[a + 1];
  const wz = v[c + 2] - v[a + 2];
  const nx = uy * wz - uz * wy;
  const ny = uz * wx - ux * wz;
  const nz = ux * wy - uy * wx;
  const n = Math.sqrt(nx * nx + ny * ny + nz * nz);
  if (n === 0) return edges;
  // Heights of the ends over the plane; the nearest point off the edges lies over an end, or where the segment crosses.
  const hp = (nx * (p[0] - v[a]) + ny * (p[1] - v[a + 1]) + nz * (p[2] - v[a + 2])) / n;
  const hq = (nx * (q[0] - v[a]) + ny * (q[1] - v[a + 1]) + nz * (q[2] - v[a + 2])) / n;
  let least = edges;
  if (hp * hq < 0 && isOver(p, q, hp / (hp - hq), v, a, ux, uy, uz, wx, wy, wz, nx, ny, nz)) return 0;
  if (Math.abs(hp) < least && isOver(p, q, 0, v, a, ux, uy, uz, wx, wy, wz, nx, ny, nz)) least = Math.abs(hp);
  if (Math.abs(hq) < least && isOver(p, q, 1, v, a, ux, uy, uz, wx, wy, wz, nx, ny, nz)) least = Math.abs(hq);
  return least;
}

/**
 * Whether the point p + share (q - p) lies over the triangle with a corner at v[a..], sides u and w from there, and n = u x w. A function
 * of numbers only: it is asked millions of times, and a closure made anew for each triangle costs more than the test.
 */
function isOver(
  p: Float64Array,
  q: Float64Array,
  share: number,
  v: Float64Array,
  a: number,
  ux: number,
  uy: number,
  uz: number,
  wx: number,
  wy: number,
  wz: number,
  nx: number,
  ny: number,
  nz: number,
): boolean {
  const x = p[0] + share * (q[0] - p[0]) - v[a];
  const y = p[1] + share * (q[1] - p[1]) - v[a + 1];
  const z = p[2] + share * (q[2] - p[2]) - v[a + 2];
  const nn = nx * nx + ny * ny + nz * nz;
  const s = (nx * (y * wz - z * wy) + ny * (z * wx - x * wz) + nz * (x * wy - y * wx)) / nn;
  const t = (nx * (uy * z - uz * y) + ny * (uz * x - ux * z) + nz * (ux * y - uy * x)) / nn;
  return s >= 0 && t >= 0 && s + t <= 1;
}

/** Distance of the segments p - q and v[a..] - v[b..]. */
function toEdge(p: Float64Array, q: Float64Array, v: Float64Array, a: number, b: number): number {
  const dx = q[0] - p[0];
  const dy = q[1] - p[1];
  const dz = q[2] - p[2];
  const ex = v[b] - v[a];
  const ey = v[b + 1] - v[a + 1];
  const ez = v[b + 2] - v[a + 2];
  const rx = p[0] - v[a];
  const ry = p[1] - v[a + 1];
  const rz = p[2] - v[a + 2];
  const dd = dx * dx + dy * dy + dz * dz;
  const ee = ex * ex + ey * ey + ez * ez;
  const de = dx * ex + dy * ey + dz * ez;
  const dr = dx * rx + dy * ry + dz * rz;
  const er = ex * rx + ey * ry + ez * rz;
  const area = dd * ee - de * de;
  let s = area > 1e-12 * dd * ee ? clamp((de * er - dr * ee) / area) : 0;
  let t = ee > 0 ? (de * s + er) / ee : 0;
  if (t < 0 || t > 1) {
    t = clamp(t);
    s = dd > 0 ? clamp((de * t - dr) / dd) : 0;
  }
  const x = rx + s * dx - t * ex;
  const y = ry + s * dy - t * ey;
  const z = rz + s * dz - t * ez;
  return Math.sqrt(x * x + y * y + z * z);
}
