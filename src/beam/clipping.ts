// What stands in the way of the beam between head and part: rays over the converging cone from the head's exit to the entry
// surface, weighted with the beam's profile.
//
// Three steps, each asked only where the one before leaves doubt: boxes round pieces of the cone over a few stations; a first
// look with 25 rays; where these do not agree, an integral over rings, on each of which the borders of the shadow are bisected.
import { cos, sin } from '../geometry/elementary.ts';
import type { Profile } from '../model/optics.ts';
import { firstLook, powerRings } from './beam-rays.ts';
import { type Cones, createConeRays, type Obstacle } from './cone-rays.ts';

export interface Clipping {
  /** Share of the power, n; NaN where the pose is unknown. */
  readonly clipped: Float64Array;
  /** Index into `Job.parts` of the body that takes most, or -1; n. */
  readonly clippedBy: Int32Array;
}

/** Stations that share the question whether anything is near. */
const GROUP = 8;
const RINGS = 14;
const ANGLES = 16;
/** Steps that bisect the border of a shadow on a ring: 0.35 deg of 22.5. */
const BISECTIONS = 6;

/** Clips the stations [from, to), so that a caller can pause in between. */
export type ClipStations = (from: number, to: number, out: Clipping) => void;

/** Prepares the clipping of these cones; a body earlier in `obstacles` is named where two shade the same ray. */
export function createClipping(cones: Cones, obstacles: readonly Obstacle[]): ClipStations {
  const rays = createConeRays(cones, obstacles);
  const look = firstLook(cones.profile);
  const shade = createShade(cones.profile, obstacles.length);

  /** Shadow at the station where the rays stand: share and obstacle (index). */
  function shadow(): Shadow {
    let shaded = 0;
    let by = -1;
    for (let m = 0; m < look.length; m += 2) {
      const blocker = rays.blocker(look[m], look[m + 1]);
      if (blocker < 0) continue;
      shaded++;
      if (by < 0) by = blocker;
    }
    if (shaded === 0) return CLEAR;
    return 2 * shaded === look.length ? { share: 1, by } : shade(rays.blocker);
  }

  return (from, to, out) => {
    for (let start = from; start < to; start += GROUP) {
      const end = Math.min(start + GROUP, to);
      const any = rays.approach(start, end);
      for (let i = start; i < end; i++) {
        const known = !Number.isNaN(cones.entry[3 * i] + cones.head[3 * i]);
        if (known && any) rays.stand(i);
        const { share, by } = known && any ? shadow() : CLEAR;
        out.clipped[i] = known ? share : Number.NaN;
        out.clippedBy[i] = by < 0 ? -1 : obstacles[by].part;
      }
    }
  };
}

interface Shadow {
  readonly share: number;
  readonly by: number;
}

const CLEAR: Shadow = { share: 0, by: -1 };

/** The integral over rings: share of the power in the shadow, and the obstacle that takes most of it. */
function createShade(profile: Profile, obstacles: number): (blocker: (x: number, y: number) => number) => Shadow {
  const rings = powerRings(profile, RINGS);
  const taken = new Float64Array(obstacles);
  const found = new Int32Array(ANGLES);
  const step = (2 * Math.PI) / ANGLES;
  return (blocker) => {
    taken.fill(0);
    for (let ring = 0; ring < RINGS; ring++) {
      const radius = rings.radius[ring];
      const arc = rings.share[ring] / ANGLES;
      const at = (angle: number): number => blocker(radius * cos(angle), radius * sin(angle));
      for (let m = 0; m < ANGLES; m++) found[m] = at(m * step);
      for (let m = 0; m < ANGLES; m++) {
        const here = found[m];
        const next = found[(m + 1) % ANGLES];
        // Up to `low` it is as here, from `high` on as next.
        let low = here === next ? 1 : 0;
        let high = 1;
        for (let b = 0; b < BISECTIONS && here !== next; b++) {
          const middle = (low + high) / 2;
          if (at((m + middle) * step) === here) low = middle;
          else high = middle;
        }
        const border = (low + high) / 2;
        if (here >= 0) taken[here] += border * arc;
        if (next >= 0) taken[next] += (1 - border) * arc;
      }
    }
    let share = 0;
    let by = -1;
    for (let j = 0; j < obstacles; j++) {
      share += taken[j];
      if (taken[j] > 0 && (by < 0 || taken[j] > taken[by])) by = j;
    }
    return { share: Math.min(1, share), by };
  };
}
