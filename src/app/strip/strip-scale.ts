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

/** The least and the most that a track is high, px. */
const LEAST = 46;
const MOST = 110;

export interface TrackRoom {
  /** Height of a track, px. */
  readonly tall: number;
  /** Tracks that are seen at once, each of them whole. */
  readonly whole: number;
  /** What is left over, px. */
  readonly spare: number;
}

/** Heights so that all tracks fit, or else that a whole number of them can be read at once. */
export function trackRoom(room: number, tracks: number): TrackRoom {
  const whole = Math.max(1, Math.min(tracks, Math.floor(room / LEAST)));
  const tall = Math.max(LEAST, Math.min(MOST, Math.floor(room / whole)));
  return { tall, whole, spare: whole < tracks ? Math.max(0, room - whole * tall) : 0 };
}
