// How far the vertices of a bare mesh scatter about a smooth surface: residuals of local least-squares quadrics.
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { Body } from '../model/part.ts';

/** Neighbourhoods that are looked at. */
const SAMPLES = 200;

/** Vertices in one neighbourhood: twice the quadric's six parameters and some. */
const LEAST = 14;
const MOST = 40;

/**
 * Median over up to 200 neighbourhoods of the standard deviation of the vertices about a quadric z = q(x, y), mm, within
 * one face each; at least `rounding`. A coarse mesh of a strongly curved part counts what a quadric cannot follow as noise.
 */
export function estimateNoise(body: Omit<Body, 'noise'>, rounding: number): number {
  const { position, triangle, faceOfTriangle } = body;
  const n = position.length / 3;
  const start = new Uint32Array(n + 1);
  for (const v of triangle) start[v + 1]++;
  for (let v = 0; v < n; v++) start[v + 1] += start[v];
  const fill = start.slice();
  const around = new Uint32Array(triangle.length);
  for (let c = 0; c < triangle.length; c++) around[fill[triangle[c]]++] = (c / 3) | 0;

  const deviations: number[] = [];
  const step = Math.max(1, Math.floor(n / SAMPLES));
  for (let v = 0; v < n; v += step) {
    if (start[v] === start[v + 1]) continue;
    const face = faceOfTriangle[around[start[v]]];
    const group = [v];
    const seen = new Set(group);
    for (let i = 0; i < group.length && group.length < MOST; i++) {
      for (let k = start[group[i]]; k < start[group[i] + 1]; k++) {
        if (faceOfTriangle[around[k]] !== face) continue;
        for (let corner = 0; corner < 3; corner++) {
          const w = triangle[3 * around[k] + corner];
          if (seen.has(w)) continue;
          seen.add(w);
          group.push(w);
        }
      }
    }
    if (group.length >= LEAST) deviations.push(quadricDeviation(position, triangle, around[start[v]], group));
  }
  const sorted = deviations.filter(Number.isFinite).sort((a, b) => a - b);
  return sorted.length === 0 ? rounding : Math.max(rounding, sorted[sorted.length >> 1]);
}

/** Standard deviation of the points `group` about their least-squares quadric over the plane of triangle `t`, mm. */
function quadricDeviation(position: Float64Array, triangle: Uint32Array, t: number, group: readonly number[]): number {
  const [a, b, c] = [0, 1, 2].map((k) => position.subarray(3 * triangle[3 * t + k], 3 * triangle[3 * t + k] + 3));
  const u = unit([b[0] - a[0], b[1] - a[1], b[2] - a[2]]);
  const w = unit(cross(u, [c[0] - a[0], c[1] - a[1], c[2] - a[2]]));
  const v = cross(w, u);
  const local = group.map((g) => {
    const d = [0, 1, 2].map((k) => position[3 * g + k] - a[k]);
    return [dot(d, u), dot(d, v), dot(d, w)];
  });
  const size = Math.max(...local.map(([x, y]) => Math.max(Math.abs(x), Math.abs(y))));
  const rows = local.map(([x, y]) => {
    const p = x / size;
    const q = y / size;
    return [1, p, q, p * p, p * q, q * q];
  });
  const design = new Matrix(rows);
  const height = Matrix.columnVector(local.map((p) => p[2]));
  const transposed = design.transpose();
  const solver = new CholeskyDecomposition(transposed.mmul(design));
  if (!solver.isPositiveDefinite()) return Number.NaN;
  const rest = Matrix.sub(height, design.mmul(solver.solve(transposed.mmul(height))));
  let sum = 0;
  for (let i = 0; i < group.length; i++) sum += rest.get(i, 0) * rest.get(i, 0);
  return Math.sqrt(sum / (group.length - 6));
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function cross(a: readonly number[], b: readonly number[]): number[] {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function unit(a: readonly number[]): number[] {
  const length = Math.sqrt(dot(a, a));
  return [a[0] / length, a[1] / length, a[2] / length];
}
