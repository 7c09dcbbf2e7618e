// The spot as a source of heat that moves: where it is, how large and how strong, at any time of the real time law.
import type { Aim } from '../model/aim.ts';
import type { Profile } from '../model/optics.ts';
import type { Path } from '../model/path.ts';
import type { Timing } from '../model/timing.ts';
import { highest } from './highest.ts';

/** The rows with the beam on, or on which power still arrives, in the order they are driven; arrays over these m rows. */
export interface HeatSource {
  readonly profile: Profile;
  readonly count: number;
  /** Row of the path, and its station. */
  readonly row: Int32Array;
  readonly station: Int32Array;
  /** s, mm, mm/s, mm/s2. */
  readonly time: Float64Array;
  readonly s: Float64Array;
  readonly speed: Float64Array;
  readonly acceleration: Float64Array;
  /** Light that arrives at the joint, and what of it falls on the joint face and becomes heat, W. */
  readonly light: Float64Array;
  readonly heat: Float64Array;
  /** Middle of the spot, unit tangent, unit vector across the seam (b), unit normal; 3 x m each. */
  readonly place: Float64Array;
  readonly tangent: Float64Array;
  readonly side: Float64Array;
  readonly normal: Float64Array;
  /** 1 where the seam runs straight on to the next row (a corner lies at either end). */
  readonly straight: Uint8Array;
  /** Spot radii along and across the seam, mm, and the largest of both over the seam. */
  readonly along: Float64Array;
  readonly across: Float64Array;
  readonly largest: number;
}

/** Gathers the rows on which light arrives. Light: power that leaves the head (the cell's lag counted) x delivered share; heat: x capture. */
export function heatSource(path: Path, aim: Aim, timing: Timing, profile: Profile): HeatSource {
  const { rows } = path;
  const on = Array.from({ length: rows.count }, (_, row) => row).filter(
    (row) => timing.beam[row] === 1 || timing.arrivingPower[row] !== 0,
  );
  const count = on.length;
  const row = Int32Array.from(on);
  const station = row.map((r) => rows.station[r]);
  const ofRow = (values: Float64Array) => Float64Array.from(row, (r) => values[r]);
  const ofStation = (values: Float64Array) => Float64Array.from(station, (i) => values[i]);
  const vectors = (values: Float64Array) =>
    Float64Array.from({ length: 3 * count }, (_, k) => values[3 * station[Math.floor(k / 3)] + (k % 3)]);
  const tangent = vectors(path.tangent);
  const normal = vectors(path.normal);
  const light = Float64Array.from(row, (r, k) => timing.arrivingPower[r] * aim.delivered[station[k]]);
  const along = ofStation(aim.spotAlong);
  const across = ofStation(aim.spotAcross);
  const corner = ofStation(path.corner);
  return {
    profile,
    count,
    row,
    station,
    time: ofRow(timing.time),
    s: ofRow(rows.s),
    speed: ofRow(timing.speed),
    acceleration: ofRow(timing.acceleration),
    light,
    heat: light.map((watt, k) => watt * aim.capture[station[k]]),
    place: vectors(path.position),
    tangent,
    side: crossed(normal, tangent),
    normal,
    straight: Uint8Array.from(corner, (angle, k) => (angle > 0 || corner[k + 1] > 0 ? 1 : 0)),
    along,
    across,
    largest: Math.max(0, highest(along), highest(across)),
  };
}

/** Cross products of rows of 3. */
export function crossed(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((_, k) => {
    const [i, axis] = [k - (k % 3), k % 3];
    const [p, q] = [i + ((axis + 1) % 3), i + ((axis + 2) % 3)];
    return a[p] * b[q] - a[q] * b[p];
  });
}

/** Numbers that `placeSource` writes. */
export const PLACED_SIZE = 16;

/**
 * The source at a time between rows k and k + 1, to `out`: place, tangent, side, normal (3 each), heat W, radii along and
 * across mm, speed mm/s. The acceleration is constant there, so heat, which follows the speed, goes
 * linearly with time; the place goes along a cubic through both places and tangents, or straight beside a corner.
 */
export function placeSource(source: HeatSource, k: number, time: number, out: Float64Array): void {
  const { place, tangent, side, normal } = source;
  const since = time - source.time[k];
  const span = source.time[k + 1] - source.time[k];
  const length = source.s[k + 1] - source.s[k];
  const way = source.speed[k] * since + 0.5 * source.acceleration[k] * since * since;
  const f = Math.min(1, way / length);
  const g = since / span;
  const e = 1 - f;
  const i = 3 * k;
  const j = i + 3;
  const bent = source.straight[k] === 0 ? f * e * length : 0;
  const from = e + (bent === 0 ? 0 : f * e * (e - f));
  for (let axis = 0; axis < 3; axis++) {
    const [t0, t1] = [tangent[i + axis], tangent[j + axis]];
    out[axis] = from * place[i + axis] + (1 - from) * place[j + axis] + bent * (e * t0 - f * t1);
    out[3 + axis] = e * t0 + f * t1;
    out[6 + axis] = e * side[i + axis] + f * side[j + axis];
    out[9 + axis] = e * normal[i + axis] + f * normal[j + axis];
  }
  out[12] = source.heat[k] + g * (source.heat[k + 1] - source.heat[k]);
  out[13] = e * source.along[k] + f * source.along[k + 1];
  out[14] = e * source.across[k] + f * source.across[k + 1];
  out[15] = source.speed[k] + source.acceleration[k] * since;
}
