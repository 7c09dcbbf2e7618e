// One pass of a top-hat over a cross-section of the joint, point by point: its light ends sharply, so each point is hottest just
// when the edge leaves it, unless heat flows faster than the spot moves.
import { chebyshevPeak, chebyshevPoints, type Peak } from '../geometry/quadrature.ts';
import { addColumn } from './column-rise.ts';
import { type PassRise, type Window, depthPeaks, FAINT } from './pass.ts';
import { type Approach, addRise, isInReach, reachOf, type RiseWork, type Section } from './rise.ts';
import { createLine, type Line } from './spot-line.ts';

/** Samples over the roots of the times from the moment at which the edge leaves: just before it, and further away. */
const CLOSEST = chebyshevPoints(4);
const CLOSE = chebyshevPoints(6);
const WIDER = chebyshevPoints(10);

/** How long before the edge leaves the point is hottest at the earliest, over diffusivity / (speed of the edge)^2. */
const JUST_BEFORE = 3.5;

/** Where that is more than this share of the light's stay, heat flows as fast as the spot moves: the whole stay is looked at. */
const SLOW = 0.08;

/** How long after the edge has left it is looked whether the point is warmer still, in shares of the light's stay. */
const AFTER = 0.04;

/** A moment at which the plane crosses the threshold is found to this share of the time above it. */
const EXACT = 1e-3;

/** Times above the threshold run smoothly from point to point where the bend changes them by less than this share. */
const SMOOTH = 0.02;

const DOUBLINGS = 24;

/** One point of the joint face: itself and its mirror images under each approach, the point under the pass's own first. */
type Point = readonly Line[];

export function edgePass(
  work: RiseWork,
  depthPoints: Float64Array,
  section: Section,
  approaches: readonly Approach[],
  window: Window,
  threshold: number,
): PassRise {
  const { source, kernel } = work;
  const { count, first, step, left, right } = section;
  const levels = work.depths.depths.length;
  const best = new Float64Array(levels * count);
  const peak = new Float64Array(count);
  const above = new Float64Array(count);
  const before = new Float64Array(count);
  for (const approach of approaches) addRise(work, section, approach, window.from, 1, before);

  const span = window.to - window.middle;
  const later = Number.isFinite(window.until) ? window.until : window.to + span;
  const near = approaches.filter((approach) =>
    isInReach(source, approach, kernel.diffusivity * (later - source.time[approach.from])),
  );
  const isOwn = ({ from, to }: Approach) => source.time[from] <= window.middle && source.time[to] >= window.middle;
  near.sort((a, b) => Number(isOwn(b)) - Number(isOwn(a)));
  const own = near[0] !== undefined && isOwn(near[0]) ? near[0] : undefined;

  function pointAt(y: number): Point {
    const images = imagesOf(y, left, right, reachOf(source, kernel.diffusivity * span));
    return near.flatMap((approach) => images.map((image) => createLine(source, section, image, approach)));
  }

  const value = new Float64Array(levels);
  /** Rises of a point at a time, to `value`; returns that of the plane. */
  function riseAt(point: Point, time: number, depthCount: number): number {
    value.fill(0);
    for (const line of point) addColumn(work, line, time, depthCount, value);
    return value[0];
  }

  const top: Peak = { x: 0, value: 0 };
  let most = 0;
  let ending = false;
  /** How long the last point stayed above the threshold after it was hottest: its neighbour will do likewise. */
  let lasting = 0.5 * span;
  /**
   * Looks for the highest rises at all depths at the times from + length w^power, w = 0 .. 1; returns when the plane is hottest there, or
   * NaN if it was hotter before; `ending` tells that something is hottest at the far end.
   */
  function search(point: Point, j: number, from: number, length: number, sampling: Float64Array, power: 1 | 2): number {
    const n = sampling.length;
    const samples = new Float64Array(n * levels);
    for (let m = 0; m < n; m++) {
      const w = 0.5 * (1 + sampling[m]);
      riseAt(point, from + length * (power === 1 ? w : w * w), levels);
      samples.set(value, m * levels);
    }
    let when = Number.NaN;
    ending = false;
    for (let d = 0; d < levels; d++) {
      chebyshevPeak(sampling, samples, d, levels, top);
      const at = d * count + j;
      if (top.x === 1 && top.value > FAINT * most) ending = true;
      if (top.value <= best[at]) continue;
      best[at] = top.value;
      const w = 0.5 * (1 + top.x);
      if (d === 0) when = from + length * (power === 1 ? w : w * w);
    }
    return when;
  }

  /** The moment between a and b at which the plane crosses the threshold; `atA`, `atB`: what `measure` makes of its rises there. */
  function crossing(
    point: Point,
    [a, atA]: readonly [number, number],
    [b, atB]: readonly [number, number],
    measure: (rise: number) => number,
    exact: number,
  ): number {
    let [low, atLow, high, atHigh] = [a, atA, b, atB];
    for (let turn = 0; turn < 12 && high - low > exact; turn++) {
      const share = Math.max(0.02, Math.min(0.98, atLow / (atLow - atHigh)));
      const t = low + share * (high - low);
      const f = measure(riseAt(point, t, 1));
      // What is left to go along the chord to the end on the other side.
      const rest = f > 0 === atHigh > 0 ? (f * (t - low)) / (atLow - f) : (f * (high - t)) / (f - atHigh);
      if (Math.abs(rest) < exact) return t + rest;
      if (f > 0 === atHigh > 0) {
        [high, atHigh] = [t, f];
        atLow *= 0.5;
      } else {
        [low, atLow] = [t, f];
        atHigh *= 0.5;
      }
    }
    return low + (atLow / (atLow - atHigh)) * (high - low);
  }

  /** When the plane falls under the threshold after it was hottest. It cools about like 1 / time: its inverse is nearly straight. */
  function fallsAt(point: Point, hot: number, most: number, guess: number): number {
    const coldness = (rise: number) => threshold / Math.max(rise, 1e-3 * threshold) - 1;
    let [now, cold] = [hot, coldness(most)];
    let next = hot + guess;
    for (let n = 0; n < DOUBLINGS && now < window.until; n++) {
      next = Math.min(window.until, next);
      const then = coldness(riseAt(point, next, 1));
      if (then >= 0) return crossing(point, [now, cold], [next, then], coldness, EXACT * (next - hot));
      const wanted = then > cold ? next + 1.2 * (-then / (then - cold)) * (next - now) : Number.POSITIVE_INFINITY;
      [now, cold] = [next, then];
      const gone = next - hot;
      next = hot + Math.max(1.01 * gone, Math.min(5 * gone, wanted - hot));
    }
    return now;
  }

  /** Time for which the plane is above the threshold round the moment `hot` at which it is hottest. */
  function timeAbove(point: Point, j: number, arrival: number, hot: number): number {
    const most = best[j];
    if (!(most > threshold)) return Number.isNaN(most) ? Number.NaN : 0;
    const begin = Math.max(window.from, Math.min(arrival, hot));
    const end = fallsAt(point, hot, most, lasting);
    lasting = Math.max(end - hot, 0.1 * span);
    if (before[j] > threshold) return end - window.from;
    const warmth = (rise: number) => rise / threshold - 1;
    const exact = EXACT * (end - begin);
    const atBegin = warmth(riseAt(point, begin, 1));
    const rises =
      atBegin > 0
        ? crossing(point, [window.from, warmth(before[j])], [begin, atBegin], warmth, exact)
        : crossing(point, [begin, atBegin], [hot, warmth(most)], warmth, exact);
    return end - rises;
  }

  const times: (() => number)[] = new Array(count);
  const outside: number[] = [];
  for (let j = 0; j < count; j++) {
    const y = first + j * step;
    if (y > left || y < -right) continue;
    const point = pointAt(y);
    const chord = point[0]?.chord;
    if (own === undefined || chord === undefined || Number.isNaN(chord.leaves)) {
      outside.push(j);
      continue;
    }
    const arrival = chord.arrives;
    const { closest } = own;
    const leaves = Math.min(chord.leaves, window.until);
    const stay = leaves - arrival;
    const blur =
      (JUST_BEFORE * work.kernel.diffusivity) /
      (source.along[closest] * source.across[closest] * chord.leaving * chord.leaving);
    const slow = blur > SLOW * stay;
    const sampling = slow ? WIDER : blur > 0.01 * stay ? CLOSE : CLOSEST;
    let hot = orElse(search(point, j, leaves, slow ? -0.35 * stay : -blur, sampling, 2), leaves);
    if (slow || ending) hot = orElse(search(point, j, arrival, 0.7 * stay, WIDER, 1), hot);
    if (riseAt(point, Math.min(window.until, leaves + AFTER * Math.max(stay, 0.5 * span)), 1) > best[j])
      hot = followed(point, j, leaves, hot);
    times[j] = () => timeAbove(point, j, arrival, hot);
    most = Math.max(most, best[j]);
  }
  for (const j of outside) {
    const point = pointAt(first + j * step);
    const end = Math.min(window.to, window.until);
    riseAt(point, end, levels);
    if (value.every((rise) => rise === 0)) continue;
    const sampling = value.some((rise) => rise > 0.2 * FAINT * most) ? WIDER : CLOSE;
    const hot = followed(point, j, window.middle, window.middle, sampling);
    times[j] = () => timeAbove(point, j, window.from, hot);
  }
  // Every second point from its neighbours, where their times run smoothly.
  for (let j = 0; j < count; j += 2) above[j] = times[j]?.() ?? 0;
  for (let j = 1; j < count; j += 2) above[j] = times[j] === undefined ? 0 : (between(above, j) ?? times[j]());
  for (let j = 0; j < count; j++) peak[j] = best[j];
  return { peak, above, before, ...depthPeaks(depthPoints, best, count) };

  /** The same search onward from a moment for as long as a point of note grows warmer. */
  function followed(point: Point, j: number, from: number, otherwise: number, sampling = WIDER): number {
    let hot = otherwise;
    let [start, length] = [from, Math.max(span, window.to - from)];
    for (let n = 0; n < DOUBLINGS && start < window.until; n++, length *= 2) {
      const end = Math.min(window.until, start + length);
      hot = orElse(search(point, j, start, end - start, sampling, 2), hot);
      if (!ending) break;
      start = end;
    }
    return hot;
  }
}

/** The cubic through the four points about j, where it agrees with the straight line; undefined where it does not. */
function between(values: Float64Array, j: number): number | undefined {
  const [a, b, c, d] = [values[j - 3], values[j - 1], values[j + 1], values[j + 3]];
  if (!(a > 0 && b > 0 && c > 0 && d > 0)) return undefined;
  const straight = (b + c) / 2;
  const cubic = (9 * (b + c) - a - d) / 16;
  return Math.abs(cubic - straight) < SMOOTH * cubic ? cubic : undefined;
}

const orElse = (value: number, otherwise: number): number => (Number.isNaN(value) ? otherwise : value);

/** A point and its mirror images in the walls that lie within reach. */
function imagesOf(y: number, left: number, right: number, reach: number): number[] {
  const lines = [y];
  const around = 2 * (left + right);
  const images = (m: number) => [
    y + m * around,
    y - m * around,
    2 * left - y + m * around,
    -2 * right - y - m * around,
  ];
  const add = (line: number) => {
    if (Math.abs(line) < reach) lines.push(line);
  };
  add(2 * left - y);
  add(-2 * right - y);
  if (!(around > 0 && around < Number.POSITIVE_INFINITY)) return lines;
  for (let m = 1; m * around - Math.abs(y) < reach; m++) images(m).forEach(add);
  return lines;
}
