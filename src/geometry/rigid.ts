// Rigid motions x' = R x + p: a part in the arm's base frame, and what tests move parts with. Angles A, B, C about
// x, y, z in the habit of ISO 9787: R = Rz(C) Ry(B) Rx(A), that is about fixed axes, x first.
import { cos, sin } from './elementary.ts';
import { fromMatrix, toMatrix } from './quaternion.ts';

export interface Rigid {
  /** R, row by row, 9. */
  readonly rotation: Float64Array;
  /** p, 3, mm. */
  readonly translation: Float64Array;
}

/** Motion from a position (mm) and the angles A B C (rad): R = Rz(C) Ry(B) Rx(A). */
export function rigidFromAngles(position: ArrayLike<number>, angles: ArrayLike<number>): Rigid {
  const ca = cos(angles[0]);
  const sa = sin(angles[0]);
  const cb = cos(angles[1]);
  const sb = sin(angles[1]);
  const cc = cos(angles[2]);
  const sc = sin(angles[2]);
  const rotation = Float64Array.of(
    cc * cb,
    cc * sb * sa - sc * ca,
    cc * sb * ca + sc * sa,
    sc * cb,
    sc * sb * sa + cc * ca,
    sc * sb * ca - cc * sa,
    -sb,
    cb * sa,
    cb * ca,
  );
  return { rotation, translation: Float64Array.from(position) };
}

/** Motion from a position (mm) and a unit quaternion w x y z. */
export function rigidFromQuaternion(position: ArrayLike<number>, quaternion: ArrayLike<number>): Rigid {
  const rotation = new Float64Array(9);
  toMatrix(Float64Array.from(quaternion), 0, rotation, 0);
  return { rotation, translation: Float64Array.from(position) };
}

/** Unit quaternion w x y z of the motion's rotation, w >= 0. */
export function rigidQuaternion(rigid: Rigid): Float64Array {
  const q = new Float64Array(4);
  fromMatrix(rigid.rotation, 0, q, 0);
  return q;
}

/** The motion that undoes this one. */
export function invertRigid(rigid: Rigid): Rigid {
  const r = rigid.rotation;
  const rotation = Float64Array.of(r[0], r[3], r[6], r[1], r[4], r[7], r[2], r[5], r[8]);
  const translation = turnVectors({ rotation, translation: rigid.translation }, rigid.translation).map((x) => -x);
  return { rotation, translation };
}

/** First `second`, then `first`: x' = first(second(x)). */
export function composeRigid(first: Rigid, second: Rigid): Rigid {
  const a = first.rotation;
  const b = second.rotation;
  const rotation = new Float64Array(9);
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++)
      rotation[3 * i + j] = a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
  }
  return { rotation, translation: movePoints(first, second.translation) };
}

/** The points (3 x n, mm), moved; a new array. */
export function movePoints(rigid: Rigid, points: Float64Array): Float64Array {
  const out = turnVectors(rigid, points);
  const p = rigid.translation;
  for (let i = 0; i < out.length; i += 3) {
    out[i] += p[0];
    out[i + 1] += p[1];
    out[i + 2] += p[2];
  }
  return out;
}

/** Directions (3 x n), turned but not shifted; a new array. */
export function turnVectors(rigid: Rigid, vectors: Float64Array): Float64Array {
  const r = rigid.rotation;
  const out = new Float64Array(vectors.length);
  for (let i = 0; i < out.length; i += 3) {
    const x = vectors[i];
    const y = vectors[i + 1];
    const z = vectors[i + 2];
    out[i] = r[0] * x + r[1] * y + r[2] * z;
    out[i + 1] = r[3] * x + r[4] * y + r[5] * z;
    out[i + 2] = r[6] * x + r[7] * y + r[8] * z;
  }
  return out;
}
