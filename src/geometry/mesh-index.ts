// A bounding volume hierarchy over a body's triangles, built by three-mesh-bvh and walked here with a ray-triangle test in
// double precision: the watertight one of Woop, Benthin & Wald 2013 (JCGT 2(1)), whose edge functions are the same bits
// for both triangles at an edge, so that no ray slips through between them. Positions are counted from the body's centre.
import { BufferAttribute, BufferGeometry, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import type { Body } from '../model/part.ts';

/** Crossings of one ray with the facets, unsorted until `sortHits`. */
export interface Hits {
  count: number;
  /** Distance in units of the direction's length. */
  distance: Float64Array;
  triangle: Uint32Array;
  /** +1 where the ray meets the facet's outer side, -1 its inner side. */
  side: Int8Array;
}

export interface MeshIndex {
  /** Collects all facets that the ray o + t d meets with t in [near, far] into `hits`, in order of t. */
  cast(o: readonly number[] | Float64Array, d: readonly number[] | Float64Array, near: number, far: number): Hits;
  /** Whether any facet lies on o + t d, t in [near, far]. */
  any(o: readonly number[] | Float64Array, d: readonly number[] | Float64Array, near: number, far: number): boolean;
  /** Nearest facet point within `reach`: writes it to out[0..2]; returns the triangle, or -1. */
  closest(x: number, y: number, z: number, reach: number, out: Float64Array): number;
  /** Whether the box of any triangle meets this box. */
  meets(minX: number, minY: number, minZ: number, maxX: number, maxY: number, maxZ: number): boolean;
}

/** Stands for 1 / 0 in the slab test: large, yet times zero it is zero. */
const HUGE = 1e300;

/**
 * The built tree: 32 bytes a node. Six 32-bit floats (lower corner, upper corner), then for a leaf its first entry in
 * `order` and its number of entries, for a branch how many nodes on its right child stands; the left one follows it.
 */
interface Tree {
  readonly bounds: Float32Array;
  readonly word: Uint32Array;
  readonly half: Uint16Array;
  /** Triangles in the order of the leaves. */
  readonly order: Uint32Array | Uint16Array;
}

const NODE = 8;
const LEAF = 0xffff;

/** Builds the hierarchy: about 1.3 us a triangle. */
export function createMeshIndex(body: Body): MeshIndex {
  const centre = boxCentre(body.position);
  const position = body.position.map((x, i) => x - centre[i % 3]);
  const triangle = body.triangle;
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(position, 3));
  geometry.setIndex(new BufferAttribute(triangle, 1));
  const bvh = new MeshBVH(geometry, { indirect: true });
  const { bounds, word, half, order } = openTree(bvh, triangle.length / 3);
  const size = Math.max(bounds[3] - bounds[0], bounds[4] - bounds[1], bounds[5] - bounds[2]);
  // Boxes hold 32-bit numbers, rounded outward; this keeps rays along a box's face inside it.
  const slack = 1e-7 * size;
  // A tree of depth d keeps at most d + 1 nodes waiting; the builder stops at depth 40.
  const waiting = new Uint32Array(64);

  const hits: Hits = {
    count: 0,
    distance: new Float64Array(16),
    triangle: new Uint32Array(16),
    side: new Int8Array(16),
  };

  // The ray being traced: origin, inverse direction, and the shear that makes it the z axis.
  let ox = 0;
  let oy = 0;
  let oz = 0;
  let ix = 0;
  let iy = 0;
  let iz = 0;
  let from = 0;
  let to = 0;
  let ax = 0;
  let ay = 1;
  let az = 2;
  let oa = 0;
  let ob = 0;
  let oc = 0;
  let shearX = 0;
  let shearY = 0;
  let shearZ = 0;
  let hitDistance = 0;
  let hitSide = 0;

  const aim = (o: readonly number[] | Float64Array, d: readonly number[] | Float64Array, near: number, far: number) => {
    ox = o[0] - centre[0];
    oy = o[1] - centre[1];
    oz = o[2] - centre[2];
    ix = d[0] === 0 ? HUGE : 1 / d[0];
    iy = d[1] === 0 ? HUGE : 1 / d[1];
    iz = d[2] === 0 ? HUGE : 1 / d[2];
    from = near;
    to = far;
    const x = Math.abs(d[0]);
    const y = Math.abs(d[1]);
    const z = Math.abs(d[2]);
    az = x > y && x > z ? 0 : y > z ? 1 : 2;
    ax = (az + 1) % 3;
    ay = (az + 2) % 3;
    if (d[az] < 0) [ax, ay] = [ay, ax];
    oa = o[ax] - centre[ax];
    ob = o[ay] - centre[ay];
    oc = o[az] - centre[az];
    shearX = d[ax] / d[az];
    shearY = d[ay] / d[az];
    shearZ = 1 / d[az];
  };

  const meetsBox = (n: number): boolean => {
    const x1 = (bounds[n] - slack - ox) * ix;
    const x2 = (bounds[n + 3] + slack - ox) * ix;
    const y1 = (bounds[n + 1] - slack - oy) * iy;
    const y2 = (bounds[n + 4] + slack - oy) * iy;
    const z1 = (bounds[n + 2] - slack - oz) * iz;
    const z2 = (bounds[n + 5] + slack - oz) * iz;
    const enter = Math.max(Math.min(x1, x2), Math.min(y1, y2), Math.min(z1, z2), from);
    const leave = Math.min(Math.max(x1, x2), Math.max(y1, y2), Math.max(z1, z2), to);
    return enter <= leave;
  };

  const meetsTriangle = (t: number): boolean => {
    const a = 3 * triangle[3 * t];
    const b = 3 * triangle[3 * t + 1];
    const c = 3 * triangle[3 * t + 2];
    const pz = position[a + az] - oc;
    const qz = position[b + az] - oc;
    const rz = position[c + az] - oc;
    const px = position[a + ax] - oa - shearX * pz;
    const py = position[a + ay] - ob - shearY * pz;
    const qx = position[b + ax] - oa - shearX * qz;
    const qy = position[b + ay] - ob - shearY * qz;
    const rx = position[c + ax] - oa - shearX * rz;
    const ry = position[c + ay] - ob - shearY * rz;
    const u = rx * qy - ry * qx;
    const v = px * ry - py * rx;
    const w = qx * py - qy * px;
    if ((u < 0 || v < 0 || w < 0) && (u > 0 || v > 0 || w > 0)) return false;
    const sum = u + v + w;
    if (sum === 0) return false;
    hitDistance = (shearZ * (u * pz + v * qz + w * rz)) / sum;
    hitSide = sum > 0 ? 1 : -1;
    return hitDistance >= from && hitDistance <= to;
  };

  /** Walks the ray through the tree; stops at the first facet, or collects all. */
  const walk = (stopAtFirst: boolean): boolean => {
    let top = 1;
    waiting[0] = 0;
    while (top > 0) {
      top -= 1;
      const n = waiting[top];
      if (!meetsBox(n)) continue;
      if (half[2 * n + 15] !== LEAF) {
        waiting[top] = n + NODE * word[n + 6];
        waiting[top + 1] = n + NODE;
        top += 2;
        continue;
      }
      const end = word[n + 6] + half[2 * n + 14];
      for (let i = word[n + 6]; i < end; i += 1) {
        if (!meetsTriangle(order[i])) continue;
        if (stopAtFirst) return true;
        push(hits, hitDistance, order[i], hitSide);
      }
    }
    return false;
  };

  /** Whether the box of any triangle meets the box from `low` to `high`. */
  const low = new Float64Array(3);
  const high = new Float64Array(3);
  const walkBox = (): boolean => {
    let top = 1;
    waiting[0] = 0;
    while (top > 0) {
      top -= 1;
      const n = waiting[top];
      if (bounds[n] > high[0] || bounds[n + 1] > high[1] || bounds[n + 2] > high[2]) continue;
      if (bounds[n + 3] < low[0] || bounds[n + 4] < low[1] || bounds[n + 5] < low[2]) continue;
      if (half[2 * n + 15] !== LEAF) {
        waiting[top] = n + NODE * word[n + 6];
        waiting[top + 1] = n + NODE;
        top += 2;
        continue;
      }
      const end = word[n + 6] + half[2 * n + 14];
      for (let i = word[n + 6]; i < end; i += 1) if (boxMeets(position, triangle, order[i], low, high)) return true;
    }
    return false;
  };

  const point = new Vector3();
  const nearest = { point: new Vector3(), distance: 0, faceIndex: 0 };
  return {
    cast(o, d, near, far) {
      hits.count = 0;
      aim(o, d, near, far);
      walk(false);
      sortHits(hits);
      return hits;
    },
    any(o, d, near, far) {
      aim(o, d, near, far);
      return walk(true);
    },
    closest(x, y, z, reach, out) {
      point.set(x - centre[0], y - centre[1], z - centre[2]);
      // The bound is exclusive: a hair more lets a point at just that distance in.
      const found = bvh.closestPointToPoint(point, nearest, 0, reach * (1 + 1e-12));
      if (found === null) return -1;
      out[0] = nearest.point.x + centre[0];
      out[1] = nearest.point.y + centre[1];
      out[2] = nearest.point.z + centre[2];
      return nearest.faceIndex;
    },
    meets(minX, minY, minZ, maxX, maxY, maxZ) {
      low.set([minX - centre[0], minY - centre[1], minZ - centre[2]]);
      high.set([maxX - centre[0], maxY - centre[1], maxZ - centre[2]]);
      return walkBox();
    },
  };
}

/** The arrays of a built tree; throws where the library's layout is not the one described at `Tree`. */
function openTree(bvh: MeshBVH, triangles: number): Tree {
  const { roots, indirectBuffer } = MeshBVH.serialize(bvh, { cloneBuffers: false }) as unknown as {
    readonly roots: readonly ArrayBuffer[];
    readonly indirectBuffer: Uint32Array | Uint16Array;
  };
  const [root] = roots;
  const tree = {
    bounds: new Float32Array(root),
    word: new Uint32Array(root),
    half: new Uint16Array(root),
    order: indirectBuffer,
  };
  let leaves = 0;
  for (let n = 0; n < tree.word.length; n += NODE) {
    if (tree.half[2 * n + 15] === LEAF) leaves += tree.half[2 * n + 14];
  }
  if (roots.length !== 1 || leaves !== triangles || indirectBuffer.length !== triangles) {
    throw new Error('the bounding volume hierarchy has a layout that this version does not know');
  }
  return tree;
}

function boxCentre(position: Float64Array): [number, number, number] {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < position.length; i += 1) {
    low[i % 3] = Math.min(low[i % 3], position[i]);
    high[i % 3] = Math.max(high[i % 3], position[i]);
  }
  return [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2];
}

function boxMeets(p: Float64Array, triangle: Uint32Array, t: number, low: Float64Array, high: Float64Array): boolean {
  const a = 3 * triangle[3 * t];
  const b = 3 * triangle[3 * t + 1];
  const c = 3 * triangle[3 * t + 2];
  for (let k = 0; k < 3; k += 1) {
    if (Math.min(p[a + k], p[b + k], p[c + k]) > high[k] || Math.max(p[a + k], p[b + k], p[c + k]) < low[k])
      return false;
  }
  return true;
}

function push(hits: Hits, distance: number, triangle: number, side: number): void {
  if (hits.count === hits.distance.length) {
    const grown = 2 * hits.count;
    const distances = new Float64Array(grown);
    distances.set(hits.distance);
    hits.distance = distances;
    const triangles = new Uint32Array(grown);
    triangles.set(hits.triangle);
    hits.triangle = triangles;
    const sides = new Int8Array(grown);
    sides.set(hits.side);
    hits.side = sides;
  }
  hits.distance[hits.count] = distance;
  hits.triangle[hits.count] = triangle;
  hits.side[hits.count] = side;
  hits.count += 1;
}

/** Insertion sort by distance, then by triangle: a ray meets few facets. */
function sortHits(hits: Hits): void {
  for (let i = 1; i < hits.count; i += 1) {
    const d = hits.distance[i];
    const t = hits.triangle[i];
    const s = hits.side[i];
    let j = i - 1;
    while (j >= 0 && (hits.distance[j] > d || (hits.distance[j] === d && hits.triangle[j] > t))) {
      hits.distance[j + 1] = hits.distance[j];
      hits.triangle[j + 1] = hits.triangle[j];
      hits.side[j + 1] = hits.side[j];
      j -= 1;
    }
    hits.distance[j + 1] = d;
    hits.triangle[j + 1] = t;
    hits.side[j + 1] = s;
  }
}
