// One track of the strip: a quantity over arc length with its limits, and findings hatched where they hold.
import { line as lineShape } from 'd3-shape';
import { fitText, label, spreadApart } from './label.ts';
import { COLOUR, SEVERITY_COLOUR } from './palette.ts';
import { element, group, line, rect } from './svg.ts';
import { lastKnown, rangeText, trackAxis } from './track-axis.ts';
import type { Severity } from '../../model/finding.ts';
import type { Series, Track } from './tracks.ts';

/** Where a track stands: words on the left, the plot, direct labels on the right, px. */
export interface TrackPlace {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly height: number;
  /** Left border of the words and right border of the labels. */
  readonly edgeLeft: number;
  readonly edgeRight: number;
  /** Arc length to px. */
  readonly x: (s: number) => number;
}

/** A stretch to hatch, px. */
export interface Hatch {
  readonly from: number;
  readonly to: number;
  readonly severity: Severity;
}

/** `s` is the arc length of the rows, mm. */
export function drawTrack(track: Track, s: Float64Array, hatches: readonly Hatch[], place: TrackPlace): string {
  const { left, right, top, height } = place;
  const { shown, scale, ticks, decimals } = trackAxis(track, top + height - 6, top + 6);
  return group({}, [
    ...hatches.map(({ from, to, severity }) =>
      rect(from, top, Math.max(2, to - from), height, { fill: `url(#hatch-${severity})` }),
    ),
    ...ticks.map((tick) =>
      line(left, scale(tick), right, scale(tick), {
        stroke: COLOUR.rule,
        'stroke-width': tick === 0 && track.anchor === 0 ? 1.4 : 0.7,
      }),
    ),
    ...ticks.map((tick) =>
      label(left - 8, scale(tick) + 4, tick.toFixed(decimals), { anchor: 'end', size: 11, colour: COLOUR.quiet }),
    ),
    label(place.edgeLeft, top + 18, track.title, { size: 13, weight: 700 }),
    label(place.edgeLeft, top + 34, track.unit, { size: 11, colour: COLOUR.quiet }),
    ...shown.map(({ value }) =>
      line(left, scale(value), right, scale(value), {
        stroke: COLOUR.light,
        'stroke-width': 1,
        'stroke-dasharray': '1 3',
        'stroke-linecap': 'round',
      }),
    ),
    ...track.series.map((series) => drawSeries(series, s, place.x, scale)),
    ...directLabels(track, shown, scale, place),
  ]);
}

function drawSeries(
  { values, dashed }: Series,
  s: Float64Array,
  x: (s: number) => number,
  y: (value: number) => number,
): string {
  const shape = lineShape<number>()
    .defined((value) => Number.isFinite(value))
    .x((_, row) => x(s[row]))
    .y((value) => y(value))
    .digits(1);
  return element('path', {
    d: shape(values) ?? '',
    fill: 'none',
    stroke: dashed ? COLOUR.quiet : COLOUR.ink,
    'stroke-width': dashed ? 1.3 : 1.6,
    'stroke-linejoin': 'round',
    ...(dashed ? { 'stroke-dasharray': '5 3' } : {}),
  });
}

/** Names and values at the right end: each series with its range, each limit with its value. */
function directLabels(track: Track, shown: Track['limits'], y: (value: number) => number, place: TrackPlace): string[] {
  const texts = [
    ...track.series.map(({ name, values }) => ({
      text: `${name} ${rangeText(values, track.decimals)}`,
      at: lastKnown(values),
      colour: COLOUR.ink as string,
    })),
    ...track.limits.map(({ name, value }) => ({
      text: `${name} ${value.toFixed(track.decimals)}`,
      at: value,
      colour: (shown.some((limit) => limit.name === name) ? COLOUR.light : COLOUR.quiet) as string,
    })),
  ];
  const heights = spreadApart(
    texts.map(
      ({ at }) =>
        (Number.isFinite(at) ? Math.min(place.top + place.height, Math.max(place.top, y(at))) : place.top) + 4,
    ),
    14,
    place.top + 11,
    place.top + place.height - 1,
  );
  const x = place.right + 10;
  return texts.map(({ text, colour }, k) =>
    label(x, heights[k], fitText(text, 11, place.edgeRight - x), { size: 11, colour }),
  );
}

/** Hatching a severity: the definitions go into the picture once. */
export const HATCHES: readonly string[] = (['blocks', 'warns', 'notes'] as const).map((severity) =>
  element(
    'pattern',
    {
      id: `hatch-${severity}`,
      width: 6,
      height: 6,
      patternUnits: 'userSpaceOnUse',
      patternTransform: severity === 'warns' ? 'rotate(-45)' : 'rotate(45)',
    },
    [line(0, 0, 0, 6, { stroke: SEVERITY_COLOUR[severity], 'stroke-width': 1.6, 'stroke-opacity': 0.45 })],
  ),
);
