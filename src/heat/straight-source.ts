// A spot that goes straight ahead at constant speed and power for so long that nothing changes any more: the reference for
// process windows, and for every published case of a moving source.
import type { Profile } from '../model/optics.ts';
import type { HeatSource } from './heat-source.ts';
import type { Section } from './rise.ts';

export interface StraightSpot {
  readonly profile: Profile;
  /** Radii along and across the seam, mm. */
  readonly along: number;
  readonly across: number;
  /** mm/s */
  readonly speed: number;
  /** W that become heat. */
  readonly power: number;
}

/** The source on the x axis from -`behind` to `ahead` mm, at x = 0 at time 0; b is the y axis, the absorber below. */
export function straightSource(spot: StraightSpot, behind: number, ahead: number): HeatSource {
  const radius = Math.max(spot.along, spot.across);
  const before = Math.ceil((2 * behind) / radius);
  const count = before + Math.ceil((2 * ahead) / radius) + 1;
  const full = (value: number) => new Float64Array(count).fill(value);
  const s = new Float64Array(count);
  const row = new Int32Array(count);
  const place = new Float64Array(3 * count);
  for (let k = 0; k < count; k++) {
    row[k] = k;
    s[k] = ((k - before) * radius) / 2;
    place[3 * k] = s[k];
  }
  const everywhere = (axis: number) => {
    const vectors = new Float64Array(3 * count);
    for (let k = axis; k < 3 * count; k += 3) vectors[k] = 1;
    return vectors;
  };
  return {
    profile: spot.profile,
    count,
    row,
    station: row,
    time: s.map((at) => at / spot.speed),
    s,
    speed: full(spot.speed),
    acceleration: full(0),
    light: full(spot.power),
    heat: full(spot.power),
    place,
    tangent: everywhere(0),
    side: everywhere(1),
    normal: everywhere(2),
    straight: new Uint8Array(count).fill(1),
    along: full(spot.along),
    across: full(spot.across),
    largest: radius,
  };
}

/** The way, mm, behind a spot at constant speed that still warms a place which it left `later` s ago. */
export function wayBehind(spot: StraightSpot, diffusivity: number, later: number): number {
  const radius = Math.max(spot.along, spot.across);
  // x = R sqrt(w^2 + 8 alpha (later + x / v)), R = 2.5 radii of the heat that has spread.
  const linear = (6.25 * 8 * diffusivity) / spot.speed;
  const constant = 6.25 * (radius * radius + 8 * diffusivity * later);
  return radius + 0.5 * (linear + Math.sqrt(linear * linear + 4 * constant));
}

/** Points across the track at x = 0. */
export function acrossTrack(half: number, count: number, left = Number.POSITIVE_INFINITY, right = left): Section {
  return {
    place: new Float64Array(3),
    side: Float64Array.of(0, 1, 0),
    first: -half,
    step: count > 1 ? (2 * half) / (count - 1) : 1,
    count,
    left,
    right,
  };
}
