// Points on the long sides of slender facets: a face that is straight one way (an extruded or ruled wall) is tessellated
// with vertices on two rims only, however far apart; its long sides are its rulings, and points on them tell a local fit so.
import type { FacePoints } from './face-points.ts';

/** A side this many times as long as the shortest one of its facet is filled. */
const SLENDER = 4;
/** At most this many points on one side. */
const MOST = 24;
/** Sine of the angle between two facets below which they are one plane and their common side a mere diagonal. */
const FLAT = 1e-5;

/**
 * The points with points on long sides added after the face's own; the same record where there are none to add, or where
 * the face has vertices inside: there it bends both ways.
 */
export function fillLongSides(points: FacePoints): FacePoints {
  if (points.border.includes(0)) return points;
  const position: number[] = [];
  const normal: number[] = [];
  for (const { a, b, pieces } of longSides(points)) {
    for (let k = 1; k < pieces; k += 1) {
      const f = k / pieces;
      const n = [0, 1, 2].map((j) => (1 - f) * points.normal[3 * a + j] + f * points.normal[3 * b + j]);
      const l = Math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
      for (let j = 0; j < 3; j += 1) {
        position.push((1 - f) * points.position[3 * a + j] + f * points.position[3 * b + j]);
        normal.push(n[j] / l);
      }
    }
  }
  const added = position.length / 3;
  if (added === 0) return points;
  const border = new Uint8Array(points.count + added);
  border.set(points.border);
  return {
    ...points,
    count: points.count + added,
    position: joined(points.position, position),
    normal: joined(points.normal, normal),
    border,
  };
}

function joined(own: Float64Array, added: readonly number[]): Float64Array {
  const out = new Float64Array(own.length + added.length);
  out.set(own);
  out.set(added, own.length);
  return out;
}

interface Side {
  readonly a: number;
  readonly b: number;
  readonly pieces: number;
}

/** Long sides between two facets that are not one plane, with the number of pieces to cut each into. */
function longSides(points: FacePoints): Side[] {
  const { corner, position: p, count } = points;
  const length = (a: number, b: number) =>
    Math.sqrt((p[3 * a] - p[3 * b]) ** 2 + (p[3 * a + 1] - p[3 * b + 1]) ** 2 + (p[3 * a + 2] - p[3 * b + 2]) ** 2);
  const first = new Map<number, number>();
  const sides: Side[] = [];
  for (let c = 0; c < corner.length; c += 1) {
    const t = 3 * Math.floor(c / 3);
    const [a, b, o] = [corner[c], corner[t + ((c - t + 1) % 3)], corner[t + ((c - t + 2) % 3)]];
    const shortest = Math.min(length(a, b), length(b, o), length(o, a));
    const long = length(a, b);
    if (!(long > SLENDER * shortest)) continue;
    const key = a < b ? a * count + b : b * count + a;
    const other = first.get(key);
    if (other === undefined) {
      first.set(key, o);
      continue;
    }
    // Height of the fourth corner over this facet, per its distance from the side, is the sine of the fold.
    if (fold(p, a, b, o, other) < FLAT) continue;
    sides.push({ a, b, pieces: Math.min(MOST, Math.floor(long / (2 * shortest))) });
  }
  return sides;
}

function fold(p: Float64Array, a: number, b: number, c: number, d: number): number {
  const n = normalOf(p, a, b, c);
  const m = normalOf(p, a, b, d);
  const x = n[1] * m[2] - n[2] * m[1];
  const y = n[2] * m[0] - n[0] * m[2];
  const z = n[0] * m[1] - n[1] * m[0];
  return Math.sqrt(x * x + y * y + z * z);
}

function normalOf(p: Float64Array, a: number, b: number, c: number): [number, number, number] {
  const u = [0, 1, 2].map((k) => p[3 * b + k] - p[3 * a + k]);
  const v = [0, 1, 2].map((k) => p[3 * c + k] - p[3 * a + k]);
  const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const l = Math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
  return l > 0 ? [n[0] / l, n[1] / l, n[2] / l] : [0, 0, 0];
}
