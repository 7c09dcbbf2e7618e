// The way of the beam's middle ray from the head through every surface to one point of the joint, as surfaces in order from
// the joint outwards. Medium k lies below surface k, on the joint's side; above the last surface is air.
//
// The way is found backwards, as the fixed point of two steps that are each easy: walk outwards from the joint along the
// directions assumed, to have the surfaces' points and normals; send the light inwards through these normals, to have the
// directions. Flat surfaces settle at once; curved ones by about thickness / radius a round.
import type { Surface } from '../geometry/surface.ts';
import { addScaled, copy, dot, scale, subtract } from '../geometry/vector.ts';
import { refract } from './refraction.ts';

/** Most surfaces on one way; a way with more counts as unknown. */
export const MOST_SURFACES = 16;

export interface LightPath {
  /** Number of surfaces. */
  surfaces: number;
  readonly surface: Surface[];
  /** Where the ray meets each surface, 3 x MOST_SURFACES, mm. */
  readonly point: Float64Array;
  /** Unit normal there, on the side of the head, 3 x MOST_SURFACES. */
  readonly normal: Float64Array;
  /** Length of the ray in the medium below each surface, mm. */
  readonly length: Float64Array;
  /** Of each medium, MOST_SURFACES + 1: refractive index, extinction in 1/mm, widening by scattering in mm/mm, 1 where it is the transmissive layer. */
  readonly index: Float64Array;
  readonly extinction: Float64Array;
  readonly widening: Float64Array;
  readonly layer: Uint8Array;
  /** Unit direction of the light in each medium, 3 x (MOST_SURFACES + 1). */
  readonly light: Float64Array;
  /** Walls of transmissive bodies passed. */
  walls: number;
  /** Room to work in: a direction and a place; a closest point with its normal. */
  readonly work: Float64Array;
  readonly foot: Float64Array;
  /** From the joint to the layer along the ray, mm; < 0 where the layer reaches below the joint; NaN where there is none. */
  rawGap: number;
}

export function createLightPath(): LightPath {
  return {
    surfaces: 0,
    surface: [],
    point: new Float64Array(3 * MOST_SURFACES),
    normal: new Float64Array(3 * MOST_SURFACES),
    length: new Float64Array(MOST_SURFACES),
    index: new Float64Array(MOST_SURFACES + 1),
    extinction: new Float64Array(MOST_SURFACES + 1),
    widening: new Float64Array(MOST_SURFACES + 1),
    layer: new Uint8Array(MOST_SURFACES + 1),
    light: new Float64Array(3 * (MOST_SURFACES + 1)),
    work: new Float64Array(6),
    foot: new Float64Array(6),
    walls: 0,
    rawGap: Number.NaN,
  };
}

/** Writes the direction of the light in air to axis[0..2], given the way as walked so far. */
export type AirDirection = (path: LightPath, axis: Float64Array) => void;

/** Directions that change by less than this from round to round have settled, rad: 1e-9 mm on a way of 10 mm. */
const SETTLED = 1e-10;
/** What a surface that was fitted may leave after the last round, rad: 1e-6 mm on a way of 10 mm. */
const NEARLY_SETTLED = 1e-7;
const MOST_ROUNDS = 40;

/**
 * Settles the way that ends at `joint` (3, mm) on the surfaces it already has, with the light in air as `airDirection`
 * asks. Returns how far the ray moved sideways from the way it came in with, mm at most; NaN where a surface is not
 * defined where the ray needs it, the light is totally reflected, or the way does not settle.
 */
export function settle(path: LightPath, joint: Float64Array, airDirection: AirDirection): number {
  const { light, work } = path;
  let moved = 0;
  let turned = 0;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const x = light[0];
    const y = light[1];
    const z = light[2];
    airDirection(path, work);
    copy(work, 0, light, 3 * path.surfaces);
    if (!sendInwards(path)) return Number.NaN;
    turned = Math.sqrt((light[0] - x) ** 2 + (light[1] - y) ** 2 + (light[2] - z) ** 2);
    moved += turned * reach(path);
    if (turned < SETTLED || path.surfaces === 0) return moved;
    if (!walkOutwards(path, joint)) return Number.NaN;
  }
  return turned < NEARLY_SETTLED ? moved : Number.NaN;
}

/** Length of the whole way below the last surface, mm. */
function reach(path: LightPath): number {
  let sum = 0;
  for (let k = 0; k < path.surfaces; k++) sum += path.length[k];
  return sum;
}

/** Refracts the light in air through all surfaces down to the joint; false on total reflection. */
function sendInwards(path: LightPath): boolean {
  const { light, normal, index } = path;
  for (let k = path.surfaces - 1; k >= 0; k--) {
    if (!refract(light, 3 * k + 3, normal, 3 * k, index[k + 1], index[k], light, 3 * k)) return false;
  }
  return true;
}

/** Points, normals and lengths anew, from the joint outwards along the directions that the path holds. */
function walkOutwards(path: LightPath, joint: Float64Array): boolean {
  let from = joint;
  let offset = 0;
  for (let k = 0; k < path.surfaces; k++) {
    if (!meetSurface(path, k, from, offset)) return false;
    from = path.point;
    offset = 3 * k;
  }
  return true;
}

/** A last step along the ray, mm, below which it has met the surface. */
const MET = 1e-9;
const MOST_STEPS = 30;
const PLACE = 3;

/** Newton's method along the ray against the light in medium k, on the tangent plane at the surface's closest point. */
function meetSurface(path: LightPath, k: number, from: Float64Array, offset: number): boolean {
  const { light, point, normal, work } = path;
  const surface = path.surface[k];
  const { foot } = path;
  let way = path.length[k];
  for (let step = 0; step < MOST_STEPS; step++) {
    addScaled(from, offset, -way, light, 3 * k, work, PLACE);
    if (!surface.project(work[PLACE], work[PLACE + 1], work[PLACE + 2], foot)) return false;
    const towards = -dot(light, 3 * k, foot, 3);
    if (!(Math.abs(towards) > 1e-3)) return false;
    subtract(foot, 0, work, PLACE, work, PLACE);
    const change = dot(work, PLACE, foot, 3) / towards;
    way += change;
    if (Math.abs(change) > MET) continue;
    path.length[k] = way;
    addScaled(from, offset, -way, light, 3 * k, point, 3 * k);
    copy(foot, 3, normal, 3 * k);
    if (towards < 0) scale(normal, 3 * k, -1);
    return true;
  }
  return false;
}
