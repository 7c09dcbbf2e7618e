// Forward kinematics, Jacobian and a damped least-squares inverse of any serial chain of revolute joints.
// Jacobian after Whitney (1972); damping by the squared error plus a small constant after Sugihara (2011, IEEE Trans.
// Robotics 27, 984). Poses and frames are 12 numbers: rotation row by row (9), then position (3).
import type { Arm } from '../model/arm.ts';
import { atan2, cos, sin } from '../geometry/elementary.ts';
import { rigidFromAngles } from '../geometry/rigid.ts';
import { solvePositive } from '../geometry/small-matrix.ts';

/** A chain laid out for computing: geometric angle t = sign q - offset turns joint j about its axis. */
export interface Chain {
  /** Number of axes, n. */
  readonly count: number;
  /** Frame of each joint in the link before it, 12 x n. */
  readonly origin: Float64Array;
  /** Unit axis in that frame, 3 x n. */
  readonly axis: Float64Array;
  readonly sign: Float64Array;
  readonly offset: Float64Array;
  /** Flange in the last link, 12. */
  readonly flange: Float64Array;
  /** Sum of the distances from joint to joint and to the flange, mm: nothing reaches further. */
  readonly span: number;
}

const IDENTITY = [1, 0, 0, 0, 1, 0, 0, 0, 1];

/** The chain of an arm in the frame in which jobs place their parts (`arm.base` included). */
export function chainOf(arm: Pick<Arm, 'model' | 'base'>): Chain {
  const { model } = arm;
  const chain = model.kind === 'chain' ? fromJoints(model.joints, model.flange) : fromOrthoParallel(model);
  const base = rigidFromAngles(arm.base.position, arm.base.rotation);
  const root = Float64Array.of(...base.rotation, ...base.translation);
  const origin = Float64Array.from(chain.origin);
  compose(root, 0, chain.origin, 0, origin, 0);
  return { ...chain, origin };
}

function fromJoints(
  joints: readonly { readonly origin: readonly number[]; readonly axis: readonly number[] }[],
  flange: readonly number[],
  signs?: readonly number[],
  offsets?: readonly number[],
): Chain {
  const origin = Float64Array.from(joints.flatMap((joint) => [...joint.origin]));
  const last = Float64Array.from(flange);
  let span = Math.sqrt(last[9] * last[9] + last[10] * last[10] + last[11] * last[11]);
  for (let k = 12; k < origin.length; k += 12) {
    span += Math.sqrt(origin[k + 9] ** 2 + origin[k + 10] ** 2 + origin[k + 11] ** 2);
  }
  return {
    count: joints.length,
    origin,
    axis: Float64Array.from(joints.flatMap((joint) => [...joint.axis])),
    sign: Float64Array.from(signs ?? joints.map(() => 1)),
    offset: Float64Array.from(offsets ?? joints.map(() => 0)),
    flange: last,
    span,
  };
}

function fromOrthoParallel(model: Extract<Arm['model'], { kind: 'ortho-parallel' }>): Chain {
  const { a1, a2, b, c1, c2, c3, c4 } = model;
  const at = (x: number, y: number, z: number): number[] => [...IDENTITY, x, y, z];
  const z = [0, 0, 1];
  const y = [0, 1, 0];
  const joints = [
    { origin: at(0, 0, 0), axis: z },
    { origin: at(a1, b, c1), axis: y },
    { origin: at(0, 0, c2), axis: y },
    { origin: at(a2, 0, c3), axis: z },
    { origin: at(0, 0, 0), axis: y },
    { origin: at(0, 0, 0), axis: z },
  ];
  return fromJoints(joints, at(0, 0, c4), model.signs, model.offsets);
}

/** Product a b of two frames to out[k..k+11]; `out` may be neither input. */
export function compose(a: Float64Array, i: number, b: Float64Array, j: number, out: Float64Array, k: number): void {
  for (let r = 0; r < 3; r++) {
    const x = a[i + 3 * r];
    const y = a[i + 3 * r + 1];
    const z = a[i + 3 * r + 2];
    for (let c = 0; c < 3; c++) out[k + 3 * r + c] = x * b[j + c] + y * b[j + 3 + c] + z * b[j + 6 + c];
    out[k + 9 + r] = x * b[j + 9] + y * b[j + 10] + z * b[j + 11] + a[i + 9 + r];
  }
}

/** Numbers in the frames of a chain: one frame a link, then the flange. */
export const framesSize = (chain: Chain): number => 12 * (chain.count + 1);

/**
 * Frames of all links and the flange for the joint angles q[at..at+n-1], rad, to `frames` (12 x (n + 1)): frame j turns
 * with axis j, the last one is the flange.
 */
export function forward(chain: Chain, q: Float64Array, at: number, frames: Float64Array): void {
  const { count, origin, axis, sign, offset, flange } = chain;
  for (let j = 0; j < count; j++) {
    const k = 12 * j;
    if (j === 0) frames.set(origin.subarray(0, 12), 0);
    else compose(frames, k - 12, origin, k, frames, k);
    const t = sign[j] * q[at + j] - offset[j];
    turnFrame(frames, k, axis, 3 * j, cos(t), sin(t));
  }
  compose(frames, 12 * (count - 1), flange, 0, frames, 12 * count);
}

/** Turns the frame f[k..] about its own unit axis u[i..], in place (Rodrigues). */
function turnFrame(f: Float64Array, k: number, u: Float64Array, i: number, c: number, s: number): void {
  const x = u[i];
  const y = u[i + 1];
  const z = u[i + 2];
  const d = 1 - c;
  for (let r = k; r < k + 9; r += 3) {
    const p = f[r];
    const q = f[r + 1];
    const w = f[r + 2];
    const along = d * (p * x + q * y + w * z);
    f[r] = c * p + along * x + s * (q * z - w * y);
    f[r + 1] = c * q + along * y + s * (w * x - p * z);
    f[r + 2] = c * w + along * z + s * (p * y - q * x);
  }
}

/**
 * Jacobian at the point p[i..i+2] from `frames`, 6 x n row by row to `out`: velocity of the point (mm/rad), then turning
 * rate (rad/rad), per rate of q.
 */
export function jacobian(chain: Chain, frames: Float64Array, p: Float64Array, i: number, out: Float64Array): void {
  const { count: n, axis, sign } = chain;
  for (let j = 0; j < n; j++) {
    const f = 12 * j;
    const x = axis[3 * j] * sign[j];
    const y = axis[3 * j + 1] * sign[j];
    const z = axis[3 * j + 2] * sign[j];
    const ux = frames[f] * x + frames[f + 1] * y + frames[f + 2] * z;
    const uy = frames[f + 3] * x + frames[f + 4] * y + frames[f + 5] * z;
    const uz = frames[f + 6] * x + frames[f + 7] * y + frames[f + 8] * z;
    const dx = p[i] - frames[f + 9];
    const dy = p[i + 1] - frames[f + 10];
    const dz = p[i + 2] - frames[f + 11];
    out[j] = uy * dz - uz * dy;
    out[n + j] = uz * dx - ux * dz;
    out[2 * n + j] = ux * dy - uy * dx;
    out[3 * n + j] = ux;
    out[4 * n + j] = uy;
    out[5 * n + j] = uz;
  }
}

/** Position error (3, mm) and rotation vector (3, rad) from the frame a[i..] to the target b[j..], to out[0..5]. */
export function poseError(a: Float64Array, i: number, b: Float64Array, j: number, out: Float64Array): void {
  for (let c = 0; c < 3; c++) out[c] = b[j + 9 + c] - a[i + 9 + c];
  // R = B A': its skew part is sin x axis, its trace gives the cosine.
  let wx = 0;
  let wy = 0;
  let wz = 0;
  let trace = 0;
  for (let c = 0; c < 3; c++) {
    const a0 = a[i + c];
    const a1 = a[i + 3 + c];
    const a2 = a[i + 6 + c];
    const b0 = b[j + c];
    const b1 = b[j + 3 + c];
    const b2 = b[j + 6 + c];
    wx += (b2 * a1 - b1 * a2) / 2;
    wy += (b0 * a2 - b2 * a0) / 2;
    wz += (b1 * a0 - b0 * a1) / 2;
    trace += a0 * b0 + a1 * b1 + a2 * b2;
  }
  const s = Math.sqrt(wx * wx + wy * wy + wz * wz);
  const angle = atan2(s, (trace - 1) / 2);
  const f = s > 1e-9 ? angle / s : 1;
  out[3] = f * wx;
  out[4] = f * wy;
  out[5] = f * wz;
}

/** Working memory of the numeric solver, so that a solution allocates nothing. */
export interface SolverSpace {
  readonly frames: Float64Array;
  readonly jacobian: Float64Array;
  readonly error: Float64Array;
  readonly normal: Float64Array;
  readonly step: Float64Array;
}

export function solverSpace(chain: Chain): SolverSpace {
  const n = chain.count;
  return {
    frames: new Float64Array(framesSize(chain)),
    jacobian: new Float64Array(6 * n),
    error: new Float64Array(6),
    normal: new Float64Array(n * n),
    step: new Float64Array(n),
  };
}

/** Largest change of an axis in one step of the solver, rad. */
const STEP = 0.5;
/** A solution lies this close: mm per mm of span, and rad. */
const CLOSE = 1e-10;
const ITERATIONS = 80;

/**
 * Joint angles near q[at..] (rad, overwritten) whose flange stands at `target` (12 numbers from t): damped least squares
 * with lengths over the arm's span, so that mm and rad weigh alike. Returns whether it got there; q then holds the
 * solution closest in the sense of the steps taken, not wrapped and not held within limits. Deterministic.
 */
export function solveChain(
  chain: Chain,
  target: Float64Array,
  t: number,
  q: Float64Array,
  at: number,
  space: SolverSpace,
): boolean {
  const { frames, jacobian: J, error, normal, step } = space;
  const n = chain.count;
  const scale = 1 / Math.max(chain.span, 1e-9);
  for (let iteration = 0; iteration < ITERATIONS; iteration++) {
    forward(chain, q, at, frames);
    poseError(frames, 12 * n, target, t, error);
    for (let c = 0; c < 3; c++) error[c] *= scale;
    let squared = 0;
    for (let c = 0; c < 6; c++) squared += error[c] * error[c];
    if (!(squared < Number.POSITIVE_INFINITY)) return false;
    if (squared < CLOSE * CLOSE) return true;
    jacobian(chain, frames, frames, 12 * n + 9, J);
    for (let c = 0; c < 3 * n; c++) J[c] *= scale;
    // (J'J + (e'e / 2 + small) I) step = J' e
    for (let a = 0; a < n; a++) {
      for (let b = a; b < n; b++) {
        let sum = a === b ? squared / 2 + 1e-12 : 0;
        for (let r = 0; r < 6; r++) sum += J[n * r + a] * J[n * r + b];
        normal[n * a + b] = sum;
        normal[n * b + a] = sum;
      }
      let right = 0;
      for (let r = 0; r < 6; r++) right += J[n * r + a] * error[r];
      step[a] = right;
    }
    if (!solvePositive(normal, step, n)) return false;
    let largest = 0;
    for (let j = 0; j < n; j++) largest = Math.max(largest, Math.abs(step[j]));
    const f = largest > STEP ? STEP / largest : 1;
    for (let j = 0; j < n; j++) q[at + j] += f * step[j];
  }
  return false;
}
