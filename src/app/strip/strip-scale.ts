// The axis that all tracks share: arc length over the width of the plot.
import { type ScaleLinear, scaleLinear } from 'd3-scale';
import type { SeamView } from '../../output/view/plan-view.ts';

export type StripScale = ScaleLinear<number, number>;

/** Words on the left, labels on the right, px. */
export const WORDS = 136;
export const LABELS = 148;

export function stripScale({ s }: Pick<SeamView, 's'>, width: number): StripScale {
  return scaleLinear()
    .domain([s[0], s[s.length - 1]])
    .range([0, Math.max(1, width)]);
}

/** Height of a track so that all fit, or can at least be read. */
export function trackHeight(room: number, tracks: number): number {
  return Math.max(46, Math.min(110, Math.floor(room / Math.max(1, tracks))));
}
