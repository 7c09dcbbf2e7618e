// Temperature rise over a cross-section of the joint at one time: the integral over the past of what each element of the
// moving source has left by now (Green's function of a moving source: Rosenthal 1946; Eagar & Tsai 1983). The depth factor
// has a square root in time at its young end, so the integral runs over the root of the age, panel by panel.
import { gaussLegendre } from '../geometry/quadrature.ts';
import type { DepthKernel } from './depth-kernel.ts';
import { createDepthTable, type DepthTable, lookUpFactors } from './depth-table.ts';
import { type DiscTable, discTableFor, WIDE } from './disc-share.ts';
import { type HeatSource, PLACED_SIZE, placeSource } from './heat-source.ts';
import { addGaussianRow, addTopHatRow, type PointRow } from './spot-row.ts';

/** Nodes of a panel: at all depths, and for the plane alone, of which times are read rather than highest rises. */
const FULL = gaussLegendre(8);
const PLANE = gaussLegendre(6);

/** Points further away than this count as cold: 2.3 radii of a Gaussian that has spread (3e-5), or as many deviations. */
const REACH = 2.3;

/** Largest panel, in spot radii that the source travels: of a Gaussian that has spread; of a top-hat and of its edge's blur. */
const PANEL = 1.1;
const SHARP_PANEL = 0.5;
const BLURRED_PANEL = 0.8;

/** Room for that many points of a section at least. */
const LEAST_ROOM = 16;

/** A line of points across the seam at one of its places: C + y b, y = first, first + step .. */
export interface Section {
  /** Place C, unit vector b, 3 each. */
  readonly place: Float64Array;
  readonly side: Float64Array;
  readonly first: number;
  readonly step: number;
  readonly count: number;
  /** Walls of the joint face at y = left and y = -right, mm, that no heat passes; Infinity: none near. */
  readonly left: number;
  readonly right: number;
}

/** The values of a section's points; NaN for those that lie beside the joint face. */
export function onFace({ first, step, left, right }: Section, values: Float64Array): Float64Array {
  return values.map((value, j) => {
    const y = first + j * step;
    return y > left || y < -right ? Number.NaN : value;
  });
}

/** Rows `from` .. `to` of a source, of which `closest` comes closest to a section. */
export interface Approach {
  readonly from: number;
  readonly to: number;
  readonly closest: number;
  readonly distance: number;
  /** How far each row lies off the section's points, per direction, `to - from + 1`, mm. */
  readonly excess: Float64Array;
}

/** What all sections of a seam share, and room to work in. */
export interface RiseWork {
  readonly source: HeatSource;
  readonly kernel: DepthKernel;
  /** Depth factors of the points' depths below the joint. */
  readonly depths: DepthTable;
  readonly discs: DiscTable | null;
  readonly factors: Float64Array;
  readonly placed: Float64Array;
  readonly row: Float64Array;
  readonly point: PointRow;
  readonly cuts: Float64Array;
}

/** `depths` in mm, `across` points; the table of a top-hat may be handed on from one seam to the next. */
export function createRiseWork(
  source: HeatSource,
  kernel: DepthKernel,
  depths: Float64Array,
  across: number,
  discs: DiscTable | null = discTableFor(source.profile),
): RiseWork {
  return {
    source,
    kernel,
    depths: createDepthTable(kernel, depths),
    discs,
    factors: new Float64Array(depths.length),
    placed: new Float64Array(PLACED_SIZE),
    row: new Float64Array(Math.max(across, LEAST_ROOM)),
    point: { x0: 0, xb: 0, y0: 0, yb: 0, n0: 0, nb: 0 },
    cuts: new Float64Array(6),
  };
}

/** Radius within which a spot of `radius` mm whose heat has spread by `spread` mm2 is felt, mm. */
export function reachOf(source: HeatSource, spread: number): number {
  const { largest, profile } = source;
  return profile === 'gaussian'
    ? REACH * Math.sqrt(largest * largest + 8 * spread)
    : largest + REACH * Math.sqrt(8 * spread);
}

/** Whether any row of an approach comes so near that points of its section feel it when its heat has spread by `spread` mm2. */
export function isInReach(source: HeatSource, { from, closest, excess }: Approach, spread: number): boolean {
  return isFelt(source, excess[closest - from], spread);
}

/** Whether points at that distance, mm, feel such a spot: `reachOf` without roots. */
function isFelt({ largest, profile }: HeatSource, distance: number, spread: number): boolean {
  if (profile === 'gaussian') return distance * distance < REACH * REACH * (largest * largest + 8 * spread);
  return distance < largest || (distance - largest) * (distance - largest) < REACH * REACH * 8 * spread;
}

/** Distance of the points of a section (within `half` mm of its middle) from the row k of a source, per direction. */
export function excessOf(source: HeatSource, k: number, section: Section, half: number): number {
  const i = 3 * k;
  const { place, tangent, side, normal } = source;
  const [x, y, z] = [section.place[0] - place[i], section.place[1] - place[i + 1], section.place[2] - place[i + 2]];
  const [bx, by, bz] = section.side;
  let most = 0;
  for (const axis of [tangent, side, normal]) {
    const middle = x * axis[i] + y * axis[i + 1] + z * axis[i + 2];
    const slope = bx * axis[i] + by * axis[i + 1] + bz * axis[i + 2];
    most = Math.max(most, Math.abs(middle) - half * Math.abs(slope));
  }
  return most;
}

/**
 * Adds the rise, K, that the source brings to a section by `time`, all of it from rows of one approach: to out[d * count + j]
 * for the first `depthCount` depths d and the points j. False where it brings none.
 */
export function addRise(
  work: RiseWork,
  section: Section,
  approach: Approach,
  time: number,
  depthCount: number,
  out: Float64Array,
): boolean {
  const { source, kernel } = work;
  const { from, to, excess } = approach;
  const alpha = kernel.diffusivity;
  const alive = (k: number) => isFelt(source, excess[k - from], alpha * Math.max(0, time - source.time[k]));
  let start = approach.closest;
  while (start > from && source.time[start] > time) start--;
  if (source.time[start] > time || !alive(start)) return false;
  let first = start;
  while (first > from && alive(first)) first--;
  let last = start;
  while (last < to && source.time[last] < time && alive(last)) last++;
  const end = Math.sqrt(time - source.time[first]);
  let u = Math.sqrt(Math.max(0, time - source.time[last]));
  let k = Math.max(first, last - 1);
  const { largest, profile } = source;
  const wide = (largest * largest) / (8 * alpha);
  const deep = Math.min(1 / kernel.absorption, work.depths.depths.at(-1) || 1) / (2 * Math.sqrt(alpha));
  const { node, weight } = depthCount > 1 ? FULL : PLANE;
  while (u < end) {
    const spot =
      profile === 'gaussian'
        ? PANEL * Math.sqrt(largest * largest + 8 * alpha * u * u)
        : SHARP_PANEL * largest + BLURRED_PANEL * Math.sqrt(8 * alpha) * u;
    const speed = Math.max(source.speed[k], source.speed[k + 1] ?? 0);
    const byTravel = speed > 0 ? Math.sqrt(u * u + spot / speed) - u : Number.POSITIVE_INFINITY;
    const bySpread = 0.7 * (u + Math.sqrt(wide));
    const longest = Math.min(byTravel, bySpread, u + deep);
    const left = end - u;
    const du = left <= longest ? left : Math.min(longest, left / 2);
    for (let m = 0; m < node.length; m++) {
      const root = u + 0.5 * du * (1 + node[m]);
      const age = root * root;
      while (k > from && source.time[k] > time - age) k--;
      addElement(work, section, k, time, root, du * weight[m] * root, depthCount, out);
    }
    u = left <= du ? end : u + du;
  }
  return true;
}

/** Adds what the source released between rows k and k + 1, `root`^2 s before `time`, during `lasting` s. */
function addElement(
  work: RiseWork,
  section: Section,
  k: number,
  time: number,
  root: number,
  lasting: number,
  depthCount: number,
  out: Float64Array,
): void {
  const { source, kernel, depths, placed, row, factors } = work;
  const age = root * root;
  placeSource(source, k, time - age, placed);
  const energy = placed[12] * lasting;
  if (energy === 0) return;
  const { count } = section;
  row.fill(0, 0, count);
  spreadOver(work, section, kernel.diffusivity * age, placed[15] * lasting);
  lookUpFactors(depths, root, depthCount, factors);
  for (let d = 0; d < depthCount; d++) {
    const factor = energy * factors[d];
    const at = d * count;
    for (let j = 0; j < count; j++) out[at + j] += factor * row[j];
  }
}

/** The placed element and its mirror images in the walls of the joint face, over the section's points, to `work.row`. */
function spreadOver(work: RiseWork, section: Section, spread: number, length: number): void {
  const { source, placed, point } = work;
  const { place, side, first, step, count, left, right } = section;
  const x = place[0] - placed[0];
  const y = place[1] - placed[1];
  const z = place[2] - placed[2];
  point.x0 = x * placed[3] + y * placed[4] + z * placed[5];
  point.y0 = x * placed[6] + y * placed[7] + z * placed[8];
  point.n0 = x * placed[9] + y * placed[10] + z * placed[11];
  point.xb = side[0] * placed[3] + side[1] * placed[4] + side[2] * placed[5];
  point.yb = side[0] * placed[6] + side[1] * placed[7] + side[2] * placed[8];
  point.nb = side[0] * placed[9] + side[1] * placed[10] + side[2] * placed[11];
  addRow(work, count, first, step, spread, length);
  const reach = reachOf(source, spread);
  // Images of the points: reflected in one wall at 2 left - y and -2 right - y, in both by turns at y + 2 m (left + right).
  const last = first + (count - 1) * step;
  if (2 * left - last < reach - Math.abs(point.y0)) addRow(work, count, 2 * left - first, -step, spread, length);
  if (2 * right + first < reach - Math.abs(point.y0)) addRow(work, count, -2 * right - first, -step, spread, length);
  const around = 2 * (left + right);
  if (!(around > 0 && around < Number.POSITIVE_INFINITY)) return;
  const far = reach + Math.abs(point.y0);
  for (let m = 1; m * around - Math.max(last, -first) < far; m++) {
    addRow(work, count, first + m * around, step, spread, length);
    addRow(work, count, first - m * around, step, spread, length);
    addRow(work, count, 2 * left - first + m * around, -step, spread, length);
    addRow(work, count, -2 * right - first - m * around, -step, spread, length);
  }
}

/** A top-hat that has spread far is like a Gaussian of the same radius, which has the same variance (0.3 % off at worst). */
function addRow(
  { placed, row, point, discs }: RiseWork,
  count: number,
  first: number,
  step: number,
  spread: number,
  length: number,
): void {
  const blurred = 2 * spread > WIDE * WIDE * placed[13] * placed[14];
  if (discs === null || blurred) addGaussianRow(row, count, first, step, point, placed[13], placed[14], spread);
  else addTopHatRow(row, count, first, step, point, placed[13], placed[14], spread, length, discs);
}
