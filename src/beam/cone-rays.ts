// The converging cones of a beam and the bodies that may stand in them: which bodies come near over a few stations, and which
// of them stops a single ray.
import type { BodyQuery } from '../geometry/body-query.ts';
import type { Profile } from '../model/optics.ts';

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

export interface ConeRays {
  /** Looks for bodies near the cones of stations [start, end); false when there are none. */
  approach(start: number, end: number): boolean;
  /** Stands at one of these stations. */
  stand(station: number): void;
  /**
   * The first obstacle (index) that stops the ray at (x, y) beam radii in the cross-section, x along the tool's x; -1 when it
   * reaches the part. It runs from that place at the head's exit to the same place at the entry.
   */
  blocker(x: number, y: number): number;
}

/** Pieces that a cone is cut into along its length, each in a box of its own. */
const PIECES = 8;
/** Where the outermost ring of rays stands in a Gaussian, in 1/e2 radii, rounded up. */
const OUTERMOST = 1.6;

export function createConeRays(cones: Cones, obstacles: readonly Obstacle[]): ConeRays {
  const { exit, head, rows, entry, entryNormal, radius } = cones;
  const outermost = cones.profile === 'gaussian' ? OUTERMOST : 1;
  const from = new Float64Array(obstacles.length);
  const to = new Float64Array(obstacles.length);
  let near: number[] = [];
  let k = 0;
  let m = 0;
  let target = 0;
  // From the head to the entry.
  let wayX = 0;
  let wayY = 0;
  let wayZ = 0;

  const low = new Float64Array(3);
  const high = new Float64Array(3);

  /** The box round one piece of the cones of stations [start, end). */
  function box(piece: number, start: number, end: number): void {
    low.fill(Number.POSITIVE_INFINITY);
    high.fill(Number.NEGATIVE_INFINITY);
    for (let i = start; i < end; i++) {
      for (let edge = piece; edge <= piece + 1; edge++) {
        const f = edge / PIECES;
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
  }

  return {
    approach(start, end) {
      from.fill(2);
      to.fill(0);
      for (let piece = 0; piece < PIECES; piece++) {
        box(piece, start, end);
        if (!(low[0] <= high[0])) continue;
        for (let j = 0; j < obstacles.length; j++) {
          if (!obstacles[j].query.near(low[0], low[1], low[2], high[0], high[1], high[2])) continue;
          from[j] = Math.min(from[j], piece / PIECES);
          to[j] = (piece + 1) / PIECES;
        }
      }
      near = obstacles.flatMap((_, j) => (to[j] > from[j] ? [j] : []));
      return near.length > 0;
    },
    stand(station) {
      k = 3 * station;
      m = 9 * station;
      target = radius[station];
      wayX = entry[k] - head[k];
      wayY = entry[k + 1] - head[k + 1];
      wayZ = entry[k + 2] - head[k + 2];
    },
    blocker(x, y) {
      const ex = x * rows[m] + y * rows[m + 1];
      const ey = x * rows[m + 3] + y * rows[m + 4];
      const ez = x * rows[m + 6] + y * rows[m + 7];
      const ax = head[k] + exit * ex;
      const ay = head[k + 1] + exit * ey;
      const az = head[k + 2] + exit * ez;
      const narrowing = target - exit;
      const dx = wayX + narrowing * ex;
      const dy = wayY + narrowing * ey;
      const dz = wayZ + narrowing * ez;
      const nx = entryNormal[k];
      const ny = entryNormal[k + 1];
      const nz = entryNormal[k + 2];
      const height = (ax - entry[k]) * nx + (ay - entry[k + 1]) * ny + (az - entry[k + 2]) * nz;
      const arrival = -height / (dx * nx + dy * ny + dz * nz);
      const whole = Math.sqrt(dx * dx + dy * dy + dz * dz);
      for (let q = 0; q < near.length; q++) {
        const j = near[q];
        const { query, clearance } = obstacles[j];
        const f = from[j];
        const g = Math.min(to[j], arrival - clearance / whole);
        if (g > f && query.blocks(ax + f * dx, ay + f * dy, az + f * dz, ax + g * dx, ay + g * dy, az + g * dz))
          return j;
      }
      return -1;
    },
  };
}
