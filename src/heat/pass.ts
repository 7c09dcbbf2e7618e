// One pass of the spot over a cross-section of the joint: how hot each point gets, on the bond plane and below it, and for
// how long the plane stays above a threshold. Time and depth are sampled at Chebyshev points, between which the smooth
// rise is a polynomial (Trefethen 2013, Approximation Theory and Approximation Practice). A top-hat, which ends sharply,
// is followed point by point in `edge-pass.ts`.
import { chebyshevPeak, chebyshevPoints, chebyshevValue, type Peak } from '../geometry/quadrature.ts';
import { edgePass } from './edge-pass.ts';
import { addFine, fineRow, isFew } from './fine-row.ts';
import { highest } from './highest.ts';
import { type Approach, addRise, type RiseWork, type Section } from './rise.ts';

/** Samples in time while the spot arrives, passes, and while the joint cools. */
const ARRIVING = chebyshevPoints(6);
const PASSING = chebyshevPoints(12);
const COOLING = chebyshevPoints(6);

/** Points whose highest rise is below this share of the section's are not waited for. */
export const FAINT = 0.1;

/** Cooling goes on for at most this many doublings of the window. */
const DOUBLINGS = 24;

/** When a pass begins to warm the section, when the spot stands on it, when it has left; and when the next one begins, s. */
export interface Window {
  readonly from: number;
  readonly middle: number;
  readonly to: number;
  readonly until: number;
}

/** Rises above the start, K, and times, s, over the points of a section. */
export interface PassRise {
  readonly peak: Float64Array;
  readonly hottest: Float64Array;
  readonly above: Float64Array;
  /** Rise of the bond plane when the pass begins. */
  readonly before: Float64Array;
  /** Depth of the hottest point of the section, as a share of the deepest one. */
  readonly hottestAt: number;
  /** Largest rise sits at the deepest depth that was looked at: the depths do not reach far enough. */
  readonly deeper: boolean;
}

/** Chebyshev depths from the plane to `deepest` mm. */
export function chebyshevDepths(deepest: number): { readonly points: Float64Array; readonly depths: Float64Array } {
  const points = chebyshevPoints(9);
  return { points, depths: points.map((x) => 0.5 * deepest * (1 + x)) };
}

/** Highest rises and times above `threshold` (K) over a section during one pass. */
export function passOver(
  work: RiseWork,
  depthPoints: Float64Array,
  section: Section,
  approaches: readonly Approach[],
  window: Window,
  threshold: number,
): PassRise {
  if (work.source.profile === 'top-hat') return edgePass(work, depthPoints, section, approaches, window, threshold);
  const { count } = section;
  const levels = work.depths.depths.length;
  const best = new Float64Array(levels * count);
  const above = new Float64Array(count);
  const top: Peak = { x: 0, value: 0 };
  let before: Float64Array | null = null;
  let latest = new Float64Array(0);

  function panel(a: number, b: number, points: Float64Array, depthCount: number): void {
    const size = depthCount * count;
    const times = points.map((x) => a + 0.5 * (b - a) * (1 + x));
    const samples = new Float64Array(points.length * size);
    for (const approach of approaches) addSamples(approach, times, depthCount, samples);
    before ??= samples.slice(0, count);
    latest = samples.slice((points.length - 1) * size);
    for (let i = 0; i < size; i++) {
      chebyshevPeak(points, samples, i, size, top);
      if (!(top.value <= best[i])) best[i] = top.value;
    }
    for (let j = 0; j < count; j++) above[j] += 0.5 * (b - a) * shareAbove(points, samples, j, size, threshold);
  }

  /** Adds the rises that an approach brings by the times, [time][depth][point]. */
  function addSamples(approach: Approach, times: Float64Array, depthCount: number, samples: Float64Array): void {
    const size = depthCount * count;
    const out = (m: number) => samples.subarray(m * size, (m + 1) * size);
    const { source, kernel } = work;
    const age = times[times.length >> 1] - source.time[approach.closest];
    const fine =
      source.profile === 'gaussian' && !isFew(section)
        ? fineRow(source, section, approach, kernel.diffusivity, age)
        : null;
    if (fine === null) {
      for (let m = 0; m < times.length; m++) addRise(work, section, approach, times[m], depthCount, out(m));
      return;
    }
    const step = depthCount * fine.nodes.count;
    const atNodes = new Float64Array(times.length * step);
    let warmed = false;
    for (let m = 0; m < times.length; m++) {
      const nodes = atNodes.subarray(m * step, (m + 1) * step);
      warmed = addRise(work, fine.nodes, approach, times[m], depthCount, nodes) || warmed;
    }
    if (warmed) addFine(fine, atNodes, times.length * depthCount, samples);
  }

  const { from, middle, to, until } = window;
  for (const [a, b] of pieces(work, from, middle)) panel(a, b, ARRIVING, 1);
  for (const [a, b] of pieces(work, middle, to)) panel(a, b, PASSING, levels);
  let start = to;
  let span = to - middle;
  for (let n = 0; n < DOUBLINGS && start < until && span > 0; n++) {
    const risen = stillRising(latest, best, FAINT);
    if (n > 0 && !risen && !latest.subarray(0, count).some((rise) => rise > threshold)) break;
    const end = Math.min(until, start + span);
    for (const [a, b] of pieces(work, start, end)) panel(a, b, COOLING, risen ? levels : 1);
    start = end;
    span *= 2;
  }

  const peak = best.slice(0, count);
  return { peak, above, before: before ?? new Float64Array(count), ...depthPeaks(depthPoints, best, count) };
}

/** The hottest of all depths for each point, and where the hottest of all lies, from the highest rises at Chebyshev depths. */
export function depthPeaks(
  depthPoints: Float64Array,
  best: Float64Array,
  count: number,
): Pick<PassRise, 'hottest' | 'hottestAt' | 'deeper'> {
  const hottest = new Float64Array(count);
  const top: Peak = { x: 0, value: 0 };
  let hottestAt = 0;
  let warmest = 0;
  for (let j = 0; j < count; j++) {
    if (best.length === count) hottest[j] = best[j];
    else {
      chebyshevPeak(depthPoints, best, j, count, top);
      hottest[j] = top.value;
      if (top.value > warmest) {
        warmest = top.value;
        hottestAt = 0.5 * (1 + top.x);
      }
    }
  }
  return { hottest, hottestAt, deeper: hottestAt > 0.99 };
}

/** The time from a to b, cut where the source starts or ends: the rise has a bend there. */
function pieces({ source }: RiseWork, a: number, b: number): [number, number][] {
  const cuts = [source.time[0], source.time[source.count - 1]].filter((t) => t > a && t < b);
  const edges = [a, ...cuts, b];
  return edges.slice(1).flatMap((end, k): [number, number][] => (end > edges[k] ? [[edges[k], end]] : []));
}

/** Whether any point of note has its highest rise at the latest time that was looked at. */
function stillRising(latest: Float64Array, best: Float64Array, faint: number): boolean {
  const most = highest(best);
  return latest.some((rise, i) => rise > faint * most && rise >= best[i]);
}

/** Twice the share of [-1, 1] on which the polynomial through the samples lies above the threshold. */
function shareAbove(
  points: Float64Array,
  samples: Float64Array,
  offset: number,
  stride: number,
  threshold: number,
): number {
  let sum = 0;
  for (let k = 1; k < points.length; k++) {
    const a = samples[offset + (k - 1) * stride] - threshold;
    const b = samples[offset + k * stride] - threshold;
    const width = points[k] - points[k - 1];
    if (Number.isNaN(a + b)) return Number.NaN;
    if (a > 0 && b > 0) sum += width;
    else if (a > 0 || b > 0) {
      const x = crossing(points, samples, offset, stride, threshold, points[k - 1], points[k], a);
      sum += a > 0 ? x - points[k - 1] : points[k] - x;
    }
  }
  return sum;
}

/** Where between lo and hi the polynomial crosses the threshold: bisection, then a secant. `a` is the value above it at lo. */
function crossing(
  points: Float64Array,
  samples: Float64Array,
  offset: number,
  stride: number,
  threshold: number,
  lo: number,
  hi: number,
  a: number,
): number {
  let [left, right, at] = [lo, hi, a];
  for (let turn = 0; turn < 8; turn++) {
    const middle = 0.5 * (left + right);
    const value = chebyshevValue(points, samples, offset, stride, middle) - threshold;
    if (value > 0 === at > 0) [left, at] = [middle, value];
    else right = middle;
  }
  return 0.5 * (left + right);
}
