// The one interface through which everything asks about a face's true surface: no result uses a facet.

export type SurfaceKind = 'plane' | 'cylinder' | 'cone' | 'sphere' | 'torus' | 'fitted';

/** A face's surface, extended past its borders as far as it is defined. Normals point out of the body. */
export interface Surface {
  readonly kind: SurfaceKind;
  /** Largest distance of the face's own vertices from it, mm. */
  readonly residual: number;
  /** What was recognised, for people and tests: radius, axis .. in mm. Empty for a fitted surface. */
  readonly parameters: Readonly<Record<string, number | readonly number[]>>;
  /**
   * Closest point on the surface to (x, y, z), mm, part frame. Writes the point to out[0..2] and the outward unit normal
   * there to out[3..5]. Returns false, and writes NaN, where the surface is not defined (too far from a fitted one).
   */
  project(x: number, y: number, z: number, out: Float64Array): boolean;
  /**
   * Normal curvature, 1/mm, in unit tangent direction (tx, ty, tz) at the surface point closest to (x, y, z); positive
   * where the surface is convex towards its outward normal (a sphere seen from outside: 1/r).
   */
  normalCurvature(x: number, y: number, z: number, tx: number, ty: number, tz: number): number;
}
