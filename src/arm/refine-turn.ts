// Takes the turn of the tool off the search's grid: a constant one to the cheapest value nearby, a free one to a smooth
// course near the grid's, so that the joints' paths are smooth too.
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

/** Brackets that a free turn is smoothed within, in places of the grid, and how often from the best course so far. */
const BRACKETS = [1, 4, 16, 64];
const PASSES = 4;
/** How far towards the smooth course, tried in turn until the arm can follow. */
const SHARES = [1, 0.5, 0.25, 0.125];
/** A pass that gains a smaller share than this is the last. */
const GAIN = 1e-6;

/**
 * The free turn smoothed within brackets, narrow to wide, and of these the cheapest that the arm can follow, again from
 * there while it gains: the grid's steps cost the same wherever they stand, so that the search bunches them; a smooth
 * course spreads them. `round`: rows one round apart whose turns must agree (whole turns aside); the rows beyond them then
 * repeat the round.
 */
export async function smoothFreeTurn(
  request: Request,
  start: Refined,
  round: ToolPath['round'],
  task: Task,
): Promise<Refined> {
  const { arm, path, toolToFlange, runs, settings, gridStep } = request;
  let best = start;
  let least = Number.POSITIVE_INFINITY;
  for (let pass = 0; pass < PASSES; pass++) {
    const centre = best;
    const before = least;
    for (const bracket of BRACKETS) {
      await task.pause('refining the turn', pass / PASSES);
      const goal = smoothed(path, centre.turn, runs, round, bracket * gridStep);
      for (const share of SHARES) {
        const turn = goal.map((value, i) => centre.turn[i] + share * (value - centre.turn[i]));
        const angle = followPath(arm, path, toolToFlange, turn, runs, centre.angle, settings.jump);
        if (angle === null) continue;
        const cost = pathCost(arm, path, angle, runs, settings);
        if (cost < least) {
          least = cost;
          best = { turn, angle };
        }
        break;
      }
    }
    if (!(least < before * (1 - GAIN))) break;
  }
  return best;
}

function smoothed(
  path: ToolPath,
  turn: Float64Array,
  runs: readonly Run[],
  round: ToolPath['round'],
  bracket: number,
): Float64Array {
  if (round !== null) return smoothRound(path, turn, round, bracket);
  const goal = Float64Array.from(turn);
  for (const { from, to } of runs) {
    goal.set(smoothWithin(path.s.slice(from, to + 1), turn.slice(from, to + 1), bracket, 0), from);
  }
  return goal;
}

/** Smooths one round, less its steady gain, as a periodic series, and lets the rows before and after it repeat it. */
function smoothRound(
  path: ToolPath,
  turn: Float64Array,
  { from, to }: { readonly from: number; readonly to: number },
  bracket: number,
): Float64Array {
  const n = to - from;
  const s = path.s.slice(from, to);
  const length = path.s[to] - path.s[from];
  const gain = 2 * Math.PI * Math.round((turn[to] - turn[from]) / (2 * Math.PI));
  const steady = (i: number): number => (gain * (path.s[i] - path.s[from])) / length;
  const rest = turn.slice(from, to).map((value, k) => value - steady(from + k));
  const smooth = smoothWithin(s, rest, bracket, length);
  return turn.map((_, i) => smooth[(((i - from) % n) + n) % n] + steady(i));
}
