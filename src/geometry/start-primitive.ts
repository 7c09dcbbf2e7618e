// Starts for the primitive fits, from normals and points: axes by smallest eigenvectors, circles and spheres by algebraic
// least squares (Kasa 1976), cone tips as the common point of tangent planes, axes of revolution as the line that all
// normal lines meet (Pottmann & Randrup 1998).
import { fitPrimitive, frameAbout, type Primitive } from './fit-primitive.ts';
import { eigenSymmetric3, solvePositive } from './small-matrix.ts';

/** Points with unit normals (3 x count each) and weights. */
export interface NormalLines {
  readonly count: number;
  readonly point: Float64Array;
  readonly normal: Float64Array;
  readonly weight: Float64Array;
}

type Triple = [number, number, number];
type Sym = [number, number, number, number, number, number];

const ZERO: Primitive = { kind: 'sphere', point: [0, 0, 0], axis: [0, 0, 1], a: 0, b: 0, c: 1, s: 0 };

/** A cylinder whose axis is normal to the normals. Empty where the points make no circle about it. */
export function cylinderFrom(lines: NormalLines, position: Float64Array, weight: Float64Array): Primitive[] {
  const axis = direction(lines, [0, 0, 0]);
  const start = aboutAxis('cylinder', axis, position, weight);
  return start === null ? [] : [start];
}

/** Cones whose axis meets the normals at one angle: tip from the tangent planes, or slope from points about the axis. */
export function conesFrom(lines: NormalLines, position: Float64Array, weight: Float64Array): Primitive[] {
  const mean: Triple = [0, 0, 0];
  let total = 0;
  for (let i = 0; i < lines.count; i += 1) {
    total += lines.weight[i];
    for (let k = 0; k < 3; k += 1) mean[k] += lines.weight[i] * lines.normal[3 * i + k];
  }
  for (let k = 0; k < 3; k += 1) mean[k] /= total;
  const starts: Primitive[] = [];
  const axis = direction(lines, mean);
  const tip = commonPoint(lines);
  if (tip !== null) starts.push(coneWithTip(tip, axis, position, weight));
  // A slight draft: begin at the best cylinder.
  const cylinder = aboutAxis('cylinder', direction(lines, [0, 0, 0]), position, weight);
  if (cylinder !== null) {
    fitPrimitive(cylinder, position, weight);
    starts.push({ ...cylinder, kind: 'cone' });
  }
  return starts;
}

/** The algebraic best sphere. */
export function sphereFrom(position: Float64Array, weight: Float64Array): Primitive[] {
  const a = new Float64Array(16);
  const b = new Float64Array(4);
  for (let i = 0; i < weight.length; i += 1) {
    if (weight[i] === 0) continue;
    const row = [position[3 * i], position[3 * i + 1], position[3 * i + 2], 1];
    addRow(a, b, row, row[0] * row[0] + row[1] * row[1] + row[2] * row[2]);
  }
  if (!solvePositive(a, b, 4)) return [];
  const point: Triple = [b[0] / 2, b[1] / 2, b[2] / 2];
  const r2 = b[3] + point[0] * point[0] + point[1] * point[1] + point[2] * point[2];
  return r2 > 0 ? [{ ...ZERO, point, a: Math.sqrt(r2) }] : [];
}

/** A torus about the line that the normal lines meet best. */
export function torusFrom(lines: NormalLines, position: Float64Array, weight: Float64Array): Primitive[] {
  const line = axisOfRevolution(lines);
  if (line === null) return [];
  // In the half-plane (rho, h) the meridian is a circle: rho^2 + h^2 = 2 b rho + 2 k h + e.
  const a = new Float64Array(9);
  const b = new Float64Array(3);
  for (let i = 0; i < weight.length; i += 1) {
    if (weight[i] === 0) continue;
    const q: Triple = [0, 0, 0];
    for (let k = 0; k < 3; k += 1) q[k] = position[3 * i + k] - line.point[k];
    const h = q[0] * line.axis[0] + q[1] * line.axis[1] + q[2] * line.axis[2];
    const q2 = q[0] * q[0] + q[1] * q[1] + q[2] * q[2];
    addRow(a, b, [Math.sqrt(Math.max(0, q2 - h * h)), h, 1], q2);
  }
  if (!solvePositive(a, b, 3)) return [];
  const major = b[0] / 2;
  const lift = b[1] / 2;
  const r2 = b[2] + major * major + lift * lift;
  if (!(r2 > 0)) return [];
  const point: Triple = [0, 0, 0];
  for (let k = 0; k < 3; k += 1) point[k] = line.point[k] + lift * line.axis[k];
  return [{ ...ZERO, kind: 'torus', point, axis: line.axis, a: Math.sqrt(r2), b: major }];
}

/** Direction in which the normals, less `mean`, reach least. */
function direction(lines: NormalLines, mean: Triple): Triple {
  const m: Sym = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < lines.count; i += 1) {
    const x = lines.normal[3 * i] - mean[0];
    const y = lines.normal[3 * i + 1] - mean[1];
    const z = lines.normal[3 * i + 2] - mean[2];
    addSquare(m, x, y, z, lines.weight[i]);
  }
  return [...eigenSymmetric3(m).vector[0]];
}

function addSquare(m: Sym, x: number, y: number, z: number, w: number): void {
  m[0] += w * x * x;
  m[1] += w * x * y;
  m[2] += w * x * z;
  m[3] += w * y * y;
  m[4] += w * y * z;
  m[5] += w * z * z;
}

/** Adds row^T row to `a` and row^T value to `b`. */
function addRow(a: Float64Array, b: Float64Array, row: readonly number[], value: number): void {
  const n = row.length;
  for (let r = 0; r < n; r += 1) {
    b[r] += row[r] * value;
    for (let c = 0; c < n; c += 1) a[r * n + c] += row[r] * row[c];
  }
}

/** Algebraic circle of the points seen along `axis`. */
function aboutAxis(kind: 'cylinder', axis: Triple, position: Float64Array, weight: Float64Array): Primitive | null {
  const { u, v } = frameAbout(axis);
  const a = new Float64Array(9);
  const b = new Float64Array(3);
  for (let i = 0; i < weight.length; i += 1) {
    if (weight[i] === 0) continue;
    const x = position[3 * i] * u[0] + position[3 * i + 1] * u[1] + position[3 * i + 2] * u[2];
    const y = position[3 * i] * v[0] + position[3 * i + 1] * v[1] + position[3 * i + 2] * v[2];
    addRow(a, b, [x, y, 1], x * x + y * y);
  }
  if (!solvePositive(a, b, 3)) return null;
  const x = b[0] / 2;
  const y = b[1] / 2;
  const r2 = b[2] + x * x + y * y;
  if (!(r2 > 0)) return null;
  const point: Triple = [x * u[0] + y * v[0], x * u[1] + y * v[1], x * u[2] + y * v[2]];
  return { ...ZERO, kind, point, axis, a: Math.sqrt(r2) };
}

/** The point nearest to all tangent planes; null where they share a direction. */
function commonPoint(lines: NormalLines): Triple | null {
  const a = new Float64Array(9);
  const b = new Float64Array(3);
  for (let i = 0; i < lines.count; i += 1) {
    const w = Math.sqrt(lines.weight[i]);
    const n = [w * lines.normal[3 * i], w * lines.normal[3 * i + 1], w * lines.normal[3 * i + 2]];
    const p = 3 * i;
    addRow(a, b, n, n[0] * lines.point[p] + n[1] * lines.point[p + 1] + n[2] * lines.point[p + 2]);
  }
  return solvePositive(a, b, 3) ? [b[0], b[1], b[2]] : null;
}

/** Cone from tip and axis; its slope from the mean of rho against height. */
function coneWithTip(tip: Triple, axis: Triple, position: Float64Array, weight: Float64Array): Primitive {
  let rhoH = 0;
  let hh = 0;
  for (let i = 0; i < weight.length; i += 1) {
    if (weight[i] === 0) continue;
    const x = position[3 * i] - tip[0];
    const y = position[3 * i + 1] - tip[1];
    const z = position[3 * i + 2] - tip[2];
    const h = x * axis[0] + y * axis[1] + z * axis[2];
    rhoH += h * Math.sqrt(Math.max(0, x * x + y * y + z * z - h * h));
    hh += h * h;
  }
  const slope = rhoH / hh;
  const c = 1 / Math.sqrt(1 + slope * slope);
  return { ...ZERO, kind: 'cone', point: tip, axis, c, s: slope * c };
}

/**
 * The line (axis a, moment m) with the least sum of (a . (p x n) + m . n)^2 over the normal lines, |a| = 1: m is
 * eliminated, a is the smallest eigenvector of what is left. Null where the normals leave it open.
 */
function axisOfRevolution(lines: NormalLines): { point: Triple; axis: Triple } | null {
  const nn = new Float64Array(9);
  const pp = new Float64Array(9);
  const pn = new Float64Array(9);
  for (let i = 0; i < lines.count; i += 1) {
    const [px, py, pz] = lines.point.subarray(3 * i, 3 * i + 3);
    const n = lines.normal.subarray(3 * i, 3 * i + 3);
    const moment = [py * n[2] - pz * n[1], pz * n[0] - px * n[2], px * n[1] - py * n[0]];
    for (let r = 0; r < 3; r += 1) {
      for (let c = 0; c < 3; c += 1) {
        nn[3 * r + c] += lines.weight[i] * n[r] * n[c];
        pp[3 * r + c] += lines.weight[i] * moment[r] * moment[c];
        pn[3 * r + c] += lines.weight[i] * moment[r] * n[c];
      }
    }
  }
  // Columns of nn^-1 pn^T: the best moment for each unit axis, up to its sign.
  const best: Float64Array[] = [];
  for (let c = 0; c < 3; c += 1) {
    const column = pn.slice(3 * c, 3 * c + 3);
    if (!solvePositive(nn.slice(), column, 3)) return null;
    best.push(column);
  }
  const reduced = (r: number, c: number) => {
    let s = pp[3 * r + c];
    for (let k = 0; k < 3; k += 1) s -= pn[3 * r + k] * best[c][k];
    return s;
  };
  const m: Sym = [reduced(0, 0), reduced(0, 1), reduced(0, 2), reduced(1, 1), reduced(1, 2), reduced(2, 2)];
  const axis: Triple = [...eigenSymmetric3(m).vector[0]];
  const moment = [0, 1, 2].map((k) => -(best[0][k] * axis[0] + best[1][k] * axis[1] + best[2][k] * axis[2]));
  const point: Triple = [
    axis[1] * moment[2] - axis[2] * moment[1],
    axis[2] * moment[0] - axis[0] * moment[2],
    axis[0] * moment[1] - axis[1] * moment[0],
  ];
  return { point, axis };
}
