// A bounding volume hierarchy over a body's triangles (three-mesh-bvh) with our own ray-triangle test in double
// precision: the watertight one of Woop, Benthin & Wald 2013 (JCGT 2(1)), whose edge functions are the same bits for both
// triangles at an edge, so that no ray slips through between them. Positions are counted from the body's centre.
import { Box3, BufferAttribute, BufferGeometry, Vector3 } from 'three';
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

/** Builds the hierarchy: about 1.3 us a triangle. */
export function createMeshIndex(body: Body): MeshIndex {
  const centre = boxCentre(body.position);
  const position = body.position.map((x, i) => x - centre[i % 3]);
  const triangle = body.triangle;
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(position, 3));
  geometry.setIndex(new BufferAttribute(triangle, 1));
  const bvh = new MeshBVH(geometry, { indirect: true, targetLeafSize: 6 });
  const resolve = bvh.resolveTriangleIndex;
  const bounds = geometry.boundingBox ?? new Box3();
  // Boxes hold 32-bit numbers, rounded outward; this keeps rays along a box's face inside it.
  const slack = 1e-7 * bounds.min.distanceTo(bounds.max);

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

  const meetsBox = (box: Box3): boolean => {
    const { min, max } = box;
    const x1 = (min.x - slack - ox) * ix;
    const x2 = (max.x + slack - ox) * ix;
    const y1 = (min.y - slack - oy) * iy;
    const y2 = (max.y + slack - oy) * iy;
    const z1 = (min.z - slack - oz) * iz;
    const z2 = (max.z + slack - oz) * iz;
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
    hitSide = sum > 0 ? -1 : 1;
    return hitDistance >= from && hitDistance <= to;
  };

  const collector = {
    intersectsBounds: meetsBox,
    intersectsRange: (offset: number, count: number): boolean => {
      for (let i = offset; i < offset + count; i += 1) {
        const t = resolve(i);
        if (meetsTriangle(t)) push(hits, hitDistance, t, hitSide);
      }
      return false;
    },
  };
  const finder = {
    intersectsBounds: meetsBox,
    intersectsRange: (offset: number, count: number): boolean => {
      for (let i = offset; i < offset + count; i += 1) if (meetsTriangle(resolve(i))) return true;
      return false;
    },
  };

  const asked = new Box3();
  const other = new Box3();
  const boxFinder = {
    intersectsBounds: (box: Box3): boolean => box.intersectsBox(asked),
    intersectsRange: (offset: number, count: number): boolean => {
      for (let i = offset; i < offset + count; i += 1) {
        triangleBox(position, triangle, resolve(i), other);
        if (other.intersectsBox(asked)) return true;
      }
      return false;
    },
  };

  const point = new Vector3();
  const nearest = { point: new Vector3(), distance: 0, faceIndex: 0 };
  return {
    cast(o, d, near, far) {
      hits.count = 0;
      aim(o, d, near, far);
      bvh.shapecast(collector);
      sortHits(hits);
      return hits;
    },
    any(o, d, near, far) {
      aim(o, d, near, far);
      return bvh.shapecast(finder);
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
      asked.min.set(minX - centre[0], minY - centre[1], minZ - centre[2]);
      asked.max.set(maxX - centre[0], maxY - centre[1], maxZ - centre[2]);
      return bvh.shapecast(boxFinder);
    },
  };
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

function triangleBox(position: Float64Array, triangle: Uint32Array, t: number, box: Box3): void {
  box.makeEmpty();
  for (let k = 0; k < 3; k += 1) {
    const p = 3 * triangle[3 * t + k];
    box.min.set(
      Math.min(box.min.x, position[p]),
      Math.min(box.min.y, position[p + 1]),
      Math.min(box.min.z, position[p + 2]),
    );
    box.max.set(
      Math.max(box.max.x, position[p]),
      Math.max(box.max.y, position[p + 1]),
      Math.max(box.max.z, position[p + 2]),
    );
  }
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
