// Rays, closest points and boxes against a body: facets find, the faces' true surfaces answer. A ray that runs exactly
// through an edge or vertex and so gives entries and exits that do not alternate is asked again from a little beside.
import type { Body } from '../model/part.ts';
import type { BodyQuery, Crossings } from './body-query.ts';
import { createFittedSurface, type FittedSurface, GRAZING } from './fitted-surface.ts';
import { createMeshIndex, type Hits, type MeshIndex } from './mesh-index.ts';
import { recogniseSurface } from './recognise-surface.ts';
import { markSharpSides } from './sharp-sides.ts';
import type { Surface } from './surface.ts';

/** Facets may lie this far outside the asked stretch, mm, and polish into it. */
const WINDOW_SLACK = 0.1;
/** Hits this close, mm per mm of distance or of the body's size, are one crossing of an edge. */
const SAME_HIT = 1e-10;
/** Sideways offsets of a ray that is asked again, mm, in two directions normal to it. */
const NUDGES = [
  [1e-5, 3e-6],
  [-1.4e-5, 1.6e-5],
  [1e-5, -5e-5],
  [-9e-5, -6e-5],
] as const;
/** Polishing never moves a hit further along the surface's normal than this, mm. */
const FARTHEST_POLISH = 0.5;
/** A point at just the reach that is asked for is within it, relative. */
const REACHED = 1e-12;
/** A body with fewer open mesh edges a triangle than this is closed but for slivers. */
const CLOSED_SHARE = 0.01;

/** Empty crossings to hand to `cast`. */
export function createCrossings(): Crossings {
  return {
    count: 0,
    distance: new Float64Array(8),
    face: new Uint32Array(8),
    normal: new Float64Array(24),
    side: new Int8Array(8),
  };
}

/** Makes the query of a body. Hierarchy and surfaces are made when first needed. */
export function createBodyQuery(body: Body): BodyQuery {
  const surfaces: (Surface | undefined)[] = new Array(body.faces.length).fill(undefined);
  let kept: MeshIndex | undefined;
  let sharp: Uint8Array | undefined;
  const mesh = (): MeshIndex => {
    kept ??= createMeshIndex(body);
    return kept;
  };
  const surface = (face: number): Surface => {
    surfaces[face] ??= recogniseSurface(body, face) ?? createFittedSurface(body, face);
    return surfaces[face];
  };
  const closed = body.openEdges <= CLOSED_SHARE * (body.triangle.length / 3);
  const found = new Float64Array(6);
  const start = new Float64Array(3);
  const along = new Float64Array(3);

  /** Newton steps along the ray on the distance to a primitive; NaN where it grazes or does not settle. */
  const meet = (target: Surface, origin: Float64Array, direction: Float64Array, distance: number): number => {
    let t = distance;
    for (let step = 0; step < 20; step += 1) {
      const x = origin[0] + t * direction[0];
      const y = origin[1] + t * direction[1];
      const z = origin[2] + t * direction[2];
      if (!target.project(x, y, z, found)) break;
      const slope = direction[0] * found[3] + direction[1] * found[4] + direction[2] * found[5];
      if (!(Math.abs(slope) > GRAZING)) break;
      const height = (x - found[0]) * found[3] + (y - found[1]) * found[4] + (z - found[2]) * found[5];
      const move = height / slope;
      t -= move;
      if (Math.abs(move) < 1e-11 * (1 + Math.abs(t))) return t;
    }
    return Number.NaN;
  };

  /**
   * Moves a facet's hit onto the true surface: leaves point and normal in `found`, returns its distance. Where the ray
   * grazes the surface the facet's distance stays; the normal is the surface's next to it.
   */
  const polish = (origin: Float64Array, direction: Float64Array, triangle: number, distance: number): number => {
    const target = surface(body.faceOfTriangle[triangle]);
    const t = isFitted(target)
      ? target.meet(origin, direction, distance, found)
      : meet(target, origin, direction, distance);
    const slope = direction[0] * found[3] + direction[1] * found[4] + direction[2] * found[5];
    if (Math.abs((t - distance) * slope) <= FARTHEST_POLISH) return t;
    const x = origin[0] + distance * direction[0];
    const y = origin[1] + distance * direction[1];
    const z = origin[2] + distance * direction[2];
    if (!target.project(x, y, z, found)) facetNormal(body, triangle, found);
    return distance;
  };

  const write = (
    hits: Hits,
    origin: Float64Array,
    direction: Float64Array,
    near: number,
    far: number,
    out: Crossings,
  ) => {
    out.count = 0;
    let last = Number.NEGATIVE_INFINITY;
    for (let i = 0; i < hits.count; i += 1) {
      const t = Math.max(last, polish(origin, direction, hits.triangle[i], hits.distance[i]));
      last = t;
      if (t < near || t > far) continue;
      if (out.count === out.distance.length) grow(out);
      const k = out.count;
      out.distance[k] = t;
      out.face[k] = body.faceOfTriangle[hits.triangle[i]];
      out.normal[3 * k] = found[3];
      out.normal[3 * k + 1] = found[4];
      out.normal[3 * k + 2] = found[5];
      out.side[k] = hits.side[i];
      out.count = k + 1;
    }
  };

  return {
    body,
    surface,
    cast(origin, direction, near, far, out) {
      const index = mesh();
      let hits = index.cast(origin, direction, near - WINDOW_SLACK, far + WINDOW_SLACK);
      let sound = mergeHits(hits, closed);
      for (let attempt = 0; attempt < NUDGES.length && !sound; attempt += 1) {
        nudge(origin, direction, NUDGES[attempt], start);
        hits = index.cast(start, direction, near - WINDOW_SLACK, far + WINDOW_SLACK);
        sound = mergeHits(hits, closed);
      }
      write(hits, origin, direction, near, far, out);
      return sound;
    },
    blocks(ax, ay, az, bx, by, bz) {
      start[0] = ax;
      start[1] = ay;
      start[2] = az;
      along[0] = bx - ax;
      along[1] = by - ay;
      along[2] = bz - az;
      if (along[0] === 0 && along[1] === 0 && along[2] === 0) return false;
      return mesh().any(start, along, 0, 1);
    },
    closest(x, y, z, reach, out) {
      // A facet lies a little beside its surface: facets just beyond reach are looked at too.
      const triangle = mesh().closest(x, y, z, reach + WINDOW_SLACK, start);
      if (triangle < 0) return -1;
      const face = body.faceOfTriangle[triangle];
      const target = surface(face);
      sharp ??= markSharpSides(body);
      const [qx, qy, qz] = start;
      const away = Math.sqrt((x - qx) ** 2 + (y - qy) ** 2 + (z - qz) ** 2);
      // Beyond a sharp border the nearest point is on the border; elsewhere the foot on the smooth surface is nearer
      // than the facet's, as long as it is a foot near the facet's.
      const border = onSharpSide(body, sharp, triangle, start);
      const near = 0.5 * away + 0.1;
      const sound =
        (!border && target.project(x, y, z, out) && gap(out, start) <= near) ||
        (target.project(qx, qy, qz, out) && gap(out, start) <= near);
      if (!sound) {
        out[0] = qx;
        out[1] = qy;
        out[2] = qz;
        facetNormal(body, triangle, out);
      }
      const dx = out[0] - x;
      const dy = out[1] - y;
      const dz = out[2] - z;
      return dx * dx + dy * dy + dz * dz <= (reach * (1 + REACHED)) ** 2 ? face : -1;
    },
    near(minX, minY, minZ, maxX, maxY, maxZ) {
      return mesh().meets(minX, minY, minZ, maxX, maxY, maxZ);
    },
  };
}

function isFitted(surface: Surface): surface is FittedSurface {
  return surface.kind === 'fitted';
}

function grow(out: Crossings): void {
  const size = 2 * out.distance.length;
  const distance = new Float64Array(size);
  distance.set(out.distance);
  out.distance = distance;
  const face = new Uint32Array(size);
  face.set(out.face);
  out.face = face;
  const normal = new Float64Array(3 * size);
  normal.set(out.normal);
  out.normal = normal;
  const side = new Int8Array(size);
  side.set(out.side);
  out.side = side;
}

/**
 * Makes one hit of those that share a place and a side. False where hits of both sides share a place, or entries and
 * exits of a closed body do not alternate.
 */
function mergeHits(hits: Hits, closed: boolean): boolean {
  let kept = 0;
  let sound = true;
  for (let i = 0; i < hits.count; i += 1) {
    const d = hits.distance[i];
    if (kept > 0) {
      const same = d - hits.distance[kept - 1] <= SAME_HIT * (1 + Math.abs(d));
      if (same && hits.side[i] === hits.side[kept - 1]) continue;
      if (same || (closed && hits.side[i] === hits.side[kept - 1])) sound = false;
    }
    hits.distance[kept] = d;
    hits.triangle[kept] = hits.triangle[i];
    hits.side[kept] = hits.side[i];
    kept += 1;
  }
  hits.count = kept;
  return sound;
}

/** origin plus two offsets normal to the direction, to out. */
function nudge(origin: Float64Array, d: Float64Array, by: readonly [number, number], out: Float64Array): void {
  const sign = d[2] >= 0 ? 1 : -1;
  const f = -1 / (sign + d[2]);
  const g = d[0] * d[1] * f;
  out[0] = origin[0] + by[0] * (1 + sign * d[0] * d[0] * f) + by[1] * g;
  out[1] = origin[1] + by[0] * sign * g + by[1] * (sign + d[1] * d[1] * f);
  out[2] = origin[2] - by[0] * sign * d[0] - by[1] * d[1];
}

/** Distance of two points, mm. */
function gap(a: Float64Array, b: Float64Array): number {
  return Math.sqrt((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2 + (a[2] - b[2]) ** 2);
}

/** Unit normal of a facet to out[3..5]. */
function facetNormal(body: Body, triangle: number, out: Float64Array): void {
  const p = body.position;
  const a = 3 * body.triangle[3 * triangle];
  const b = 3 * body.triangle[3 * triangle + 1];
  const c = 3 * body.triangle[3 * triangle + 2];
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
  out[3] = x / l;
  out[4] = y / l;
  out[5] = z / l;
}

/** Rounding of a point computed on a side or corner, mm. */
const ON_SIDE = 1e-9;

/** Whether the point of the triangle lies on one of its sides or corners that are marked sharp. */
function onSharpSide(body: Body, sharp: Uint8Array, triangle: number, at: Float64Array): boolean {
  if (sharp[triangle] === 0) return false;
  const p = body.position;
  for (let k = 0; k < 3; k += 1) {
    const a = 3 * body.triangle[3 * triangle + k];
    const vx = at[0] - p[a];
    const vy = at[1] - p[a + 1];
    const vz = at[2] - p[a + 2];
    if ((sharp[triangle] & (8 << k)) !== 0 && vx * vx + vy * vy + vz * vz <= ON_SIDE * ON_SIDE) return true;
    if ((sharp[triangle] & (1 << k)) === 0) continue;
    const b = 3 * body.triangle[3 * triangle + ((k + 1) % 3)];
    const ux = p[b] - p[a];
    const uy = p[b + 1] - p[a + 1];
    const uz = p[b + 2] - p[a + 2];
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    if (x * x + y * y + z * z <= ON_SIDE * ON_SIDE * (ux * ux + uy * uy + uz * uz)) return true;
  }
  return false;
}
