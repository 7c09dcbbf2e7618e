// Unit quaternions w x y z in strided Float64Arrays, after Shepperd (1978) for the way from a matrix and Shoemake (1985)
// for slerp. A quaternion q turns a vector v into q v q*; q and -q are the same turn.
import { atan2, cos, sin } from './elementary.ts';

/** Hamilton product a b to out[k..k+3]: first the turn b, then the turn a. */
export function multiply(a: Float64Array, i: number, b: Float64Array, j: number, out: Float64Array, k: number): void {
  const w = a[i] * b[j] - a[i + 1] * b[j + 1] - a[i + 2] * b[j + 2] - a[i + 3] * b[j + 3];
  const x = a[i] * b[j + 1] + a[i + 1] * b[j] + a[i + 2] * b[j + 3] - a[i + 3] * b[j + 2];
  const y = a[i] * b[j + 2] - a[i + 1] * b[j + 3] + a[i + 2] * b[j] + a[i + 3] * b[j + 1];
  const z = a[i] * b[j + 3] + a[i + 1] * b[j + 2] - a[i + 2] * b[j + 1] + a[i + 3] * b[j];
  set(out, k, w, x, y, z);
}

/**
 * Quaternion of the rotation matrix m[i..i+8], row by row, to out[k..k+3], normalised, w >= 0. Takes the square root of
 * the largest of the four squares, so it is exact near half turns too (Shepperd 1978).
 */
export function fromMatrix(m: Float64Array, i: number, out: Float64Array, k: number): void {
  const xx = m[i];
  const yy = m[i + 4];
  const zz = m[i + 8];
  const trace = xx + yy + zz;
  let w: number;
  let x: number;
  let y: number;
  let z: number;
  if (trace >= Math.max(xx, yy, zz)) {
    w = 1 + trace;
    x = m[i + 7] - m[i + 5];
    y = m[i + 2] - m[i + 6];
    z = m[i + 3] - m[i + 1];
  } else if (xx >= yy && xx >= zz) {
    w = m[i + 7] - m[i + 5];
    x = 1 + xx - yy - zz;
    y = m[i + 1] + m[i + 3];
    z = m[i + 2] + m[i + 6];
  } else if (yy >= zz) {
    w = m[i + 2] - m[i + 6];
    x = m[i + 1] + m[i + 3];
    y = 1 + yy - xx - zz;
    z = m[i + 5] + m[i + 7];
  } else {
    w = m[i + 3] - m[i + 1];
    x = m[i + 2] + m[i + 6];
    y = m[i + 5] + m[i + 7];
    z = 1 + zz - xx - yy;
  }
  const f = (w < 0 ? -1 : 1) / Math.sqrt(w * w + x * x + y * y + z * z);
  set(out, k, f * w, f * x, f * y, f * z);
}

/** Quaternion of the frame whose unit axes are the columns x, y, z (right-handed), to out[k..k+3], w >= 0. */
export function fromAxes(
  x: Float64Array,
  ix: number,
  y: Float64Array,
  iy: number,
  z: Float64Array,
  iz: number,
  out: Float64Array,
  k: number,
): void {
  const m = Float64Array.of(x[ix], y[iy], z[iz], x[ix + 1], y[iy + 1], z[iz + 1], x[ix + 2], y[iy + 2], z[iz + 2]);
  fromMatrix(m, 0, out, k);
}

/** Rotation matrix of the unit quaternion q[i..i+3], row by row, to out[k..k+8]; its columns are the frame's axes. */
export function toMatrix(q: Float64Array, i: number, out: Float64Array, k: number): void {
  const w = q[i];
  const x = q[i + 1];
  const y = q[i + 2];
  const z = q[i + 3];
  out[k] = 1 - 2 * (y * y + z * z);
  out[k + 1] = 2 * (x * y - w * z);
  out[k + 2] = 2 * (x * z + w * y);
  out[k + 3] = 2 * (x * y + w * z);
  out[k + 4] = 1 - 2 * (x * x + z * z);
  out[k + 5] = 2 * (y * z - w * x);
  out[k + 6] = 2 * (x * z - w * y);
  out[k + 7] = 2 * (y * z + w * x);
  out[k + 8] = 1 - 2 * (x * x + y * y);
}

/** The vector v[j..j+2] turned by the unit quaternion q[i..i+3], to out[k..k+2]. */
export function rotate(q: Float64Array, i: number, v: Float64Array, j: number, out: Float64Array, k: number): void {
  const w = q[i];
  const x = q[i + 1];
  const y = q[i + 2];
  const z = q[i + 3];
  // u = 2 q x v, then v + w u + q x u.
  const ux = 2 * (y * v[j + 2] - z * v[j + 1]);
  const uy = 2 * (z * v[j] - x * v[j + 2]);
  const uz = 2 * (x * v[j + 1] - y * v[j]);
  const vx = v[j] + w * ux + y * uz - z * uy;
  const vy = v[j + 1] + w * uy + z * ux - x * uz;
  const vz = v[j + 2] + w * uz + x * uy - y * ux;
  out[k] = vx;
  out[k + 1] = vy;
  out[k + 2] = vz;
}

/** Quaternion of the rotation vector r[i..i+2] (axis x angle, rad), to out[k..k+3]. */
export function fromRotationVector(r: Float64Array, i: number, out: Float64Array, k: number): void {
  const x = r[i];
  const y = r[i + 1];
  const z = r[i + 2];
  const angle = Math.sqrt(x * x + y * y + z * z);
  // sin(a/2)/a, from its series where a is too small to divide by.
  const f = angle > 1e-4 ? sin(angle / 2) / angle : 0.5 - (angle * angle) / 48;
  set(out, k, cos(angle / 2), f * x, f * y, f * z);
}

/**
 * Rotation vector r (rad, to out[k..k+2]) that takes the frame a[i..i+3] to the frame b[j..j+3] the short way:
 * b = exp(r) a, in the frame in which both are given. At a half turn either sense is right.
 */
export function rotationBetween(
  a: Float64Array,
  i: number,
  b: Float64Array,
  j: number,
  out: Float64Array,
  k: number,
): void {
  let w = b[j] * a[i] + b[j + 1] * a[i + 1] + b[j + 2] * a[i + 2] + b[j + 3] * a[i + 3];
  const sign = w < 0 ? -1 : 1;
  w *= sign;
  const x = sign * (-b[j] * a[i + 1] + b[j + 1] * a[i] - b[j + 2] * a[i + 3] + b[j + 3] * a[i + 2]);
  const y = sign * (-b[j] * a[i + 2] + b[j + 1] * a[i + 3] + b[j + 2] * a[i] - b[j + 3] * a[i + 1]);
  const z = sign * (-b[j] * a[i + 3] - b[j + 1] * a[i + 2] + b[j + 2] * a[i + 1] + b[j + 3] * a[i]);
  const half = Math.sqrt(x * x + y * y + z * z);
  const f = half > 1e-9 ? (2 * atan2(half, w)) / half : 2;
  out[k] = f * x;
  out[k + 1] = f * y;
  out[k + 2] = f * z;
}

/** Turn at even rate from a (f = 0) to b (f = 1), the short way, to out[k..k+3] (Shoemake 1985). */
export function slerp(
  a: Float64Array,
  i: number,
  b: Float64Array,
  j: number,
  f: number,
  out: Float64Array,
  k: number,
): void {
  const r = new Float64Array(3);
  const q = new Float64Array(4);
  rotationBetween(a, i, b, j, r, 0);
  for (let c = 0; c < 3; c++) r[c] *= f;
  fromRotationVector(r, 0, q, 0);
  multiply(q, 0, a, i, out, k);
}

/** Flips signs in place so that each of the n quaternions lies on the same half of the sphere as the one before it. */
export function alignSigns(q: Float64Array, n: number): void {
  for (let m = 4; m < 4 * n; m += 4) {
    const d = q[m] * q[m - 4] + q[m + 1] * q[m - 3] + q[m + 2] * q[m - 2] + q[m + 3] * q[m - 1];
    if (d < 0) set(q, m, -q[m], -q[m + 1], -q[m + 2], -q[m + 3]);
  }
}

function set(out: Float64Array, k: number, w: number, x: number, y: number, z: number): void {
  out[k] = w;
  out[k + 1] = x;
  out[k + 2] = y;
  out[k + 3] = z;
}
