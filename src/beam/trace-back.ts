// Finds what the light passes on its way to the joint: a ray from the joint against the light, from body to body, refracted
// at every surface that it crosses (Snell's law; the path of light can be reversed). Also decides whether the layer lies on
// the joint, where no surface is left between them, or a gap of air does.
import type { BodyQuery, Crossings } from '../geometry/body-query.ts';
import { createCrossings } from '../geometry/mesh-body-query.ts';
import type { Surface } from '../geometry/surface.ts';
import { addScaled, copy, dot, scale, set } from '../geometry/vector.ts';
import { type LightPath, MOST_SURFACES } from './light-path.ts';
import { refract } from './refraction.ts';

/** A body that light passes. */
export interface ClearBody {
  readonly query: BodyQuery;
  readonly index: number;
  /** 1/mm */
  readonly extinction: number;
  /** What scattering adds to the spot's radius per way, mm/mm. */
  readonly widening: number;
  /** A transmissive body: its walls are layers. A clear clamp is none. */
  readonly layer: boolean;
}

/** A stated plane-parallel layer on the joint. */
export interface StatedLayer {
  readonly thickness: number;
  readonly index: number;
  readonly extinction: number;
  readonly widening: number;
}

/** `uncovered`: no wall of a transmissive body lies over the joint. `unknown`: a ray gave no trustworthy answer. */
export type Trace = 'through' | 'uncovered' | 'unknown';

/** A gap below this is contact for the ray, mm: no surface is left there. */
const TOUCHING = 0.01;
/** How far below the joint the search for a layer that overlaps it begins, and where it ends when that is not enough, mm. */
const BELOW = 0.3;
const DEEP = 10;
/** A body that lies on another may reach into it by this much, mm. */
const OVERLAP = 0.02;
/** Nothing thinner than this is a wall, mm. */
const THINNEST = 1e-3;

/** Room for one trace. */
export interface TraceRoom {
  readonly origin: Float64Array;
  readonly outward: Float64Array;
  readonly crossings: Crossings;
  readonly wall: Wall;
}

/** The nearest wall ahead: where the ray against the light enters and leaves it. */
interface Wall {
  body: number;
  /** -Infinity where the search began inside the body. */
  enter: number;
  leave: number;
  enterFace: number;
  leaveFace: number;
  readonly enterNormal: Float64Array;
  readonly leaveNormal: Float64Array;
}

export function createTraceRoom(): TraceRoom {
  return {
    origin: new Float64Array(3),
    outward: new Float64Array(3),
    crossings: createCrossings(),
    wall: {
      body: -1,
      enter: 0,
      leave: 0,
      enterFace: 0,
      leaveFace: 0,
      enterNormal: new Float64Array(3),
      leaveNormal: new Float64Array(3),
    },
  };
}

/**
 * Fills `path` with all surfaces between `joint` (3, mm, unit `normal` 3 towards the head) and the head, `far` mm away, for
 * light that arrives at the joint along the unit direction `arriving` (3), in whichever medium lies there. A stated layer
 * stands in for transmissive bodies.
 */
export function traceBack(
  path: LightPath,
  joint: Float64Array,
  normal: Float64Array,
  arriving: Float64Array,
  far: number,
  bodies: readonly ClearBody[],
  stated: StatedLayer | null,
  room: TraceRoom,
): Trace {
  const { origin, outward, wall } = room;
  path.surfaces = 0;
  path.walls = 0;
  path.rawGap = Number.NaN;
  copy(joint, 0, origin, 0);
  set(outward, 0, -arriving[0], -arriving[1], -arriving[2]);
  air(path);
  if (stated !== null && !passStated(path, normal, stated, room)) return 'unknown';

  let last = stated === null ? -1 : bodies.length;
  for (;;) {
    const near = last < 0 ? -BELOW : -OVERLAP;
    if (!findWall(room, bodies, near, last, far)) return 'unknown';
    if (wall.body < 0) break;
    const body = bodies[wall.body];
    const touches = last < 0 && body.layer && wall.enter <= TOUCHING;
    if (body.layer && path.walls++ === 0) {
      const gap = touches && wall.enter === -Infinity ? depth(room, body.query) : wall.enter;
      path.rawGap = gap + waySoFar(path);
    }
    if (touches) enterMedium(path, body);
    else if (!enterBody(path, body, far, room)) return 'unknown';
    const surface = body.query.surface(wall.leaveFace);
    if (!cross(path, surface, wall.leave, wall.leaveNormal, room)) return 'unknown';
    last = wall.body;
  }
  const { light, surfaces } = path;
  set(light, 3 * surfaces, -outward[0], -outward[1], -outward[2]);
  const covers = stated !== null || path.walls > 0 || !bodies.some((body) => body.layer);
  return covers ? 'through' : 'uncovered';
}

/** Makes the medium above the last surface air. */
function air(path: LightPath): void {
  path.index[path.surfaces] = 1;
  path.extinction[path.surfaces] = 0;
  path.widening[path.surfaces] = 0;
  path.layer[path.surfaces] = 0;
}

function enterMedium(path: LightPath, body: ClearBody): void {
  path.index[path.surfaces] = body.index;
  path.extinction[path.surfaces] = body.extinction;
  path.widening[path.surfaces] = body.widening;
  path.layer[path.surfaces] = body.layer ? 1 : 0;
}

/** Length of the way so far, mm. */
function waySoFar(path: LightPath): number {
  let sum = 0;
  for (let k = 0; k < path.surfaces; k++) sum += path.length[k];
  return sum;
}

/**
 * Crosses the surface at `distance` along the ray into air, or into what the path already holds as the medium above it:
 * records it, goes there, refracts. False on total reflection or when there are too many surfaces.
 */
function cross(
  path: LightPath,
  surface: Surface,
  distance: number,
  normal: Float64Array,
  room: TraceRoom,
  into: ClearBody | null = null,
): boolean {
  const k = path.surfaces;
  if (k === MOST_SURFACES) return false;
  const { origin, outward } = room;
  path.surface[k] = surface;
  path.length[k] = distance;
  set(path.light, 3 * k, -outward[0], -outward[1], -outward[2]);
  addScaled(origin, 0, distance, outward, 0, origin, 0);
  copy(origin, 0, path.point, 3 * k);
  copy(normal, 0, path.normal, 3 * k);
  if (dot(normal, 0, outward, 0) < 0) scale(path.normal, 3 * k, -1);
  path.surfaces = k + 1;
  if (into === null) air(path);
  else enterMedium(path, into);
  return refract(outward, 0, path.normal, 3 * k, path.index[k], path.index[k + 1], outward, 0);
}

/** Refracts into the wall found, and finds where the bent ray leaves it. */
function enterBody(path: LightPath, body: ClearBody, far: number, room: TraceRoom): boolean {
  const { wall, crossings, origin, outward } = room;
  if (wall.enter === -Infinity) return false;
  if (!cross(path, body.query.surface(wall.enterFace), wall.enter, wall.enterNormal, room, body)) return false;
  if (!body.query.cast(origin, outward, THINNEST, far, crossings)) return false;
  if (crossings.count === 0 || crossings.side[0] > 0) return false;
  wall.leave = crossings.distance[0];
  wall.leaveFace = crossings.face[0];
  copy(crossings.normal, 0, wall.leaveNormal, 0);
  return true;
}

/**
 * The wall ahead that is entered first, of any body; `wall.body` is -1 when there is none. The body just left counts from
 * a hair beyond its surface. False where a body gave no trustworthy answer.
 */
function findWall(room: TraceRoom, bodies: readonly ClearBody[], near: number, last: number, far: number): boolean {
  const { origin, outward, crossings, wall } = room;
  wall.body = -1;
  wall.enter = Number.POSITIVE_INFINITY;
  for (let j = 0; j < bodies.length; j++) {
    if (!bodies[j].query.cast(origin, outward, j === last ? THINNEST : near, far, crossings)) return false;
    const { count, side, distance, face, normal } = crossings;
    for (let i = 0; i < count; i++) {
      if (side[i] > 0 || distance[i] <= Math.max(TOUCHING, THINNEST)) continue;
      const enter = i === 0 ? -Infinity : distance[i - 1];
      if (enter < wall.enter) {
        wall.body = j;
        wall.enter = enter;
        wall.leave = distance[i];
        wall.leaveFace = face[i];
        copy(normal, 3 * i, wall.leaveNormal, 0);
        if (i > 0) {
          wall.enterFace = face[i - 1];
          copy(normal, 3 * i - 3, wall.enterNormal, 0);
        }
      }
      break;
    }
  }
  return true;
}

/** How far (<= 0) below the joint a layer begins that the first search started inside; NaN when it has no end there. */
function depth(room: TraceRoom, query: BodyQuery): number {
  const { origin, outward, crossings } = room;
  if (!query.cast(origin, outward, -DEEP, 0, crossings) || crossings.count === 0) return Number.NaN;
  const i = crossings.count - 1;
  return crossings.side[i] > 0 ? crossings.distance[i] : Number.NaN;
}

/** The stated layer lies on the joint and has a flat face parallel to it. */
function passStated(path: LightPath, normal: Float64Array, stated: StatedLayer, room: TraceRoom): boolean {
  const { origin, outward } = room;
  const rise = dot(normal, 0, outward, 0);
  if (!(rise > 1e-3)) return false;
  path.index[0] = stated.index;
  path.extinction[0] = stated.extinction;
  path.widening[0] = stated.widening;
  path.layer[0] = 1;
  path.walls = 1;
  path.rawGap = 0;
  const top = Float64Array.of(
    origin[0] + stated.thickness * normal[0],
    origin[1] + stated.thickness * normal[1],
    origin[2] + stated.thickness * normal[2],
  );
  return cross(path, flat(top, normal), stated.thickness / rise, normal, room);
}

/** A plane through a point. */
function flat(point: Float64Array, normal: Float64Array): Surface {
  const through = point.slice();
  const across = normal.slice();
  const level = dot(through, 0, across, 0);
  return {
    kind: 'plane',
    residual: 0,
    parameters: {},
    project(x, y, z, out) {
      const height = x * across[0] + y * across[1] + z * across[2] - level;
      set(out, 0, x - height * across[0], y - height * across[1], z - height * across[2]);
      copy(across, 0, out, 3);
      return true;
    },
    normalCurvature: () => 0,
  };
}
