// Lanes of the findings above the tracks: the gravest are placed first, so what is left out where room is scarce never blocks.
import type { Severity } from '../../model/finding.ts';
import { SEVERITIES } from '../findings/finding-words.ts';
import type { FindingBar, Stretch } from './stretches.ts';

/** Room for the mark of a bar, px, and lanes drawn at most for what does not block. */
const MARK = 18;
const MOST_LANES = 2;

/** Height of a lane, px. */
export const LANE = 16;

interface GradedStretch extends Stretch {
  readonly severity: Severity;
}

/** Lane of each bar so that none meet, counted in the unit of `from` and `to`; `room` is what the mark of a bar takes. */
export function lanesOf(bars: readonly GradedStretch[], room: number): readonly number[] {
  const rank = ({ severity }: GradedStretch): number => SEVERITIES.indexOf(severity);
  const order = bars
    .map((_, k) => k)
    .sort((a, b) => rank(bars[a]) - rank(bars[b]) || bars[a].from - bars[b].from || a - b);
  const taken: Stretch[][] = [];
  const lanes = new Array<number>(bars.length).fill(0);
  for (const k of order) {
    const { from } = bars[k];
    const to = Math.max(bars[k].to, from + room);
    const free = taken.findIndex((lane) => lane.every((other) => other.to <= from || to <= other.from));
    const lane = free < 0 ? taken.length : free;
    taken[lane] = [...(taken[lane] ?? []), { from, to }];
    lanes[k] = lane;
  }
  return lanes;
}

export interface PlacedBar {
  readonly bar: FindingBar;
  /** px */
  readonly left: number;
  readonly width: number;
  readonly lane: number;
}

export interface Lanes {
  readonly placed: readonly PlacedBar[];
  readonly count: number;
  /** Findings that have no bar drawn at all. */
  readonly more: number;
}

/** What is drawn: two lanes, and as many as it takes that everything is there that blocks. */
export function placeLanes(bars: readonly FindingBar[], x: (s: number) => number): Lanes {
  const places = bars.map(({ from, to, severity }) => ({ from: x(from), to: x(to), severity }));
  const lanes = lanesOf(places, MARK);
  const blocking = lanes.filter((_, k) => bars[k].severity === 'blocks');
  const most = Math.max(MOST_LANES, ...blocking.map((lane) => lane + 1));
  const placed = bars.flatMap((bar, k): PlacedBar[] => {
    const { from, to } = places[k];
    return lanes[k] < most ? [{ bar, left: from, width: Math.max(2, to - from), lane: lanes[k] }] : [];
  });
  const shown = new Set(placed.map(({ bar }) => bar.index));
  return {
    placed,
    count: Math.max(1, ...placed.map(({ lane }) => lane + 1)),
    more: new Set(bars.filter(({ index }) => !shown.has(index)).map(({ index }) => index)).size,
  };
}
