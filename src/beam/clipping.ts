// What stands in the way of the beam between head and part: rays over the converging cone from the head's exit to the entry
// surface, weighted with the beam's profile.
//
// Three steps, each asked only where the one before leaves doubt: boxes round pieces of the cone over a few stations; a first
// look with 25 rays; where these do not agree, an integral over rings, on each of which the borders of the shadow are bisected.
import type { BodyQuery } from '../geometry/body-query.ts';
import { cos, sin } from '../geometry/elementary.ts';
import type { Profile } from '../model/optics.ts';
import { firstLook, powerRings } from './beam-rays.ts';

/** A body that may stand in the way. */
export interface Obstacle {
  /** Index into `Job.parts`. */
  readonly part: number;
  readonly query: BodyQuery;
  /** How far above the entry surface its rays end, mm. */
  readonly clearance: number;
}

/** The cones of all stations, n. */
export interface Cones {
  readonly count: number;
  readonly profile: Profile;
  /** Beam radius where it leaves the head, mm. */
  readonly exit: number;
  /** Head points, 3 x n, mm. */
  readonly head: Float64Array;
  /** Tool axes as the columns of rotation matrices, row by row, 9 x n. */
  readonly rows: Float64Array;
  /** Points where the beam enters the outermost surface, 3 x n, mm, and unit normals there, 3 x n. */
  readonly entry: Float64Array;
  readonly entryNormal: Float64Array;
  /** Beam radius there, n, mm. */
  readonly radius: Float64Array;
}

export interface Clipping {
  /** Share of the power, n; NaN where the pose is unknown. */
  readonly clipped: Float64Array;
  /** Index into `Job.parts` of the body that takes most, or -1; n. */
  readonly clippedBy: Int32Array;
}

/** Stations that share the question whether anything is near, and pieces that the cone is cut into along its length. */
const GROUP = 8;
const PIECES = 8;
const RINGS = 14;
/** Where the last of these rings stands in a Gaussian, in 1/e2 radii, rounded up. */
const OUTERMOST = 1.6;
const ANGLES = 16;
/** Steps that bisect the border of a shadow on a ring: 0.35 deg of 22.5. */
const BISECTIONS = 6;

/** Clips station by station; `from` and `to` bound the stations, so that a caller can pause in between. */
export type ClipStations = (from: number, to: number, out: Clipping) => void;

/** Prepares the clipping of these cones; a body earlier in `obstacles` is named where two shade the same ray. */
export function createClipping(cones: Cones, obstacles: readonly Obstacle[]): ClipStations {
  const look = firstLook(cones.profile);
  const shade = createShade(cones.profile, obstacles);
  const first = new Int8Array(obstacles.length);
  const last = new Int8Array(obstacles.length);

  function station(i: number, out: Clipping): void {
    let shaded = 0;
    let by = -1;
    const rays = look.length / 2;
    for (let m = 0; m < rays; m++) {
      const blocker = blockerOf(cones, obstacles, first, last, i, look[2 * m], look[2 * m + 1]);
      if (blocker >= 0) shaded++;
      if (blocker >= 0 && by < 0) by = blocker;
    }
    if (shaded === 0) return;
    const ask = (x: number, y: number): number => blockerOf(cones, obstacles, first, last, i, x, y);
    const { share, most } = shaded === rays ? { share: 1, most: by } : shade(ask);
    out.clipped[i] = share;
    out.clippedBy[i] = most < 0 ? -1 : obstacles[most].part;
  }

  return (from, to, out) => {
    for (let start = from; start < to; start += GROUP) {
      const end = Math.min(start + GROUP, to);
      const any = nearPieces(cones, obstacles, start, end, first, last);
      for (let i = start; i < end; i++) {
        const known = !Number.isNaN(cones.entry[3 * i] + cones.head[3 * i]);
        out.clipped[i] = known ? 0 : Number.NaN;
        out.clippedBy[i] = -1;
        if (any && known) station(i, out);
      }
    }
  };
}

/** For each obstacle the first and last piece of the cone that it is near to over stations [start, end), -1 for none. */
function nearPieces(
  cones: Cones,
  obstacles: readonly Obstacle[],
  start: number,
  end: number,
  first: Int8Array,
  last: Int8Array,
): boolean {
  const { exit, head, rows, entry, radius } = cones;
  const outermost = cones.profile === 'gaussian' ? OUTERMOST : 1;
  let any = false;
  first.fill(-1);
  last.fill(-1);
  for (let piece = 0; piece < PIECES; piece++) {
    const low = [Infinity, Infinity, Infinity];
    const high = [-Infinity, -Infinity, -Infinity];
    for (let i = start; i < end; i++) {
      for (let at = piece; at <= piece + 1; at++) {
        const f = at / PIECES;
        const around = outermost * (exit + f * (radius[i] - exit));
        for (let c = 0; c < 3; c++) {
          const middle = head[3 * i + c] + f * (entry[3 * i + c] - head[3 * i + c]);
          const along = rows[9 * i + 3 * c + 2];
          const half = around * Math.sqrt(Math.max(0, 1 - along * along));
          if (middle - half < low[c]) low[c] = middle - half;
          if (middle + half > high[c]) high[c] = middle + half;
        }
      }
    }
    if (!(low[0] <= high[0])) continue;
    for (let j = 0; j < obstacles.length; j++) {
      if (!obstacles[j].query.near(low[0], low[1], low[2], high[0], high[1], high[2])) continue;
      if (first[j] < 0) first[j] = piece;
      last[j] = piece;
      any = true;
    }
  }
  return any;
}

/** The first obstacle that stands in the way of the ray at (x, y) radii in the cross-section of station i, or -1. */
function blockerOf(
  cones: Cones,
  obstacles: readonly Obstacle[],
  first: Int8Array,
  last: Int8Array,
  i: number,
  x: number,
  y: number,
): number {
  const { exit, head, rows, entry, entryNormal, radius } = cones;
  const k = 3 * i;
  const m = 9 * i;
  // From head + exit e to entry + radius e, e = x (tool x) + y (tool y); heights are above the plane that touches the entry surface.
  const ex = x * rows[m] + y * rows[m + 1];
  const ey = x * rows[m + 3] + y * rows[m + 4];
  const ez = x * rows[m + 6] + y * rows[m + 7];
  const ax = head[k] + exit * ex;
  const ay = head[k + 1] + exit * ey;
  const az = head[k + 2] + exit * ez;
  const dx = entry[k] + radius[i] * ex - ax;
  const dy = entry[k + 1] + radius[i] * ey - ay;
  const dz = entry[k + 2] + radius[i] * ez - az;
  const nx = entryNormal[k];
  const ny = entryNormal[k + 1];
  const nz = entryNormal[k + 2];
  const height = (ax - entry[k]) * nx + (ay - entry[k + 1]) * ny + (az - entry[k + 2]) * nz;
  const fall = -(dx * nx + dy * ny + dz * nz);
  const whole = Math.sqrt(dx * dx + dy * dy + dz * dz);
  for (let j = 0; j < obstacles.length; j++) {
    if (first[j] < 0) continue;
    const from = first[j] / PIECES;
    const to = Math.min((last[j] + 1) / PIECES, height / fall - obstacles[j].clearance / whole);
    if (!(to > from)) continue;
    const { query } = obstacles[j];
    if (query.blocks(ax + from * dx, ay + from * dy, az + from * dz, ax + to * dx, ay + to * dy, az + to * dz))
      return j;
  }
  return -1;
}

type Ask = (x: number, y: number) => number;

/** The integral over rings: share of the power in the shadow, and the obstacle (index) that takes most of it. */
function createShade(profile: Profile, obstacles: readonly Obstacle[]): (ask: Ask) => { share: number; most: number } {
  const rings = powerRings(profile, RINGS);
  const taken = new Float64Array(obstacles.length);
  const at = new Int32Array(ANGLES);
  const step = (2 * Math.PI) / ANGLES;
  return (ask) => {
    taken.fill(0);
    for (let ring = 0; ring < RINGS; ring++) {
      const radius = rings.radius[ring];
      const blocker = (angle: number): number => ask(radius * cos(angle), radius * sin(angle));
      for (let m = 0; m < ANGLES; m++) at[m] = blocker(m * step);
      for (let m = 0; m < ANGLES; m++) {
        const here = at[m];
        const next = at[(m + 1) % ANGLES];
        const arc = rings.share[ring] / ANGLES;
        if (here === next) {
          if (here >= 0) taken[here] += arc;
          continue;
        }
        // The border between the two, by bisection: up to `low` it is as here, from `high` as next.
        let low = 0;
        let high = 1;
        for (let b = 0; b < BISECTIONS; b++) {
          const middle = (low + high) / 2;
          if (blocker((m + middle) * step) === here) low = middle;
          else high = middle;
        }
        const border = (low + high) / 2;
        if (here >= 0) taken[here] += border * arc;
        if (next >= 0) taken[next] += (1 - border) * arc;
      }
    }
    let share = 0;
    let most = -1;
    for (let j = 0; j < taken.length; j++) {
      share += taken[j];
      if (taken[j] > 0 && (most < 0 || taken[j] > taken[most])) most = j;
    }
    return { share: Math.min(1, share), most };
  };
}
