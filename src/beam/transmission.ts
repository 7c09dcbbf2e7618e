// What of the power gets through surfaces and media to the joint: Fresnel's share at every surface, extinction on every way.
// Direct light only: what is reflected to and fro inside a plate is left out, except in a gap, which is thinner than the
// spot is wide, so that this light lands in the spot too.
import { exp } from '../geometry/elementary.ts';
import { addScaled, copy, set } from '../geometry/vector.ts';
import { createPolarisedRay, type PolarisedRay, passSurface } from './fresnel.ts';
import type { LightPath } from './light-path.ts';

/**
 * Shares of power against the angle f of the plane of polarisation: mean + even cos 2f + odd sin 2f. Power is linear in the
 * light's Stokes parameters, so these three say all; unpolarised light has the mean. f is measured from the first of the
 * two axes across the light towards the second.
 */
export interface Shares {
  mean: number;
  even: number;
  odd: number;
}

export interface Transmission {
  /** (1 - R) exp(-A l) over all surfaces and media, the two surfaces of a gap at the joint excepted. */
  readonly transmitted: Shares;
  /** The same with those two surfaces; equal where the layer touches the joint. */
  readonly throughGap: Shares;
}

/** Room for one answer. */
export interface TransmissionRoom {
  readonly ray: PolarisedRay;
  /** Transmitted, through the gap: for the field along the first axis, the second, and between them. */
  readonly share: Float64Array;
}

export function createTransmissionRoom(): TransmissionRoom {
  return { ray: createPolarisedRay(), share: new Float64Array(6) };
}

/**
 * Shares along a settled way: axes[0..2] and axes[3..5] are unit vectors across the light in air and each other, `normal` (3)
 * is the joint's, `absorberIndex` the index behind a gap.
 */
export function transmission(
  path: LightPath,
  axes: Float64Array,
  normal: Float64Array,
  absorberIndex: number,
  room: TransmissionRoom,
  out: Transmission,
): void {
  const { share } = room;
  const way = exp(-opticalDepth(path));
  for (let field = 0; field < 3; field++) {
    const first = field === 0 ? 1 : field === 1 ? 0 : Math.SQRT1_2;
    const second = field === 0 ? 0 : field === 1 ? 1 : Math.SQRT1_2;
    set(room.ray.field, 0, 0, 0, 0);
    addScaled(room.ray.field, 0, first, axes, 0, room.ray.field, 0);
    addScaled(room.ray.field, 0, second, axes, 3, room.ray.field, 0);
    passAll(path, normal, absorberIndex, room.ray, share, 2 * field);
  }
  for (const [which, shares] of [out.transmitted, out.throughGap].entries()) {
    shares.mean = (way * (share[which] + share[2 + which])) / 2;
    shares.even = (way * (share[which] - share[2 + which])) / 2;
    shares.odd = way * share[4 + which] - shares.mean;
  }
}

/** Sum of extinction x length over all media, the layer from the joint or from its inner surface, whichever is higher. */
function opticalDepth(path: LightPath): number {
  const { surfaces, extinction, length, layer, rawGap } = path;
  let sum = 0;
  for (let k = 0; k < surfaces; k++) sum += extinction[k] * length[k];
  return layer[0] && rawGap > 0 ? sum - extinction[0] * rawGap : sum;
}

/** Sends the ray (its field is set) through all surfaces: transmitted share to out[k], with the gap's surfaces to out[k + 1]. */
function passAll(
  path: LightPath,
  normal: Float64Array,
  absorberIndex: number,
  ray: PolarisedRay,
  out: Float64Array,
  k: number,
): void {
  const { surfaces, light, index } = path;
  const gap = surfaces > 0 && path.layer[0] === 0 && path.layer[1] === 1;
  copy(light, 3 * surfaces, ray.direction, 0);
  let share = 1;
  for (let m = surfaces - 1; m >= (gap ? 1 : 0); m--)
    share *= passSurface(ray, path.normal, 3 * m, index[m + 1], index[m]);
  out[k] = share;
  out[k + 1] = gap ? share * passGap(path, normal, absorberIndex, ray) : share;
}

/**
 * Share that passes both surfaces of the gap at the joint, light that goes to and fro between them included:
 * (1 - R1)(1 - R2)/(1 - R1 R2), which for equal polymers at normal incidence is (1 - R)/(1 + R). Each R at the polarisation with
 * which the light arrives.
 */
function passGap(path: LightPath, normal: Float64Array, absorberIndex: number, ray: PolarisedRay): number {
  const first = 1 - passSurface(ray, path.normal, 0, path.index[1], 1);
  const second = 1 - passSurface(ray, normal, 0, 1, absorberIndex);
  return ((1 - first) * (1 - second)) / (1 - first * second);
}
