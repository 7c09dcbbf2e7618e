// The surface of a free-form face: local patches blended into one smooth field by a partition of unity (Ohtake, Belyaev,
// Alexa, Turk & Seidel 2003, "Multi-level partition of unity implicits"). The surface is where the blended height is
// zero, its normal the gradient there. Patches are fitted when first asked for and kept.
import type { Body } from '../model/part.ts';
import { type FacePoints, gatherFacePoints } from './face-points.ts';
import { fillLongSides } from './fill-long-sides.ts';
import { fillStraightEdges } from './fill-straight-edges.ts';
import { chooseNeighbours, evaluatePatch, fitPatch, type Neighbourhood, type Patch } from './local-patch.ts';
import type { Surface } from './surface.ts';
import { createVertexGrid, type VertexGrid } from './vertex-grid.ts';

/** A mesh with more noise than this, mm, is smoothed rather than interpolated. */
const NOISY = 1e-5;
/** A vertex further out than this share of a patch's reach gets a patch of its own. */
const COVERED = 0.69;
/** Vertices inside a face with straight ends that tell a patch of a bend from rim to rim; fewer, and it is straight all along. */
const FEWEST_INSIDE = 6;
const STEPS = 40;
/** A ray closer to the tangent plane than this (sine) only grazes. */
export const GRAZING = 0.01;

function gridOf(points: FacePoints): VertexGrid {
  return createVertexGrid(points.position, Math.max(2.5 * Math.sqrt(points.area / points.count), 1e-6 * points.size));
}

/** Unit normals, 3 x at.length, of local fits at the vertices `at`. */
export function localNormals(points: FacePoints, at: readonly number[]): Float64Array {
  const grid = gridOf(points);
  const out = new Float64Array(3 * at.length);
  const value = new Float64Array(4);
  at.forEach((i, k) => {
    const patch = fitPatch(points, chooseNeighbours(points, grid, i, false), false);
    evaluatePatch(patch, patch.centre[0], patch.centre[1], patch.centre[2], value);
    const l = Math.sqrt(value[1] * value[1] + value[2] * value[2] + value[3] * value[3]);
    for (let j = 0; j < 3; j += 1) out[3 * k + j] = value[1 + j] / l;
  });
  return out;
}

interface Field {
  /** Blended height and its gradient at a point counted from the face's centre: out[0..3]. False where no patch reaches. */
  evaluate(x: number, y: number, z: number, out: Float64Array): boolean;
  /** Writes the centre of the patch nearest to the point. */
  nearestCentre(x: number, y: number, z: number, out: Float64Array): void;
}

function createField(points: FacePoints, noise: number, inner: number): Field {
  const noisy = noise > NOISY;
  const hoods = chooseSites(points, noisy, inner);
  const patches: (Patch | undefined)[] = new Array(hoods.length).fill(undefined);
  const centres = new Float64Array(3 * hoods.length);
  hoods.forEach((hood, k) => {
    centres.set(points.position.subarray(3 * hood.vertex, 3 * hood.vertex + 3), 3 * k);
  });
  const reach = Float64Array.from(hoods, (hood) => Math.max(...hood.reach));
  const lookup = coverage(centres, reach);
  const value = new Float64Array(4);
  return {
    evaluate(x, y, z, out) {
      const near = lookup(x, y, z);
      let sum = 0;
      let height = 0;
      let gx = 0;
      let gy = 0;
      let gz = 0;
      // Gradients of the weights, alone and times height.
      let wx = 0;
      let wy = 0;
      let wz = 0;
      let hx = 0;
      let hy = 0;
      let hz = 0;
      for (let m = 0; m < near.length; m += 1) {
        const k = near[m];
        const dx = x - centres[3 * k];
        const dy = y - centres[3 * k + 1];
        const dz = z - centres[3 * k + 2];
        const { frame: f, reach: r } = hoods[k];
        const u = (dx * f[0] + dy * f[1] + dz * f[2]) / r[0];
        const v = (dx * f[3] + dy * f[4] + dz * f[5]) / r[1];
        const n = (dx * f[6] + dy * f[7] + dz * f[8]) / r[2];
        const q = 1 - u * u - v * v - n * n;
        if (!(q > 0)) continue;
        patches[k] ??= fitPatch(points, hoods[k], noisy);
        evaluatePatch(patches[k], x, y, z, value);
        const q3 = q * q * q;
        const w = q3 * q;
        // Gradient of w = q^4.
        const su = (-8 * q3 * u) / r[0];
        const sv = (-8 * q3 * v) / r[1];
        const sn = (-8 * q3 * n) / r[2];
        const sx = su * f[0] + sv * f[3] + sn * f[6];
        const sy = su * f[1] + sv * f[4] + sn * f[7];
        const sz = su * f[2] + sv * f[5] + sn * f[8];
        sum += w;
        height += w * value[0];
        gx += w * value[1];
        gy += w * value[2];
        gz += w * value[3];
        wx += sx;
        wy += sy;
        wz += sz;
        hx += sx * value[0];
        hy += sy * value[0];
        hz += sz * value[0];
      }
      if (!(sum > 1e-12)) return false;
      height /= sum;
      out[0] = height;
      out[1] = (gx + hx - height * wx) / sum;
      out[2] = (gy + hy - height * wy) / sum;
      out[3] = (gz + hz - height * wz) / sum;
      return true;
    },
    nearestCentre(x, y, z, out) {
      let best = 0;
      let least = Number.POSITIVE_INFINITY;
      for (let k = 0; k < centres.length; k += 3) {
        const d = (x - centres[k]) ** 2 + (y - centres[k + 1]) ** 2 + (z - centres[k + 2]) ** 2;
        if (d >= least) continue;
        least = d;
        best = k;
      }
      for (let j = 0; j < 3; j += 1) out[j] = centres[best + j];
    },
  };
}

/** Vertices that get a patch: each is near enough to one, none is chosen in vain. */
function chooseSites(points: FacePoints, noisy: boolean, inner: number): Neighbourhood[] {
  const grid = gridOf(points);
  const covered = new Uint8Array(points.count);
  const hoods: Neighbourhood[] = [];
  const p = points.position;
  for (let i = 0; i < points.count; i += 1) {
    if (covered[i] === 1) continue;
    const hood = chooseNeighbours(points, grid, i, noisy, inner);
    hoods.push(hood);
    covered[i] = 1;
    const { frame: f, reach: r } = hood;
    for (const j of hood.around) {
      const dx = p[3 * j] - p[3 * i];
      const dy = p[3 * j + 1] - p[3 * i + 1];
      const dz = p[3 * j + 2] - p[3 * i + 2];
      const u = (dx * f[0] + dy * f[1] + dz * f[2]) / r[0];
      const v = (dx * f[3] + dy * f[4] + dz * f[5]) / r[1];
      const n = (dx * f[6] + dy * f[7] + dz * f[8]) / r[2];
      if (u * u + v * v + n * n < COVERED * COVERED) covered[j] = 1;
    }
  }
  return hoods;
}

/** Which patches reach a point, or very nearly: found once for each small cell of space, then kept. */
function coverage(centres: Float64Array, reach: Float64Array) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < centres.length; i += 1) {
    const r = reach[Math.floor(i / 3)];
    low[i % 3] = Math.min(low[i % 3], centres[i] - r);
    high[i % 3] = Math.max(high[i % 3], centres[i] + r);
  }
  const [lx, ly, lz] = low;
  const cell = reach.reduce((sum, r) => sum + r, 0) / reach.length / 3;
  const nx = Math.floor((high[0] - lx) / cell) + 1;
  const ny = Math.floor((high[1] - ly) / cell) + 1;
  const nz = Math.floor((high[2] - lz) / cell) + 1;
  const cells = new Map<number, readonly number[]>();
  const none: readonly number[] = [];
  const around = (x: number, y: number, z: number): number[] => {
    const found: number[] = [];
    for (let k = 0; k < reach.length; k += 1) {
      const dx = Math.max(0, Math.abs(x - centres[3 * k]) - cell / 2);
      const dy = Math.max(0, Math.abs(y - centres[3 * k + 1]) - cell / 2);
      const dz = Math.max(0, Math.abs(z - centres[3 * k + 2]) - cell / 2);
      if (dx * dx + dy * dy + dz * dz <= reach[k] * reach[k]) found.push(k);
    }
    return found;
  };
  return (x: number, y: number, z: number): readonly number[] => {
    const a = Math.floor((x - lx) / cell);
    const b = Math.floor((y - ly) / cell);
    const c = Math.floor((z - lz) / cell);
    if (!(a >= 0 && b >= 0 && c >= 0 && a < nx && b < ny && c < nz)) return none;
    const key = a + nx * (b + ny * c);
    let list = cells.get(key);
    if (list === undefined) {
      list = around(lx + (a + 0.5) * cell, ly + (b + 0.5) * cell, lz + (c + 0.5) * cell);
      cells.set(key, list);
    }
    return list;
  };
}

/** A fitted surface finds the crossing with a ray itself: each of its projections would take several steps of its own. */
export interface FittedSurface extends Surface {
  /**
   * Distance along the ray from `origin` along the unit `direction` to the surface, mm, from the start `distance`; writes
   * point and outward normal to out[0..5]. NaN where the ray leaves the surface, grazes it or does not settle.
   */
  meet(origin: Float64Array, direction: Float64Array, distance: number, out: Float64Array): number;
}

/**
 * Fits face `face` of `body` locally. Defined up to about one neighbourhood's radius past its borders; normals within 0.1
 * degrees where the mesh has vertices inside the face or the face is wider than its vertices' spacing.
 */
export function createFittedSurface(body: Body, face: number): FittedSurface {
  const own = gatherFacePoints(body, face);
  const ended = fillStraightEdges(own, body, face);
  const points = fillLongSides(ended);
  const field = createField(points, body.noise, ended === own ? 0 : FEWEST_INSIDE);
  const [cx, cy, cz] = points.centre;
  const at = new Float64Array(3);
  const value = new Float64Array(4);

  /** Closest surface point from a start already in `at`; leaves value and unit gradient in `value`. */
  const settle = (x: number, y: number, z: number): boolean => {
    for (let step = 0; step < STEPS; step += 1) {
      if (!field.evaluate(at[0], at[1], at[2], value)) return false;
      const g = Math.sqrt(value[1] * value[1] + value[2] * value[2] + value[3] * value[3]);
      if (!(g > 0)) return false;
      const nx = value[1] / g;
      const ny = value[2] / g;
      const nz = value[3] / g;
      const off = value[0] / g;
      // Onto the tangent plane of the surface, then sideways to the foot of the perpendicular.
      const along = (x - at[0]) * nx + (y - at[1]) * ny + (z - at[2]) * nz;
      const tx = x - at[0] - along * nx;
      const ty = y - at[1] - along * ny;
      const tz = z - at[2] - along * nz;
      value[1] = nx;
      value[2] = ny;
      value[3] = nz;
      const move = Math.sqrt(tx * tx + ty * ty + tz * tz + off * off);
      if (move < 1e-10 * (1 + points.size * 0.01)) return true;
      at[0] += tx - off * nx;
      at[1] += ty - off * ny;
      at[2] += tz - off * nz;
    }
    return false;
  };

  const project = (x: number, y: number, z: number, out: Float64Array): boolean => {
    const px = x - cx;
    const py = y - cy;
    const pz = z - cz;
    at[0] = px;
    at[1] = py;
    at[2] = pz;
    if (!field.evaluate(px, py, pz, value)) field.nearestCentre(px, py, pz, at);
    if (!settle(px, py, pz)) {
      out.fill(Number.NaN, 0, 6);
      return false;
    }
    out[0] = at[0] + cx;
    out[1] = at[1] + cy;
    out[2] = at[2] + cz;
    out[3] = value[1];
    out[4] = value[2];
    out[5] = value[3];
    return true;
  };

  const found = new Float64Array(6);
  let residual = Number.NaN;
  return {
    kind: 'fitted',
    parameters: {},
    /** Computed when first asked for: it takes a fit of the whole face. */
    get residual() {
      if (!Number.isNaN(residual)) return residual;
      residual = 0;
      for (let i = 0; i < own.count; i += 1) {
        const [x, y, z] = [
          points.position[3 * i] + cx,
          points.position[3 * i + 1] + cy,
          points.position[3 * i + 2] + cz,
        ];
        if (!project(x, y, z, found)) {
          residual = Number.POSITIVE_INFINITY;
          break;
        }
        const d = Math.sqrt((found[0] - x) ** 2 + (found[1] - y) ** 2 + (found[2] - z) ** 2);
        residual = Math.max(residual, d);
      }
      return residual;
    },
    project,
    meet(origin, direction, distance, out) {
      let t = distance;
      for (let step = 0; step < STEPS; step += 1) {
        at[0] = origin[0] + t * direction[0];
        at[1] = origin[1] + t * direction[1];
        at[2] = origin[2] + t * direction[2];
        if (!field.evaluate(at[0] - cx, at[1] - cy, at[2] - cz, value)) break;
        const g = Math.sqrt(value[1] * value[1] + value[2] * value[2] + value[3] * value[3]);
        const slope = direction[0] * value[1] + direction[1] * value[2] + direction[2] * value[3];
        if (!(Math.abs(slope) > GRAZING * g)) break;
        const move = value[0] / slope;
        if (Math.abs(move) < 1e-11 * (1 + Math.abs(t))) {
          for (let k = 0; k < 3; k += 1) {
            out[k] = at[k];
            out[3 + k] = value[1 + k] / g;
          }
          return t;
        }
        t -= move;
      }
      return Number.NaN;
    },
    normalCurvature(x, y, z, tx, ty, tz) {
      // Turning of the normal over a short step either way.
      if (!project(x, y, z, found)) return Number.NaN;
      const step = 1e-3;
      const [px, py, pz] = found;
      let turn = 0;
      for (const side of [1, -1]) {
        const d = side * step;
        if (!project(px + d * tx, py + d * ty, pz + d * tz, found)) return Number.NaN;
        turn += side * (found[3] * tx + found[4] * ty + found[5] * tz);
      }
      return turn / (2 * step);
    },
  };
}
