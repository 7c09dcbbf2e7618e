// Rises of a Gaussian spot across a section from few points: each is nearly a Gaussian of known width across the seam, so
// that what is left of it after division by that Gaussian is nearly a polynomial, taken through equally spaced nodes. The
// nodes reach beyond the joint face, where the mirror images of its points in its walls lie.
import { exp } from '../geometry/elementary.ts';
import { type Approach, reachOf, type Section } from './rise.ts';
import type { HeatSource } from './heat-source.ts';

const NODES = 13;

/** How far what is left may stray from 1 for that many nodes: as exp(-linear x - square x^2), x = -1 .. 1. */
const LINEAR = 4;
const SQUARE = 3;

/** Nodes across a section, and what makes of the rises there those of its points. */
export interface FineRow {
  /** The nodes as a section without walls. */
  readonly nodes: Section;
  /** Point by point, a weight for each node; 0 for a point beside the joint face. */
  readonly weight: Float64Array;
}

/** How little the nodes save for such a section: then the points are taken themselves. */
export function isFew(section: Section): boolean {
  return section.count < 2 * NODES;
}

/** Nodes for an approach whose heat is `age` s old when it counts; null where it is not like one Gaussian across the section. */
export function fineRow(
  source: HeatSource,
  section: Section,
  approach: Approach,
  diffusivity: number,
  age: number,
): FineRow | null {
  const { first, step, count, left, right } = section;
  const spread = diffusivity * Math.max(0, age);
  const last = first + (count - 1) * step;
  const half = Math.max(-first, last);
  const reach = reachOf(source, spread);
  // Walls near enough for images within reach: those of points on the face lie beyond the wall.
  const imaged = Math.min(left, right) < reach;
  const far = imaged ? Math.max(half, reach) : half;
  const across = source.across[approach.closest];
  const square = 2 / (across * across + 8 * spread);
  if (!isAlike(source, section, approach, spread, square, far)) return null;
  const spacing = (2 * far) / (NODES - 1);
  const nodes = { ...section, first: -far, step: spacing, count: NODES, left: Infinity, right: Infinity };
  const weight = new Float64Array(count * NODES);
  const growth = Float64Array.from({ length: NODES }, (_, n) => exp(square * (n * spacing - far) ** 2) * SIGNED[n]);
  const add = (j: number, y: number): void => {
    if (Math.abs(y) > far * (1 + 1e-12)) return;
    addWeights(weight, j * NODES, (y + far) / spacing, growth, exp(-square * y * y));
  };
  for (let j = 0; j < count; j++) {
    const y = first + j * step;
    if (y > left || y < -right) continue;
    add(j, y);
    if (!imaged) continue;
    add(j, 2 * left - y);
    add(j, -2 * right - y);
    const around = 2 * (left + right);
    if (!(around > 0)) continue;
    for (let m = 1; m * around - half < far; m++) {
      add(j, y + m * around);
      add(j, y - m * around);
      add(j, 2 * left - y + m * around);
      add(j, -2 * right - y - m * around);
    }
  }
  return { nodes, weight };
}

/** Alternating binomials: barycentric weights of equally spaced nodes (Berrut & Trefethen 2004, SIAM Rev. 46, 501, eq. 5.1). */
const SIGNED = Float64Array.from({ length: NODES }, (_, n) => {
  let value = n % 2 === 0 ? 1 : -1;
  for (let k = 0; k < n; k++) value = (value * (NODES - 1 - k)) / (k + 1);
  return value;
});

/** Adds the Lagrange weights of the place x, in node spacings, times `growth` over SIGNED and `factor`. */
function addWeights(weight: Float64Array, at: number, x: number, growth: Float64Array, factor: number): void {
  const nearest = Math.round(x);
  if (Math.abs(x - nearest) < 1e-9) {
    weight[at + nearest] += (growth[nearest] / SIGNED[nearest]) * factor;
    return;
  }
  let below = 0;
  for (let n = 0; n < NODES; n++) below += SIGNED[n] / (x - n);
  const scale = factor / below;
  for (let n = 0; n < NODES; n++) weight[at + n] += (scale * growth[n]) / (x - n);
}

/** Whether the spot, as it comes by, is over the section like a Gaussian exp(-square y^2) times something smooth. */
function isAlike(
  source: HeatSource,
  section: Section,
  { from, to, closest }: Approach,
  spread: number,
  square: number,
  far: number,
): boolean {
  const { largest, s } = source;
  for (let k = closest; k <= to; k++) {
    if (!isAlikeAt(source, section, k, spread, square, far)) return false;
    if (s[k] - s[closest] > largest) break;
  }
  for (let k = closest; k >= from; k--) {
    if (!isAlikeAt(source, section, k, spread, square, far)) return false;
    if (s[closest] - s[k] > largest) break;
  }
  return true;
}

function isAlikeAt(
  source: HeatSource,
  { place, side }: Section,
  k: number,
  spread: number,
  square: number,
  far: number,
): boolean {
  const i = 3 * k;
  let [x0, y0, n0, xb, yb, nb] = [0, 0, 0, 0, 0, 0];
  for (let axis = 0; axis < 3; axis++) {
    const away = place[axis] - source.place[i + axis];
    x0 += away * source.tangent[i + axis];
    y0 += away * source.side[i + axis];
    n0 += away * source.normal[i + axis];
    xb += side[axis] * source.tangent[i + axis];
    yb += side[axis] * source.side[i + axis];
    nb += side[axis] * source.normal[i + axis];
  }
  const p = 2 / (source.along[k] ** 2 + 8 * spread);
  const q = 2 / (source.across[k] ** 2 + 8 * spread);
  const linear = 2 * far * Math.abs(p * x0 * xb + q * (y0 * yb + n0 * nb));
  const over = far * far * Math.abs(p * xb * xb + q * (yb * yb + nb * nb) - square);
  return linear < LINEAR && over < SQUARE;
}

/** Adds to `out`, point by point in each of `rows` rows, what the rises at the nodes make of it; three rows at a time. */
export function addFine(row: FineRow, atNodes: Float64Array, rows: number, out: Float64Array): void {
  const { weight } = row;
  const count = weight.length / NODES;
  let r = 0;
  for (; r + 2 < rows; r += 3) {
    const p = r * NODES;
    const q = p + NODES;
    const s = q + NODES;
    const at = r * count;
    for (let j = 0, w = 0; j < count; j++, w += NODES) {
      let a = 0;
      let b = 0;
      let c = 0;
      for (let n = 0; n < NODES; n++) {
        const factor = weight[w + n];
        a += factor * atNodes[p + n];
        b += factor * atNodes[q + n];
        c += factor * atNodes[s + n];
      }
      out[at + j] += a;
      out[at + count + j] += b;
      out[at + 2 * count + j] += c;
    }
  }
  for (; r < rows; r++) {
    const p = r * NODES;
    for (let j = 0, w = 0; j < count; j++, w += NODES) {
      let sum = 0;
      for (let n = 0; n < NODES; n++) sum += weight[w + n] * atNodes[p + n];
      out[r * count + j] += sum;
    }
  }
}
