// All solutions of six axes with an ortho-parallel base and a spherical wrist, in closed form (Brandstoetter, Angerer &
// Hofbaur 2014, Austrian Robotics Workshop), written with sines and cosines from the law of cosines so that only the
// results need an arc tangent. Poses are 12 numbers: rotation row by row (9), then position (3).
import type { OrthoParallel } from '../model/arm.ts';
import { atan2, sin } from '../geometry/elementary.ts';

/** Solutions of one pose: branch = 4 x shoulder (1: turned round) + 2 x elbow + wrist (1: flipped). */
export const BRANCHES = 8;
/** Numbers in a set of solutions: 6 angles a branch. */
export const SOLUTION_SIZE = 6 * BRANCHES;

/** Below this sine of axis 5 the wrist is taken for straight: axes 4 and 6 turn about one line, and only their sum counts. */
const STRAIGHT = 1e-9;
/** Rounding allowed at the border of reach, relative. */
const BORDER = 1e-9;

const TWO_PI = 2 * Math.PI;

/**
 * All postures whose flange stands at pose[at..at+11] in the model's root frame. Writes six angles (rad, in (-pi, pi])
 * a branch to out[0..47], NaN for a branch that does not exist. Returns a bit mask: bits 0-7 the branches that exist,
 * bits 8-11 the pairs of branches (shoulder and elbow) whose wrist is straight: there axis 4 is put to the geometric
 * angle 0 (pi where flipped), and `holdWrist` may move it. At the border of reach both elbows are the same posture and
 * both are written. A wrist centre on axis 1 (b = 0) leaves axis 1 free: it is put to the geometric angle 0 or pi.
 */
export function inverse(model: OrthoParallel, pose: Float64Array, at: number, out: Float64Array): number {
  const { a1, a2, b, c1, c2, c3, c4 } = model;
  const nx = pose[at];
  const sx = pose[at + 1];
  const ax = pose[at + 2];
  const ny = pose[at + 3];
  const sy = pose[at + 4];
  const ay = pose[at + 5];
  const nz = pose[at + 6];
  const sz = pose[at + 7];
  const az = pose[at + 8];
  const cx = pose[at + 9] - c4 * ax;
  const cy = pose[at + 10] - c4 * ay;
  const z = pose[at + 11] - c4 * az - c1;
  const k2 = a2 * a2 + c3 * c3;
  const k = Math.sqrt(k2);
  const sinPsi = a2 / k;
  const cosPsi = c3 / k;
  const psi = atan2(a2, c3);

  const flat2 = cx * cx + cy * cy;
  const radial2 = flat2 - b * b;
  if (!(radial2 >= -BORDER * (flat2 + b * b))) {
    out.fill(Number.NaN, 0, SOLUTION_SIZE);
    return 0;
  }
  const radial = Math.sqrt(Math.max(radial2, 0));
  let mask = 0;
  for (let shoulder = 0; shoulder < 2; shoulder++) {
    // The wrist centre in the frame behind axis 1 is (forward, b, ..).
    const forward = shoulder === 0 ? radial : -radial;
    let cos1: number;
    let sin1: number;
    if (flat2 > 0) {
      cos1 = (cx * forward + cy * b) / flat2;
      sin1 = (cy * forward - cx * b) / flat2;
      const unit = Math.sqrt(cos1 * cos1 + sin1 * sin1);
      cos1 /= unit;
      sin1 /= unit;
    } else {
      cos1 = shoulder === 0 ? 1 : -1;
      sin1 = 0;
    }
    const x = forward - a1;
    const s2 = x * x + z * z;
    const cosElbow = (s2 - c2 * c2 - k2) / (2 * c2 * k);
    if (!(Math.abs(cosElbow) <= 1 + BORDER) || s2 === 0) {
      out.fill(Number.NaN, 24 * shoulder, 24 * shoulder + 24);
      continue;
    }
    const c = Math.min(Math.max(cosElbow, -1), 1);
    const sinElbow = Math.sqrt((1 - c) * (1 + c));
    const t1 = atan2(sin1, cos1);
    const bend = atan2(sinElbow, c);
    // The flange's axes seen from behind axis 1.
    const nx1 = cos1 * nx + sin1 * ny;
    const ny1 = cos1 * ny - sin1 * nx;
    const sx1 = cos1 * sx + sin1 * sy;
    const ax1 = cos1 * ax + sin1 * ay;
    const ay1 = cos1 * ay - sin1 * ax;
    for (let elbow = 0; elbow < 2; elbow++) {
      const sE = elbow === 0 ? sinElbow : -sinElbow;
      const along = c2 + k * c;
      const across = k * sE;
      const sin2 = (along * x - across * z) / s2;
      const cos2 = (along * z + across * x) / s2;
      const t2 = atan2(sin2, cos2);
      const t3 = (elbow === 0 ? bend : -bend) - psi;
      // t2 + t3 by addition of t2, the elbow's angle and -psi; rounding is taken out by the division.
      let sinU = sin2 * c + cos2 * sE;
      let cosU = cos2 * c - sin2 * sE;
      const unit = Math.sqrt(sinU * sinU + cosU * cosU);
      sinU /= unit;
      cosU /= unit;
      const sin23 = sinU * cosPsi - cosU * sinPsi;
      const cos23 = cosU * cosPsi + sinU * sinPsi;
      const wx = cos23 * ax1 - sin23 * az;
      const wz = sin23 * ax1 + cos23 * az;
      const sin5 = Math.sqrt(wx * wx + ay1 * ay1);
      const t5 = atan2(sin5, wz);
      let t4 = 0;
      let t6: number;
      const pair = 2 * shoulder + elbow;
      if (sin5 > STRAIGHT) {
        t4 = atan2(ay1, wx);
        t6 = atan2(sin23 * sx1 + cos23 * sz, -(sin23 * nx1 + cos23 * nz));
      } else {
        mask |= 1 << (8 + pair);
        const x0 = cos23 * nx1 - sin23 * nz;
        t6 = wz > 0 ? atan2(ny1, x0) : atan2(ny1, -x0);
      }
      const k0 = 12 * pair;
      write(model, out, k0, t1, t2, t3, t4, t5, t6);
      write(model, out, k0 + 6, t1, t2, t3, t4 + Math.PI, -t5, t6 + Math.PI);
      mask |= 3 << (2 * pair);
    }
  }
  return mask;
}

/** The joint angles of geometric angles: q = sign (t + offset), wrapped. */
function write(
  model: OrthoParallel,
  out: Float64Array,
  k: number,
  t1: number,
  t2: number,
  t3: number,
  t4: number,
  t5: number,
  t6: number,
): void {
  const { signs, offsets } = model;
  out[k] = wrap(signs[0] * (t1 + offsets[0]));
  out[k + 1] = wrap(signs[1] * (t2 + offsets[1]));
  out[k + 2] = wrap(signs[2] * (t3 + offsets[2]));
  out[k + 3] = wrap(signs[3] * (t4 + offsets[3]));
  out[k + 4] = wrap(signs[4] * (t5 + offsets[4]));
  out[k + 5] = wrap(signs[5] * (t6 + offsets[5]));
}

/** The same angle in (-pi, pi]. */
export function wrap(angle: number): number {
  if (angle > -Math.PI && angle <= Math.PI) return angle;
  const turned = angle - TWO_PI * Math.round(angle / TWO_PI);
  return turned <= -Math.PI ? turned + TWO_PI : turned;
}

/**
 * Moves axis 4 of a posture with a straight wrist, q[k..k+5], to `angle4` (rad) and axis 6 so that the flange stays:
 * t4 + t6 is kept where axis 5 is straight, t4 - t6 where it is folded back.
 */
export function holdWrist(model: OrthoParallel, q: Float64Array, k: number, angle4: number): void {
  const { signs, offsets } = model;
  const folded = Math.abs(wrap(signs[4] * q[k + 4] - offsets[4])) > Math.PI / 2;
  const change = signs[3] * (angle4 - q[k + 3]);
  q[k + 3] = angle4;
  q[k + 5] = wrap(q[k + 5] + signs[5] * (folded ? change : -change));
}

/**
 * |det J| of the flange's Jacobian in closed form (mm3): zero with the elbow stretched or folded, with the wrist centre
 * over axis 1, and with the wrist straight. J at any point fixed to the flange has the same determinant.
 */
export function determinant(model: OrthoParallel, q: Float64Array, at: number): number {
  const { a1, a2, c2, c3, signs, offsets } = model;
  const t2 = signs[1] * q[at + 1] - offsets[1];
  const t3 = signs[2] * q[at + 2] - offsets[2];
  const t5 = signs[4] * q[at + 4] - offsets[4];
  const k = Math.sqrt(a2 * a2 + c3 * c3);
  const elbow = t3 + atan2(a2, c3);
  return Math.abs(c2 * k * sin(elbow) * (a1 + c2 * sin(t2) + k * sin(t2 + elbow)) * sin(t5));
}

/** Distance (mm) of the wrist centre of a pose from the nearer border of the room that it reaches; negative outside. */
export function reachMargin(model: OrthoParallel, pose: Float64Array, at: number): number {
  const { a1, a2, b, c1, c2, c3, c4 } = model;
  const cx = pose[at + 9] - c4 * pose[at + 2];
  const cy = pose[at + 10] - c4 * pose[at + 5];
  const z = pose[at + 11] - c4 * pose[at + 8] - c1;
  const k = Math.sqrt(a2 * a2 + c3 * c3);
  const flat = Math.sqrt(cx * cx + cy * cy);
  const radial2 = flat * flat - b * b;
  if (radial2 < 0) return flat - Math.abs(b);
  const radial = Math.sqrt(radial2);
  const near = Math.sqrt((radial - a1) * (radial - a1) + z * z);
  const turned = Math.sqrt((radial + a1) * (radial + a1) + z * z);
  const inside = (s: number): number => Math.min(c2 + k - s, s - Math.abs(c2 - k));
  return Math.max(inside(near), inside(turned));
}
