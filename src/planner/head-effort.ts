// What a seam asks of the head: how fast it travels and turns for the speed of the spot, and what the time law makes of it.
import type { Aim } from '../model/aim.ts';
import { PHASES, type Path } from '../model/path.ts';
import type { HeadEffort } from '../model/relaxation.ts';
import { BOUNDS, type Timing } from '../model/timing.ts';

const WELD = PHASES.indexOf('weld');
const PROCESS_SPEED = BOUNDS.indexOf('process-speed');

export function headEffort(path: Path, aim: Aim, timing: Timing): HeadEffort {
  return {
    headFactor: largestLength(aim.headD1),
    turn: largestLength(aim.turnD1),
    fullSpeed: lengthAtProcessSpeed(path, timing),
    cycle: timing.cycle.total,
  };
}

/** Largest length of the vectors in 3 x n numbers, unknown ones left out. */
function largestLength(vectors: Float64Array): number {
  let most = 0;
  for (let k = 0; k < vectors.length; k += 3) {
    const square = vectors[k] ** 2 + vectors[k + 1] ** 2 + vectors[k + 2] ** 2;
    if (square > most) most = square;
  }
  return Math.sqrt(most);
}

/** Sum of the intervals of the weld with the full speed at both ends. */
function lengthAtProcessSpeed({ rows }: Path, { bound }: Timing): number {
  let sum = 0;
  for (let i = 0; i + 1 < rows.count; i++) {
    const held = bound[i] === PROCESS_SPEED && bound[i + 1] === PROCESS_SPEED;
    if (rows.phase[i] === WELD && held) sum += rows.s[i + 1] - rows.s[i];
  }
  return sum;
}
