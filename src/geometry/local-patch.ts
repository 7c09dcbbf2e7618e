// A height function over the tangent plane of one vertex: polyharmonic r^5 plus a quadratic through the vertices around
// it (Duchon 1977; Fornberg & Flyer 2015, A Primer on Radial Basis Functions, ch. 3 and 5). The neighbourhood is a radius,
// never a number of nearest vertices: on a narrow band the nearest all lie along one border and say nothing of the slope
// across it. It grows until its points fix a quadratic. Noisy meshes get a least-squares quadratic instead.
import { LuDecomposition, Matrix } from 'ml-matrix';
import type { FacePoints } from './face-points.ts';
import { smallestPivot, solvePositive } from './small-matrix.ts';
import { gatherAround, type VertexGrid } from './vertex-grid.ts';

export interface Patch {
  /** Vertex it stands on, less the face's centre, mm. */
  readonly centre: Float64Array;
  /** Unit vectors u, v in the tangent plane and the outward n, 9. */
  readonly frame: Float64Array;
  /** Distance within which its vertices lie, mm. */
  readonly radius: number;
  /** Nodes in units of `radius`, 2 x nodes. */
  readonly node: Float64Array;
  /** Weights of the nodes, then of 1, x, y, x^2, xy, y^2; heights in mm. */
  readonly weight: Float64Array;
  /** Exponent of the radial function: 5, or 3 where the points do not fix a quadratic. */
  readonly exponent: 3 | 5;
}

/** Fewest and most vertices of a neighbourhood. */
const FEWEST = 15;
const MOST = 44;
const FEWEST_NOISY = 100;
/** First radius in mean spacings of the vertices, and how often it may grow by a quarter after there are enough. */
const FIRST_RADIUS = 3.3;
const GROWTHS = 5;
/** Squared sine between a column of the quadratic and the others: what counts as fixed, and what will do when growing does not help. */
const FIXED = 0.01;
const BARELY_FIXED = 1e-3;
/** Share of a patch's radius within which it counts: beyond, its vertices lie on one side only. */
const REACH = 0.8;
/** Normals further apart than this (cosine) are not one height function. */
const SAME_SHEET = 0.6;

/** Neighbourhood of a vertex: which vertices, within which radius, and whether they fix a quadratic. */
export interface Neighbourhood {
  readonly vertex: number;
  readonly members: readonly number[];
  /** All vertices of the same sheet within the radius, nearest first. */
  readonly around: readonly number[];
  readonly radius: number;
  readonly quadratic: boolean;
  readonly frame: Float64Array;
  /** Half axes of the ellipsoid, along the frame's axes, within which the patch counts, mm. */
  readonly reach: Float64Array;
}

/**
 * Grows the neighbourhood of vertex i until its vertices fix a quadratic; else takes the one that comes nearest to it. It
 * takes none where fewer than `inner` of them lie inside the face: rims alone hardly fix the bend across, and mislead.
 */
export function chooseNeighbours(
  points: FacePoints,
  grid: VertexGrid,
  i: number,
  noisy: boolean,
  inner = 0,
): Neighbourhood {
  const fewest = Math.min(noisy ? FEWEST_NOISY : FEWEST, points.count);
  let radius = FIRST_RADIUS * Math.sqrt(points.area / points.count);
  let first: Neighbourhood | null = null;
  let best: Neighbourhood | null = null;
  let bestPivot = BARELY_FIXED;
  for (let growths = 0; growths <= GROWTHS; radius *= 1.25) {
    const around = gatherAround(grid, points.position, i, radius);
    const same = around.filter((j) => cosine(points.normal, i, j) > SAME_SHEET);
    const members = noisy ? same : thin(points.position, same, radius);
    const whole = around.length === points.count;
    if (members.length < fewest && !whole) continue;
    const frame = tangentFrame(points, i, members);
    // Vertices along one line (a row of a cylinder's rim) leave even the tangent plane open.
    if (tailPivot(points.position, i, members, frame, radius, 3) < FIXED && !whole) continue;
    growths += 1;
    const inside = members.reduce((sum, j) => sum + 1 - points.border[j], 0);
    const pivot = inside < inner ? 0 : tailPivot(points.position, i, members, frame, radius, TAIL);
    // Growing further brings nothing new, or only what lies round a bend.
    const spent = whole || (first !== null && same.length < 0.7 * around.length);
    if (first === null || pivot > bestPivot) {
      const bent = same.length < around.length;
      const reach = bent
        ? reachOfMembers(points.position, i, members, frame)
        : new Float64Array(3).fill(REACH * radius);
      const hood = { vertex: i, members, around: same, radius, quadratic: pivot > bestPivot, frame, reach };
      first ??= hood;
      if (hood.quadratic) best = hood;
      bestPivot = Math.max(bestPivot, pivot);
    }
    if (spent || pivot > FIXED) break;
  }
  return best ?? (first as Neighbourhood);
}

/**
 * Reach of a patch on a face that bends away within its radius (a bore, a bead): as far as its vertices lie along the
 * frame's u and v, and along n no further than twice their heights, so that it has no say on the opposite wall.
 */
function reachOfMembers(p: Float64Array, i: number, members: readonly number[], frame: Float64Array): Float64Array {
  const reach = new Float64Array(3);
  const at = new Float64Array(3);
  for (const j of members) {
    local(p, i, j, frame, 1, at);
    for (let k = 0; k < 3; k += 1) reach[k] = Math.max(reach[k], Math.abs(at[k]));
  }
  const across = Math.min(reach[0], reach[1]);
  reach[2] = Math.max(2 * reach[2], across);
  reach[0] *= REACH;
  reach[1] *= REACH;
  return reach;
}

function cosine(normal: Float64Array, i: number, j: number): number {
  return normal[3 * i] * normal[3 * j] + normal[3 * i + 1] * normal[3 * j + 1] + normal[3 * i + 2] * normal[3 * j + 2];
}

/** Keeps near vertices first and none closer to a kept one than a share of the radius, so that dense borders do not crowd out the rest. */
function thin(p: Float64Array, sorted: readonly number[], radius: number): number[] {
  for (let share = sorted.length > MOST ? 0.08 : 1e-4; ; share *= 1.3) {
    const gap2 = (share * radius) ** 2;
    const kept: number[] = [];
    for (const j of sorted) {
      const close = kept.some(
        (k) =>
          (p[3 * j] - p[3 * k]) ** 2 + (p[3 * j + 1] - p[3 * k + 1]) ** 2 + (p[3 * j + 2] - p[3 * k + 2]) ** 2 < gap2,
      );
      if (!close) kept.push(j);
      if (kept.length > MOST) break;
    }
    if (kept.length <= MOST) return kept;
  }
}

/** Frame with n the vertex normal and u along the neighbourhood's longest extent. */
function tangentFrame(points: FacePoints, i: number, members: readonly number[]): Float64Array {
  const n = points.normal.subarray(3 * i, 3 * i + 3);
  const p = points.position;
  const sign = n[2] >= 0 ? 1 : -1;
  const f = -1 / (sign + n[2]);
  const g = n[0] * n[1] * f;
  const a = [1 + sign * n[0] * n[0] * f, sign * g, -sign * n[0]];
  const b = [g, sign + n[1] * n[1] * f, -n[1]];
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (const j of members) {
    const dx = p[3 * j] - p[3 * i];
    const dy = p[3 * j + 1] - p[3 * i + 1];
    const dz = p[3 * j + 2] - p[3 * i + 2];
    const x = dx * a[0] + dy * a[1] + dz * a[2];
    const y = dx * b[0] + dy * b[1] + dz * b[2];
    xx += x * x;
    xy += x * y;
    yy += y * y;
  }
  // Cosine and sine of half the angle of (xx - yy, 2 xy).
  const d = Math.sqrt((xx - yy) ** 2 + 4 * xy * xy);
  const c = d > 0 ? Math.sqrt(Math.max(0, (1 + (xx - yy) / d) / 2)) : 1;
  const s = d > 0 ? (xy >= 0 ? 1 : -1) * Math.sqrt(Math.max(0, (1 - (xx - yy) / d) / 2)) : 0;
  const frame = new Float64Array(9);
  for (let k = 0; k < 3; k += 1) {
    frame[k] = c * a[k] + s * b[k];
    frame[3 + k] = c * b[k] - s * a[k];
    frame[6 + k] = n[k];
  }
  return frame;
}

const TAIL = 6;

function fillTail(x: number, y: number, out: Float64Array): void {
  out[0] = 1;
  out[1] = x;
  out[2] = y;
  out[3] = x * x;
  out[4] = x * y;
  out[5] = y * y;
}

/** Local x, y (in units of the radius) and height (mm) of vertex j seen from vertex i. */
function local(p: Float64Array, i: number, j: number, frame: Float64Array, radius: number, out: Float64Array): void {
  const dx = p[3 * j] - p[3 * i];
  const dy = p[3 * j + 1] - p[3 * i + 1];
  const dz = p[3 * j + 2] - p[3 * i + 2];
  out[0] = (dx * frame[0] + dy * frame[1] + dz * frame[2]) / radius;
  out[1] = (dx * frame[3] + dy * frame[4] + dz * frame[5]) / radius;
  out[2] = dx * frame[6] + dy * frame[7] + dz * frame[8];
}

/** How well the vertices fix the first `terms` terms of the polynomial: see `smallestPivot`. */
function tailPivot(
  p: Float64Array,
  i: number,
  members: readonly number[],
  frame: Float64Array,
  radius: number,
  terms: number,
): number {
  const gram = new Float64Array(terms * terms);
  const row = new Float64Array(TAIL);
  const at = new Float64Array(3);
  for (const j of members) {
    local(p, i, j, frame, radius, at);
    fillTail(at[0], at[1], row);
    for (let r = 0; r < terms; r += 1) for (let c = 0; c <= r; c += 1) gram[r * terms + c] += row[r] * row[c];
  }
  return smallestPivot(gram, terms);
}

/** Fits the patch of a neighbourhood. */
export function fitPatch(points: FacePoints, hood: Neighbourhood, noisy: boolean): Patch {
  const { vertex: i, frame, radius } = hood;
  const centre = points.position.slice(3 * i, 3 * i + 3);
  const members = hood.members.length >= 3 ? hood.members : [];
  const at = new Float64Array(3);
  const node = new Float64Array(2 * members.length);
  const height = new Float64Array(members.length);
  members.forEach((j, k) => {
    local(points.position, i, j, frame, radius, at);
    node[2 * k] = at[0];
    node[2 * k + 1] = at[1];
    height[k] = at[2];
  });
  const base = { centre, frame, radius };
  const smooth = noisy && hood.quadratic ? leastSquares(node, height) : null;
  if (smooth !== null) return { ...base, node: new Float64Array(0), weight: smooth, exponent: 5 };
  if (hood.quadratic) {
    const weight = interpolate(node, height, 5, TAIL);
    if (weight !== null) return { ...base, node, weight, exponent: 5 };
  }
  const weight = interpolate(node, height, 3, 3);
  if (weight !== null) return { ...base, node, weight, exponent: 3 };
  return { ...base, node: new Float64Array(0), weight: new Float64Array(TAIL), exponent: 3 };
}

/** Weighted quadratic, or null where the nodes leave it open. */
function leastSquares(node: Float64Array, height: Float64Array): Float64Array | null {
  const a = new Float64Array(TAIL * TAIL);
  const b = new Float64Array(TAIL);
  const row = new Float64Array(TAIL);
  for (let k = 0; k < height.length; k += 1) {
    const x = node[2 * k];
    const y = node[2 * k + 1];
    const w = 1.02 - Math.min(1, x * x + y * y);
    fillTail(x, y, row);
    for (let r = 0; r < TAIL; r += 1) {
      b[r] += w * row[r] * height[k];
      for (let c = 0; c <= r; c += 1) a[r * TAIL + c] += w * row[r] * row[c];
    }
  }
  return solvePositive(a, b, TAIL) ? b : null;
}

/** Weights of nodes and polynomial (`tail` of its terms, the others 0), or null where the system is singular. */
function interpolate(node: Float64Array, height: Float64Array, exponent: 3 | 5, tail: number): Float64Array | null {
  const n = height.length;
  if (n < tail) return null;
  const size = n + tail;
  const a = Matrix.zeros(size, size);
  const b = Matrix.zeros(size, 1);
  const row = new Float64Array(TAIL);
  for (let i = 0; i < n; i += 1) {
    for (let j = 0; j < i; j += 1) {
      const dx = node[2 * i] - node[2 * j];
      const dy = node[2 * i + 1] - node[2 * j + 1];
      const r2 = dx * dx + dy * dy;
      const f = (exponent === 5 ? r2 * r2 : r2) * Math.sqrt(r2);
      a.set(i, j, f);
      a.set(j, i, f);
    }
    fillTail(node[2 * i], node[2 * i + 1], row);
    for (let t = 0; t < tail; t += 1) {
      a.set(i, n + t, row[t]);
      a.set(n + t, i, row[t]);
    }
    b.set(i, 0, height[i]);
  }
  const lu = new LuDecomposition(a);
  if (lu.isSingular()) return null;
  const solution = lu.solve(b).to1DArray();
  const weight = new Float64Array(n + TAIL);
  weight.set(solution);
  return solution.every(Number.isFinite) ? weight : null;
}

/**
 * Height of (x, y, z) over the patch along its n, mm, and the gradient of that height: out[0], out[1..3]. The point is
 * counted from the face's centre.
 */
export function evaluatePatch(patch: Patch, x: number, y: number, z: number, out: Float64Array): void {
  const { centre, frame, radius, node, weight } = patch;
  const dx = x - centre[0];
  const dy = y - centre[1];
  const dz = z - centre[2];
  const u = (dx * frame[0] + dy * frame[1] + dz * frame[2]) / radius;
  const v = (dx * frame[3] + dy * frame[4] + dz * frame[5]) / radius;
  const n = node.length >> 1;
  let h =
    weight[n] + u * (weight[n + 1] + weight[n + 3] * u + weight[n + 4] * v) + v * (weight[n + 2] + weight[n + 5] * v);
  let hu = weight[n + 1] + 2 * weight[n + 3] * u + weight[n + 4] * v;
  let hv = weight[n + 2] + weight[n + 4] * u + 2 * weight[n + 5] * v;
  const quintic = patch.exponent === 5;
  for (let k = 0; k < n; k += 1) {
    const a = u - node[2 * k];
    const b = v - node[2 * k + 1];
    const r2 = a * a + b * b;
    const slope = quintic ? weight[k] * r2 * Math.sqrt(r2) : weight[k] * Math.sqrt(r2);
    h += slope * r2;
    hu += patch.exponent * slope * a;
    hv += patch.exponent * slope * b;
  }
  hu /= radius;
  hv /= radius;
  out[0] = dx * frame[6] + dy * frame[7] + dz * frame[8] - h;
  out[1] = frame[6] - hu * frame[0] - hv * frame[3];
  out[2] = frame[7] - hu * frame[1] - hv * frame[4];
  out[3] = frame[8] - hu * frame[2] - hv * frame[5];
}
