// Where the names of limits stand in a track: each on its line, beside the others; one out of reach at the edge, with an arrow.
import type { ScaleLinear } from 'd3-scale';
import { textWidth } from '../../output/picture/label.ts';
import type { Track, TrackLimit } from '../../output/picture/tracks.ts';
import { fixedText } from '../chrome/unit-text.ts';

export interface LimitLabel {
  readonly name: string;
  readonly text: string;
  /** Right end of the words, px from the right border of the plot, and their baseline, px from its top. */
  readonly right: number;
  readonly y: number;
  readonly far: boolean;
}

/** What a baseline lies above its line, height of a letter, distance of two labels, px. */
const ABOVE = 3;
const LETTER = 11;
const GAP = 10;
const SIZE = 12;

export function limitLabels(
  { limits, decimals }: Pick<Track, 'limits' | 'decimals'>,
  scale: ScaleLinear<number, number>,
  shown: readonly TrackLimit[],
  height: number,
): readonly LimitLabel[] {
  const [low] = scale.domain();
  let right = GAP;
  return limits.map((limit) => {
    const far = !shown.includes(limit);
    const below = limit.value < low;
    const y = far ? (below ? height : 0) : scale(limit.value) - ABOVE;
    const arrow = far ? (below ? ' \u2193' : ' \u2191') : '';
    const text = `${limit.name} ${fixedText(limit.value, decimals)}${arrow}`;
    const label = { name: limit.name, text, right, y: Math.min(height - ABOVE, Math.max(LETTER, y)), far };
    right += textWidth(text, SIZE) + GAP;
    return label;
  });
}
