// What the stages ask of a body: its surfaces, rays and closest points. Made once a body, filled as it is asked.
import type { Body } from '../model/part.ts';
import type { Surface } from './surface.ts';

/** Crossings of one ray with one body, in order along the ray; grows as needed and is used again. */
export interface Crossings {
  count: number;
  /** Distance along the (unit) direction, mm, polished onto the true surface. */
  distance: Float64Array;
  /** Face index of each crossing. */
  face: Uint32Array;
  /** Outward unit normal at each crossing, 3 x count. */
  normal: Float64Array;
  /** +1 where the ray goes into the body, -1 where it leaves. */
  side: Int8Array;
}

export interface BodyQuery {
  readonly body: Body;
  /** Surface of a face; recognised or fitted at the first call, then kept. */
  surface(face: number): Surface;
  /**
   * All crossings of the ray from `origin` (mm) along the unit `direction` with distance in [near, far], polished onto
   * the faces' surfaces, doubles at shared mesh edges merged. Returns false where the mesh gave no trustworthy answer
   * even after a nudge (entries and exits do not alternate on a closed body): unknown, never clear.
   */
  cast(origin: Float64Array, direction: Float64Array, near: number, far: number, out: Crossings): boolean;
  /** Whether anything of the body's mesh lies on the segment, facets as they are (for shadows). */
  blocks(ax: number, ay: number, az: number, bx: number, by: number, bz: number): boolean;
  /** Closest point of the mesh, polished onto its face's surface: writes point, outward normal to out[0..5]; returns the face, or -1 beyond `reach` mm. */
  closest(x: number, y: number, z: number, reach: number, out: Float64Array): number;
  /** Whether any triangle's box meets this axis-aligned box: a cheap first question before many rays. */
  near(minX: number, minY: number, minZ: number, maxX: number, maxY: number, maxZ: number): boolean;
}
