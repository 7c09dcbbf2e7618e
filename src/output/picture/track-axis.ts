// The axis of a track: which values it spans, which limits are near enough to be drawn, where its ticks are.
import { type ScaleLinear, scaleLinear } from 'd3-scale';
import type { Track, TrackLimit } from './tracks.ts';

/** The smallest range of an axis in units of the last decimal shown: what varies less is drawn as the line that it is. */
const SMALLEST_RANGE = 10;

/** A limit farther off than this many ranges of the values is named but not drawn. */
const REACH = 1.6;

export interface TrackAxis {
  /** Value to px. */
  readonly scale: ScaleLinear<number, number>;
  readonly ticks: readonly number[];
  readonly decimals: number;
  /** Limits within reach of the values; the others are named only. */
  readonly shown: readonly TrackLimit[];
}

/** Space that a tick takes, px: where there is none for three of them the ends of the axis have to do. */
const TICK = 18;

/** The axis between two heights, px; `also` holds further values to span. */
export function trackAxis(track: Track, bottom: number, top: number, also: readonly Float64Array[] = []): TrackAxis {
  const [low, high] = valueRange(track, also);
  const shown = track.limits.filter(({ value }) => track.allLimits === true || isNear(value, low, high));
  const scale = scaleLinear()
    .domain([Math.min(low, ...shown.map((l) => l.value)), Math.max(high, ...shown.map((l) => l.value))])
    .nice(3)
    .range([bottom, top]);
  const ticks = bottom - top < 3 * TICK ? scale.domain() : scale.ticks(3);
  return { scale, ticks, decimals: tickDecimals(ticks), shown };
}

/** Range of all values and the anchor; something sensible where nothing is known. */
function valueRange(track: Track, also: readonly Float64Array[]): [number, number] {
  let low = track.anchor ?? Number.POSITIVE_INFINITY;
  let high = track.anchor ?? Number.NEGATIVE_INFINITY;
  for (const values of [...track.series.map((series) => series.values), ...also]) {
    for (const value of values) {
      if (!Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
  }
  if (low > high) return [0, Math.max(1, ...track.limits.map((limit) => limit.value))];
  const air = Math.max(0, SMALLEST_RANGE * Number(`1e-${track.decimals}`) - (high - low)) / 2;
  return [low - (low === track.anchor ? 0 : air), high + air];
}

function isNear(value: number, low: number, high: number): boolean {
  const range = Math.max(high - low, 0.3 * Math.max(Math.abs(low), Math.abs(high)), 1e-9);
  return value >= low - REACH * range && value <= high + REACH * range;
}

const tickDecimals = (ticks: readonly number[]): number => {
  const step = ticks.length > 1 ? ticks[1] - ticks[0] : 1;
  let decimals = 0;
  while (decimals < 6 && Math.abs(step - Number(step.toFixed(decimals))) > 1e-6 * step) decimals++;
  return decimals;
};

/** `low to high` with fixed decimals. */
export function rangeText(values: Float64Array, decimals: number): string {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const value of values) {
    if (!Number.isFinite(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  if (low > high) return 'not known';
  const [a, b] = [low.toFixed(decimals), high.toFixed(decimals)];
  return a === b ? a : `${a} to ${b}`;
}

/** The last value that is known; NaN where none is. */
export const lastKnown = (values: Float64Array): number =>
  values.findLast((value) => Number.isFinite(value)) ?? Number.NaN;
