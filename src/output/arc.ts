// The circular arc through three points, and where another point lies on it: plane geometry in space.
import { atan2 } from '../geometry/elementary.ts';
import { cross, distance, dot, length, normalise, subtract } from '../geometry/vector.ts';

/** Arc from its first through its second to its third point. */
export interface Arc {
  /** Centre, mm. */
  readonly centre: Float64Array;
  readonly radius: number;
  /** Unit vectors: from the centre to the first point, in the sense of travel, and the normal of the plane. */
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly w: Float64Array;
  /** Angles of the second and third point from the first, rad, 0 < via < end < 2 pi. */
  readonly via: number;
  readonly end: number;
}

/** Below this share of the longest side the three points count as one line. */
const FLAT = 1e-9;

/** The arc through three points at offsets i, j, k of `p` (mm), or null where they lie on a line. */
export function arcThrough(p: Float64Array, i: number, j: number, k: number): Arc | null {
  const a = new Float64Array(3);
  const b = new Float64Array(3);
  const w = new Float64Array(3);
  subtract(p, j, p, i, a, 0);
  subtract(p, k, p, i, b, 0);
  cross(a, 0, b, 0, w, 0);
  const twiceArea = length(w, 0);
  const aa = dot(a, 0, a, 0);
  const bb = dot(b, 0, b, 0);
  if (!(twiceArea > FLAT * Math.max(aa, bb))) return null;
  // Circumcentre from the first point: (aa b - bb a) x w' / (2 |w|^2), with w' = a x b.
  const c = Float64Array.of(aa * b[0] - bb * a[0], aa * b[1] - bb * a[1], aa * b[2] - bb * a[2]);
  const toCentre = new Float64Array(3);
  cross(c, 0, w, 0, toCentre, 0);
  const f = 1 / (2 * twiceArea * twiceArea);
  const centre = toCentre.map((x, axis) => p[i + axis] + f * x);
  normalise(w, 0);
  const u = new Float64Array(3);
  subtract(p, i, centre, 0, u, 0);
  const radius = normalise(u, 0);
  const v = new Float64Array(3);
  cross(w, 0, u, 0, v, 0);
  const arc = { centre, radius, u, v, w };
  return { ...arc, via: angleOn(arc, p, j), end: angleOn(arc, p, k) };
}

type Circle = Pick<Arc, 'centre' | 'radius' | 'u' | 'v' | 'w'>;

/** Angle on the circle, 0 .. 2 pi rad from the first point, of the point of the circle closest to p[i..i+2]. */
export function angleOn(circle: Circle, p: Float64Array, i: number): number {
  const d = new Float64Array(3);
  subtract(p, i, circle.centre, 0, d, 0);
  const angle = atan2(dot(d, 0, circle.v, 0), dot(d, 0, circle.u, 0));
  return angle < 0 ? angle + 2 * Math.PI : angle;
}

/** Distance of p[i..i+2] from the circle, mm. */
export function distanceFrom(circle: Circle, p: Float64Array, i: number): number {
  const d = new Float64Array(3);
  subtract(p, i, circle.centre, 0, d, 0);
  const height = dot(d, 0, circle.w, 0);
  const x = dot(d, 0, circle.u, 0);
  const y = dot(d, 0, circle.v, 0);
  const radial = Math.sqrt(x * x + y * y) - circle.radius;
  return Math.sqrt(height * height + radial * radial);
}

/** Where p[c..c+2] falls on the segment from p[a..] to p[b..]: share 0 .. 1 of its length, and its distance, mm. */
export function onSegment(p: Float64Array, a: number, b: number, c: number): { share: number; distance: number } {
  const along = new Float64Array(3);
  const to = new Float64Array(3);
  subtract(p, b, p, a, along, 0);
  subtract(p, c, p, a, to, 0);
  const square = dot(along, 0, along, 0);
  const share = square > 0 ? Math.min(1, Math.max(0, dot(to, 0, along, 0) / square)) : 0;
  for (let k = 0; k < 3; k++) along[k] = p[a + k] + share * along[k];
  return { share, distance: distance(along, 0, p, c) };
}
