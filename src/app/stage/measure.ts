// Two points picked on faces: how far apart, how much along each axis, and at what angle their faces stand.

export interface MeasurePoint {
  /** mm from the scene's centre, and the unit normal of the face there. */
  readonly point: readonly [number, number, number];
  readonly normal: readonly [number, number, number];
}

export interface Measure {
  /** mm */
  readonly distance: number;
  readonly along: readonly [number, number, number];
  /** Between the outward normals, deg: 0 for faces that look the same way. */
  readonly angle: number;
}

export function measure(a: MeasurePoint, b: MeasurePoint): Measure {
  const along = [0, 1, 2].map((c) => b.point[c] - a.point[c]) as [number, number, number];
  const cosine = a.normal[0] * b.normal[0] + a.normal[1] * b.normal[1] + a.normal[2] * b.normal[2];
  const cross = Math.hypot(
    a.normal[1] * b.normal[2] - a.normal[2] * b.normal[1],
    a.normal[2] * b.normal[0] - a.normal[0] * b.normal[2],
    a.normal[0] * b.normal[1] - a.normal[1] * b.normal[0],
  );
  return { distance: Math.hypot(...along), along, angle: (Math.atan2(cross, cosine) * 180) / Math.PI };
}
