// Small vector helpers on strided Float64Arrays: a vector is three numbers at an offset, so that arrays of positions and
// tangents (3 x n) are worked on in place, without an object per point. Output may be the same place as an input.
import { atan2 } from './elementary.ts';

/** Dot product of a[i..i+2] and b[j..j+2]. */
export function dot(a: Float64Array, i: number, b: Float64Array, j: number): number {
  return a[i] * b[j] + a[i + 1] * b[j + 1] + a[i + 2] * b[j + 2];
}

/** Length of a[i..i+2]. */
export function length(a: Float64Array, i: number): number {
  return Math.sqrt(dot(a, i, a, i));
}

/** Distance between the points a[i..i+2] and b[j..j+2]. */
export function distance(a: Float64Array, i: number, b: Float64Array, j: number): number {
  const x = a[i] - b[j];
  const y = a[i + 1] - b[j + 1];
  const z = a[i + 2] - b[j + 2];
  return Math.sqrt(x * x + y * y + z * z);
}

/** Writes three numbers to out[k..k+2]. */
export function set(out: Float64Array, k: number, x: number, y: number, z: number): void {
  out[k] = x;
  out[k + 1] = y;
  out[k + 2] = z;
}

/** Copies a[i..i+2] to out[k..k+2]. */
export function copy(a: Float64Array, i: number, out: Float64Array, k: number): void {
  set(out, k, a[i], a[i + 1], a[i + 2]);
}

/** a - b to out[k..k+2]. */
export function subtract(a: Float64Array, i: number, b: Float64Array, j: number, out: Float64Array, k: number): void {
  set(out, k, a[i] - b[j], a[i + 1] - b[j + 1], a[i + 2] - b[j + 2]);
}

/** a + f b to out[k..k+2]. */
export function addScaled(
  a: Float64Array,
  i: number,
  f: number,
  b: Float64Array,
  j: number,
  out: Float64Array,
  k: number,
): void {
  set(out, k, a[i] + f * b[j], a[i + 1] + f * b[j + 1], a[i + 2] + f * b[j + 2]);
}

/** f a, in place. */
export function scale(a: Float64Array, i: number, f: number): void {
  set(a, i, f * a[i], f * a[i + 1], f * a[i + 2]);
}

/** Cross product a x b to out[k..k+2]. */
export function cross(a: Float64Array, i: number, b: Float64Array, j: number, out: Float64Array, k: number): void {
  const x = a[i + 1] * b[j + 2] - a[i + 2] * b[j + 1];
  const y = a[i + 2] * b[j] - a[i] * b[j + 2];
  const z = a[i] * b[j + 1] - a[i + 1] * b[j];
  set(out, k, x, y, z);
}

/** Makes a[i..i+2] a unit vector in place; returns its former length. A zero vector stays zero and gives 0. */
export function normalise(a: Float64Array, i: number): number {
  const l = length(a, i);
  if (l > 0) scale(a, i, 1 / l);
  return l;
}

/** Takes the part along the unit vector u[j..j+2] out of a[i..i+2] and makes the rest a unit vector; returns the rest's length. */
export function orthonormalise(a: Float64Array, i: number, u: Float64Array, j: number): number {
  addScaled(a, i, -dot(a, i, u, j), u, j, a, i);
  return normalise(a, i);
}

/** Angle between two vectors, 0 .. pi rad; exact for small and for opposite ones (cross and dot, never acos). */
export function angleBetween(a: Float64Array, i: number, b: Float64Array, j: number): number {
  const x = a[i + 1] * b[j + 2] - a[i + 2] * b[j + 1];
  const y = a[i + 2] * b[j] - a[i] * b[j + 2];
  const z = a[i] * b[j + 1] - a[i + 1] * b[j];
  return atan2(Math.sqrt(x * x + y * y + z * z), dot(a, i, b, j));
}
