// Orthogonal-distance fits of sphere, cylinder, cone and torus to points: Levenberg-Marquardt on the signed distance with
// exact derivatives (Lukacs, Martin & Marshall 1998, "Faithful least-squares fitting of spheres, cylinders, cones and
// tori", for the choice of parameters; More 1978 for the damping). The axis is turned and moved by small steps in its own
// frame, so no angle ever meets a singular chart.
import { solvePositive } from './small-matrix.ts';

type FittedKind = 'sphere' | 'cylinder' | 'cone' | 'torus';

/** Number of free parameters of each kind. */
export const PARAMETER_COUNT = { sphere: 4, cylinder: 5, cone: 6, torus: 7 } as const;

/**
 * A surface of revolution in the making, lengths in the unit of the points. `point` lies on the axis: the centre of
 * sphere and torus, any point for cylinder and cone. Distance of (rho, z), z counted from `point` along `axis`:
 * sphere sqrt(rho^2 + z^2) - a; cylinder rho - a; cone c rho - s z - a with c^2 + s^2 = 1; torus
 * sqrt((rho - b)^2 + z^2) - a.
 */
export interface Primitive {
  readonly kind: FittedKind;
  point: [number, number, number];
  axis: [number, number, number];
  a: number;
  b: number;
  c: number;
  s: number;
}

/** Signed orthogonal distance of (x, y, z) from the primitive. */
export function primitiveDistance(f: Primitive, x: number, y: number, z: number): number {
  const qx = x - f.point[0];
  const qy = y - f.point[1];
  const qz = z - f.point[2];
  const q2 = qx * qx + qy * qy + qz * qz;
  if (f.kind === 'sphere') return Math.sqrt(q2) - f.a;
  const h = qx * f.axis[0] + qy * f.axis[1] + qz * f.axis[2];
  const ex = qx - h * f.axis[0];
  const ey = qy - h * f.axis[1];
  const ez = qz - h * f.axis[2];
  const rho = Math.sqrt(ex * ex + ey * ey + ez * ez);
  if (f.kind === 'cylinder') return rho - f.a;
  if (f.kind === 'cone') return f.c * rho - f.s * h - f.a;
  return Math.sqrt((rho - f.b) * (rho - f.b) + h * h) - f.a;
}

/** Root mean square distance of the points, weighted. */
function primitiveRms(f: Primitive, position: Float64Array, weight: Float64Array): number {
  let sum = 0;
  let n = 0;
  for (let i = 0; i < weight.length; i += 1) {
    if (weight[i] === 0) continue;
    const d = primitiveDistance(f, position[3 * i], position[3 * i + 1], position[3 * i + 2]);
    sum += weight[i] * d * d;
    n += weight[i];
  }
  return Math.sqrt(sum / n);
}

/** Unit vectors u, v that make a right-handed frame u, v, axis. */
export function frameAbout(axis: readonly number[]): { u: [number, number, number]; v: [number, number, number] } {
  const [x, y, z] = axis;
  // Duff et al. 2017, "Building an orthonormal basis, revisited".
  const sign = z >= 0 ? 1 : -1;
  const f = -1 / (sign + z);
  const g = x * y * f;
  return { u: [1 + sign * x * x * f, sign * g, -sign * x], v: [g, sign + y * y * f, -y] };
}

const ITERATIONS = 80;

/**
 * Fits in place, from the start that `f` holds, to the points (3 x n) with their weights (0 leaves a point out). Scale the
 * points to about unit size first. Returns the root mean square distance; Infinity where the fit ran away.
 */
export function fitPrimitive(f: Primitive, position: Float64Array, weight: Float64Array): number {
  const n = PARAMETER_COUNT[f.kind];
  const system = createSystem(n);
  let damping = 1e-3;
  let rms = primitiveRms(f, position, weight);
  let stalled = 0;
  for (let iteration = 0; iteration < ITERATIONS && Number.isFinite(rms); iteration += 1) {
    accumulate(f, position, weight, system);
    let improved = false;
    for (let attempt = 0; attempt < 12 && !improved; attempt += 1) {
      const trial: Primitive = { ...f };
      if (step(trial, system, damping)) {
        const next = primitiveRms(trial, position, weight);
        if (next < rms) {
          stalled = next > rms * (1 - 1e-4) ? stalled + 1 : 0;
          Object.assign(f, trial);
          rms = next;
          improved = true;
          damping = Math.max(damping / 10, 1e-15);
          continue;
        }
      }
      damping = Math.max(damping, 1e-14) * 10;
    }
    if (!improved || stalled > 3 || rms < 1e-15) break;
  }
  return Number.isFinite(rms) ? rms : Number.POSITIVE_INFINITY;
}

interface System {
  readonly n: number;
  readonly normal: Float64Array;
  readonly right: Float64Array;
  readonly damped: Float64Array;
  readonly delta: Float64Array;
  readonly row: Float64Array;
}

function createSystem(n: number): System {
  const square = () => new Float64Array(n * n);
  const vector = () => new Float64Array(n);
  return { n, normal: square(), right: vector(), damped: square(), delta: vector(), row: vector() };
}

/** Normal equations of the distances' linearisation about `f`. */
function accumulate(f: Primitive, position: Float64Array, weight: Float64Array, system: System): void {
  const { n, normal, right, row } = system;
  const { u, v } = frameAbout(f.axis);
  normal.fill(0);
  right.fill(0);
  for (let i = 0; i < weight.length; i += 1) {
    if (weight[i] === 0) continue;
    const qx = position[3 * i] - f.point[0];
    const qy = position[3 * i + 1] - f.point[1];
    const qz = position[3 * i + 2] - f.point[2];
    const qu = qx * u[0] + qy * u[1] + qz * u[2];
    const qv = qx * v[0] + qy * v[1] + qz * v[2];
    const h = qx * f.axis[0] + qy * f.axis[1] + qz * f.axis[2];
    const d = linearise(f, qu, qv, h, row);
    for (let r = 0; r < n; r += 1) {
      const weighted = weight[i] * row[r];
      right[r] -= weighted * d;
      for (let c = 0; c <= r; c += 1) normal[r * n + c] += weighted * row[c];
    }
  }
}

/** Distance and its derivatives: sphere [du, dv, dh, a]; else [turn to u, turn to v, du, dv, ..shape]. */
function linearise(f: Primitive, qu: number, qv: number, h: number, row: Float64Array): number {
  const rho = Math.max(Math.sqrt(qu * qu + qv * qv), 1e-300);
  if (f.kind === 'sphere') {
    const r = Math.max(Math.sqrt(rho * rho + h * h), 1e-300);
    row[0] = -qu / r;
    row[1] = -qv / r;
    row[2] = -h / r;
    row[3] = -1;
    return r - f.a;
  }
  let byRho = 1;
  let byH = 0;
  let distance: number;
  if (f.kind === 'cylinder') {
    distance = rho - f.a;
    row[4] = -1;
  } else if (f.kind === 'cone') {
    distance = f.c * rho - f.s * h - f.a;
    byRho = f.c;
    byH = -f.s;
    row[4] = -1;
    row[5] = -f.s * rho - f.c * h;
  } else {
    const from = rho - f.b;
    const r = Math.max(Math.sqrt(from * from + h * h), 1e-300);
    distance = r - f.a;
    byRho = from / r;
    byH = h / r;
    row[4] = -byH;
    row[5] = -1;
    row[6] = -byRho;
  }
  const turn = byH - (byRho * h) / rho;
  row[0] = qu * turn;
  row[1] = qv * turn;
  row[2] = (-byRho * qu) / rho;
  row[3] = (-byRho * qv) / rho;
  return distance;
}

/** Solves the damped normal equations and moves `f`; false where that is not possible. */
function step(f: Primitive, system: System, damping: number): boolean {
  const { n, normal, right, damped, delta } = system;
  damped.set(normal);
  delta.set(right);
  for (let r = 0; r < n; r += 1) damped[r * n + r] = normal[r * n + r] * (1 + damping) + 1e-300;
  if (!solvePositive(damped, delta, n)) return false;
  const { u, v } = frameAbout(f.axis);
  const sphere = f.kind === 'sphere';
  const du = delta[sphere ? 0 : 2];
  const dv = delta[sphere ? 1 : 3];
  const dh = sphere ? delta[2] : f.kind === 'torus' ? delta[4] : 0;
  const at = (k: 0 | 1 | 2) => f.point[k] + du * u[k] + dv * v[k] + dh * f.axis[k];
  f.point = [at(0), at(1), at(2)];
  if (sphere) {
    f.a += delta[3];
    return f.a > 0;
  }
  const turned = (k: 0 | 1 | 2) => f.axis[k] + delta[0] * u[k] + delta[1] * v[k];
  const axis: [number, number, number] = [turned(0), turned(1), turned(2)];
  const l = Math.sqrt(axis[0] * axis[0] + axis[1] * axis[1] + axis[2] * axis[2]);
  f.axis = [axis[0] / l, axis[1] / l, axis[2] / l];
  if (f.kind === 'torus') {
    f.a += delta[5];
    f.b += delta[6];
    return f.a > 0;
  }
  f.a += delta[4];
  if (f.kind === 'cone') {
    const c = f.c - delta[5] * f.s;
    const s = f.s + delta[5] * f.c;
    const m = Math.sqrt(c * c + s * s);
    f.c = c / m;
    f.s = s / m;
  }
  return true;
}
