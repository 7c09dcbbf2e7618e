// Temperature rise below one point of the joint under a top-hat, at any time: the integral over the past of `rise.ts`, its panels
// laid so that none goes across the blurred edge of the light, where the integrand is steep.
import { gaussLegendre } from '../geometry/quadrature.ts';
import { lookUpFactors } from './depth-table.ts';
import { lookUpShare, WIDE, wideShare } from './disc-share.ts';
import type { RiseWork } from './rise.ts';
import { type Line, squareAt, squareBetween } from './spot-line.ts';

/** Nodes of a panel: for the highest rises, and for the plane alone, of which times are read. */
const FULL = gaussLegendre(8);
const PLANE = gaussLegendre(6);

/** An edge is blurred over so many deviations to either side; points further from the light than that are cold. */
const BLUR = 4.2;

/** Largest panel, in spot radii that the source travels. */
const PANEL = 2;

/** Adds the rise, K, that an approach brings to a line of points below the joint by `time`, for the first `depthCount` depths. */
export function addColumn(work: RiseWork, line: Line, time: number, depthCount: number, out: Float64Array): void {
  const { source, kernel, depths, factors, discs, cuts } = work;
  const { from, to, chord } = line;
  if (discs === null || source.time[from] >= time) return;
  const alpha = kernel.diffusivity;
  let start = chord.row;
  while (start > from && source.time[start] >= time) start--;
  let first = start;
  let last = start;
  const lit = chord.arrives < time;
  if (
    !lit &&
    !isWarm(work, line, start, time) &&
    !isWarm(work, line, Math.max(from, start - 1), time) &&
    !isWarm(work, line, Math.min(to, start + 1), time)
  )
    return;
  while (first > from && (first > start - 1 || isWarm(work, line, first, time))) first--;
  while (last < to && source.time[last] < time && (last < start + 1 || isWarm(work, line, last, time))) last++;
  const end = Math.sqrt(time - source.time[first]);
  const begin = Math.sqrt(Math.max(0, time - source.time[last]));
  // Roots of the ages at which the blurred edge begins and ends to pass over the point.
  const sigma = BLUR * Math.sqrt((2 * alpha) / (source.along[start] * source.across[start]));
  cuts[0] = begin;
  let n = 1;
  if (lit) {
    const leaving = time - chord.leaves;
    if (leaving >= 0) {
      cuts[n++] = edgeRoot(leaving, -sigma / chord.leaving);
      cuts[n++] = edgeRoot(leaving, sigma / chord.leaving);
    }
    cuts[n++] = edgeRoot(time - chord.arrives, -sigma / chord.arriving);
    cuts[n++] = edgeRoot(time - chord.arrives, sigma / chord.arriving);
  }
  cuts[n++] = end;
  sortFirst(cuts, n);

  const { node, weight } = depthCount > 1 ? FULL : PLANE;
  const nodes = node.length;
  let k = Math.max(first, last - 1);
  const { largest } = source;
  const wide = (largest * largest) / (8 * alpha);
  const deep = Math.min(1 / kernel.absorption, depths.depths.at(-1) || 1) / (2 * Math.sqrt(alpha));
  for (let c = 1; c < n; c++) {
    let u = Math.max(begin, cuts[c - 1]);
    const stop = Math.min(end, cuts[c]);
    while (u < stop) {
      const speed = Math.max(source.speed[k], source.speed[k + 1] ?? 0);
      const spot = PANEL * largest + 0.8 * Math.sqrt(8 * alpha) * u;
      const byTravel = speed > 0 ? Math.sqrt(u * u + spot / speed) - u : Number.POSITIVE_INFINITY;
      const longest = Math.min(byTravel, 0.7 * (u + Math.sqrt(wide)), u + deep);
      const left = stop - u;
      const du = left <= longest ? left : Math.min(longest, left / 2);
      for (let m = 0; m < nodes; m++) {
        const root = u + 0.5 * du * (1 + node[m]);
        const age = root * root;
        while (k > from && source.time[k] > time - age) k--;
        const g = (time - age - source.time[k]) / (source.time[k + 1] - source.time[k]);
        const power = source.heat[k] + g * (source.heat[k + 1] - source.heat[k]);
        if (power === 0) continue;
        const along = source.along[k] + g * (source.along[k + 1] - source.along[k]);
        const disc = along * (source.across[k] + g * (source.across[k + 1] - source.across[k]));
        const square = squareBetween(line, k, g);
        const spread = (2 * alpha * age) / disc;
        const share =
          spread > WIDE * WIDE ? wideShare(square, spread) : lookUpShare(discs, Math.sqrt(square), Math.sqrt(spread));
        if (share === 0) continue;
        const energy = (power * share * du * weight[m] * root) / (Math.PI * disc);
        lookUpFactors(depths, root, depthCount, factors);
        for (let d = 0; d < depthCount; d++) out[d] += energy * factors[d];
      }
      u = left <= du ? stop : u + du;
    }
  }
}

/** Whether the point feels the row k, by whose light it may have been warmed. */
function isWarm({ source, kernel }: RiseWork, line: Line, k: number, time: number): boolean {
  const spread = (2 * kernel.diffusivity * Math.max(0, time - source.time[k])) / (source.along[k] * source.across[k]);
  const reach = 1 + BLUR * Math.sqrt(spread);
  return squareAt(line, k) < reach * reach;
}

/** u with u^2 - gap u = age: where the edge that passed over the point at `age` is so many deviations of its blur away. */
function edgeRoot(age: number, gap: number): number {
  return Math.max(0, 0.5 * gap + Math.sqrt(0.25 * gap * gap + age));
}

function sortFirst(cuts: Float64Array, n: number): void {
  for (let i = 1; i < n; i++) {
    const value = cuts[i];
    let j = i - 1;
    while (j >= 0 && cuts[j] > value) {
      cuts[j + 1] = cuts[j];
      j--;
    }
    cuts[j + 1] = value;
  }
}
