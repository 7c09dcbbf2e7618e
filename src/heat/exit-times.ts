// When the edge of a top-hat leaves each point of a section: the moment at which light stops falling on it.
import { type HeatSource, PLACED_SIZE, placeSource } from './heat-source.ts';
import type { Section } from './rise.ts';

/** Halvings of the time between `from` and `to`. */
const TURNS = 24;

/** Times, s, between `from`, when the spot stands on the section, and `to`; NaN for a point on which no light falls at `from`. */
export function exitTimes(source: HeatSource, section: Section, from: number, to: number): Float64Array {
  const placed = new Float64Array(PLACED_SIZE);
  const exits = new Float64Array(section.count);
  let first = 0;
  while (first + 2 < source.count && source.time[first + 1] <= from) first++;

  /** Square of the distance from the middle of the spot to point y, in radii. */
  function distance(time: number, y: number): number {
    let k = first;
    while (k + 2 < source.count && source.time[k + 1] <= time) k++;
    placeSource(source, k, Math.min(time, source.time[source.count - 1]), placed);
    let [along, across, above] = [0, 0, 0];
    for (let axis = 0; axis < 3; axis++) {
      const away = section.place[axis] + y * section.side[axis] - placed[axis];
      along += away * placed[3 + axis];
      across += away * placed[6 + axis];
      above += away * placed[9 + axis];
    }
    return (along * along) / (placed[13] * placed[13]) + (across * across + above * above) / (placed[14] * placed[14]);
  }

  for (let j = 0; j < section.count; j++) {
    const y = section.first + j * section.step;
    if (!(distance(from, y) < 1)) {
      exits[j] = Number.NaN;
      continue;
    }
    let [inside, outside] = [from, to];
    for (let turn = 0; turn < TURNS; turn++) {
      const middle = 0.5 * (inside + outside);
      if (distance(middle, y) < 1) inside = middle;
      else outside = middle;
    }
    exits[j] = outside;
  }
  return exits;
}
