// Takes the turn of the tool off the search's grid: a constant one to the cheapest value nearby, a free one to the
// smoothest course within one place of the grid, so that the joints' paths are smooth too.
import type { Rigid } from '../geometry/rigid.ts';
import type { Task } from '../model/task.ts';
import { followPath, pathCost, type Run } from './follow-path.ts';
import type { Kinematics } from './kinematics.ts';
import type { SearchSettings } from './search-posture.ts';
import { smoothWithin } from './smooth-series.ts';
import type { ToolPath } from './tool-path.ts';

export interface Refined {
  /** m, rad */
  readonly turn: Float64Array;
  /** n x m, rad, NaN outside the runs. */
  readonly angle: Float64Array;
}

interface Request {
  readonly arm: Kinematics;
  readonly path: ToolPath;
  readonly toolToFlange: Rigid;
  readonly runs: readonly Run[];
  readonly settings: SearchSettings;
  /** Distance between two turns of the grid, rad. */
  readonly gridStep: number;
}

/** Golden section's share, and steps: 5 degrees come down to 0.005. */
const GOLDEN = (Math.sqrt(5) - 1) / 2;
const GOLDEN_STEPS = 14;

/** Cheapest constant turn within one place of the grid about `start`; `start` itself where nothing is cheaper. */
export async function refineConstantTurn(request: Request, start: Refined, task: Task): Promise<Refined> {
  const { arm, path, toolToFlange, runs, settings, gridStep } = request;
  let best = start;
  let least = pathCost(arm, path, start.angle, runs, settings);
  const cost = async (offset: number): Promise<number> => {
    await task.pause('refining the turn', 0.5);
    const turn = start.turn.map((value) => value + offset);
    const angle = followPath(arm, path, toolToFlange, turn, runs, start.angle, settings.jump);
    if (angle === null) return Number.POSITIVE_INFINITY;
    const value = pathCost(arm, path, angle, runs, settings);
    if (value < least) {
      least = value;
      best = { turn, angle };
    }
    return value;
  };
  let low = -gridStep;
  let high = gridStep;
  let a = high - GOLDEN * (high - low);
  let b = low + GOLDEN * (high - low);
  let atA = await cost(a);
  let atB = await cost(b);
  for (let step = 0; step < GOLDEN_STEPS; step++) {
    if (atA <= atB) {
      high = b;
      b = a;
      atB = atA;
      a = high - GOLDEN * (high - low);
      atA = await cost(a);
    } else {
      low = a;
      a = b;
      atA = atB;
      b = low + GOLDEN * (high - low);
      atB = await cost(b);
    }
  }
  return best;
}

/**
 * The free turn smoothed within one place of the grid. `round`: rows one round apart whose turns must agree (whole turns
 * aside); the rows beyond them then repeat the round. Where the arm cannot follow the smooth course, it is taken back
 * towards the grid's by halves; the last resort is the grid's own.
 */
export async function smoothFreeTurn(
  request: Request,
  start: Refined,
  round: ToolPath['round'],
  task: Task,
): Promise<Refined> {
  const { arm, path, toolToFlange, runs, settings, gridStep } = request;
  const goal = Float64Array.from(start.turn);
  if (round === null) {
    for (const { from, to } of runs) {
      goal.set(smoothWithin(path.s.slice(from, to + 1), start.turn.slice(from, to + 1), gridStep), from);
    }
  } else {
    goal.set(smoothRound(path, start.turn, round, gridStep));
  }
  const turn = new Float64Array(goal.length);
  for (let share = 1; share > 1e-3; share /= 2) {
    await task.pause('refining the turn', 1 - share);
    for (let i = 0; i < turn.length; i++) turn[i] = start.turn[i] + share * (goal[i] - start.turn[i]);
    const angle = followPath(arm, path, toolToFlange, turn, runs, start.angle, settings.jump);
    if (angle !== null) return { turn, angle };
  }
  return start;
}

/** Smooths one round as part of an endless series, and lets the rows before and after it repeat it. */
function smoothRound(
  path: ToolPath,
  turn: Float64Array,
  { from, to }: { readonly from: number; readonly to: number },
  bracket: number,
): Float64Array {
  const n = to - from;
  const length = path.s[to] - path.s[from];
  const gain = 2 * Math.PI * Math.round((turn[to] - turn[from]) / (2 * Math.PI));
  const s = new Float64Array(3 * n);
  const value = new Float64Array(3 * n);
  for (let k = 0; k < 3 * n; k++) {
    const lap = Math.floor(k / n) - 1;
    s[k] = path.s[from + (k % n)] + lap * length;
    value[k] = turn[from + (k % n)] + lap * gain;
  }
  const smooth = smoothWithin(s, value, bracket).subarray(n, 2 * n);
  const out = new Float64Array(turn.length);
  for (let i = 0; i < turn.length; i++) {
    const lap = Math.floor((i - from) / n);
    out[i] = smooth[i - from - lap * n] + lap * gain;
  }
  return out;
}
