// Curves with closed forms that the tests sample: position and its first two derivatives by the parameter.
import { cross, length, scale } from '../../src/geometry/vector.ts';

/** Writes r, r', r'' at the parameter to out[0..8]. */
export type KnownCurve = (p: number, out: Float64Array) => void;

/** Rim of a saddle on a cylinder of radius 40, amplitude 8: z = A cos 2 phi. */
export const saddle: KnownCurve = (p, out) => {
  out.set([40 * Math.cos(p), 40 * Math.sin(p), 8 * Math.cos(2 * p)]);
  out.set([-40 * Math.sin(p), 40 * Math.cos(p), -16 * Math.sin(2 * p)], 3);
  out.set([-40 * Math.cos(p), -40 * Math.sin(p), -32 * Math.cos(2 * p)], 6);
};

/** Helix of radius 40 and pitch 20 about z. */
export const helix: KnownCurve = (p, out) => {
  const c = 10 / Math.PI;
  out.set([40 * Math.cos(p), 40 * Math.sin(p), c * p]);
  out.set([-40 * Math.sin(p), 40 * Math.cos(p), c], 3);
  out.set([-40 * Math.cos(p), -40 * Math.sin(p), 0], 6);
};

/** Ellipse with half axes 50 and 30. */
export const ellipse: KnownCurve = (p, out) => {
  out.set([50 * Math.cos(p), 30 * Math.sin(p), 0]);
  out.set([-50 * Math.sin(p), 30 * Math.cos(p), 0], 3);
  out.set([-50 * Math.cos(p), -30 * Math.sin(p), 0], 6);
};

/** Viviani's curve with a = 1, parameter 0 .. 4 pi: a (1 + cos p), a sin p, 2 a sin(p / 2). */
export const viviani: KnownCurve = (p, out) => {
  out.set([1 + Math.cos(p), Math.sin(p), 2 * Math.sin(p / 2)]);
  out.set([-Math.sin(p), Math.cos(p), Math.cos(p / 2)], 3);
  out.set([-Math.cos(p), -Math.sin(p), -Math.sin(p / 2) / 2], 6);
};

/** Torus knot (2, 7): radii 0.6 and 0.3, twice round the axis. */
export const torusKnot: KnownCurve = (p, out) => {
  const r = 0.6 + 0.3 * Math.cos(7 * p);
  const r1 = -2.1 * Math.sin(7 * p);
  const r2 = -14.7 * Math.cos(7 * p);
  const c = Math.cos(2 * p);
  const s = Math.sin(2 * p);
  out.set([r * c, r * s, 0.3 * Math.sin(7 * p)]);
  out.set([r1 * c - 2 * r * s, r1 * s + 2 * r * c, 2.1 * Math.cos(7 * p)], 3);
  out.set([r2 * c - 4 * r1 * s - 4 * r * c, r2 * s + 4 * r1 * c - 4 * r * s, -14.7 * Math.sin(7 * p)], 6);
};

/** n points of the curve at even parameters from 0: position and unit tangent, 3 x n each. */
export function sampleKnown(curve: KnownCurve, n: number, step: number) {
  const position = new Float64Array(3 * n);
  const tangent = new Float64Array(3 * n);
  const out = new Float64Array(9);
  for (let i = 0; i < n; i++) {
    curve(i * step, out);
    scale(out, 3, 1 / length(out, 3));
    position.set(out.subarray(0, 3), 3 * i);
    tangent.set(out.subarray(3, 6), 3 * i);
  }
  return { position, tangent };
}

/** Curvature |r' x r''| / |r'|^3 of what a known curve wrote. */
export function knownCurvature(out: Float64Array): number {
  const c = new Float64Array(3);
  cross(out, 3, out, 6, c, 0);
  return length(c, 0) / length(out, 3) ** 3;
}
