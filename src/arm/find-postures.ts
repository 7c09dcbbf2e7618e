// From the tool's path to the cheapest postures on the grid of turns: the ladder, the search, the angles of its nodes.
import type { Rigid } from '../geometry/rigid.ts';
import type { Closure } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { buildLadder, type Ladder } from './build-ladder.ts';
import { type ClosingSettings, closeSeam } from './close-seam.ts';
import { type Run, runsOf } from './follow-path.ts';
import { type Kinematics, nearestTurn } from './kinematics.ts';
import { type Rounds, roundsOf } from './search-posture.ts';
import type { ToolPath } from './tool-path.ts';

export interface GridSettings {
  /** Keep the turn constant at the best value, let it vary, or keep it at this angle (rad) from the path's own frames. */
  readonly turn: 'constant' | 'free' | number;
  /** Turns of the grid round the circle. */
  readonly turns: number;
  /** Fastest change of a free turn, rad/mm. */
  readonly turnRate: number;
  /** Process speed, mm/s. */
  readonly speed: number;
  /** Largest change of an axis from row to row, rad: beyond it a posture jumps. */
  readonly jump: number;
  /** Searches spent on each kind of closure. */
  readonly searches: number;
}

export interface FoundPostures {
  readonly ladder: Ladder;
  readonly search: ClosingSettings;
  /** Node of each row, m, or -1, and the runs of rows that have one. */
  readonly node: Int32Array;
  readonly runs: readonly Run[];
  /** Turn, m, rad, continuous, and joint angles, n x m, rad; NaN in rows without a node. */
  readonly turn: Float64Array;
  readonly angle: Float64Array;
  /** Places of the grid that the path may use where it has no node. */
  readonly turns: readonly number[];
  readonly closure: Closure;
  readonly gap: number;
}

/** Weight of the squared shares of axis speed against time at process speed. */
const SMOOTHNESS = 0.05;
/** Axes keep 15 degrees from their limits where that costs less than a fifth of the time at process speed. */
const LIMIT_ZONE = (15 * Math.PI) / 180;
const LIMIT_WEIGHT = 0.2;
/** A closed way this close to the bound is taken. */
const GAP = 5e-3;

/** Distance between two turns of a grid, rad. */
export const gridStepOf = (turns: number): number => (2 * Math.PI) / turns;

/** `home`: posture that many-turn axes are unwrapped about, n, rad. */
export async function findPostures(
  kinematics: Kinematics,
  home: ArrayLike<number>,
  toolToFlange: Rigid,
  path: ToolPath,
  settings: GridSettings,
  task: Task,
): Promise<FoundPostures> {
  const gridStep = gridStepOf(settings.turns);
  const turn =
    typeof settings.turn === 'number'
      ? Float64Array.of(settings.turn)
      : Float64Array.from({ length: settings.turns }, (_, t) => t * gridStep);
  const ladder = await buildLadder(kinematics, path, { turn, toolToFlange, home, jump: settings.jump }, task);
  const search = {
    turnSteps: settings.turn === 'free' ? turnSteps(path, settings.turnRate, gridStep) : 0,
    speed: settings.speed,
    smoothness: SMOOTHNESS,
    jump: settings.jump,
    limitZone: LIMIT_ZONE,
    limitWeight: LIMIT_WEIGHT,
    gap: GAP,
    searches: settings.searches,
  };
  const found = await closeSeam(ladder, path.round, search, task);
  const node = found.closure === 'same' ? repeatRound(found.node, path.round) : found.node;
  return {
    ladder,
    search,
    node,
    runs: runsOf(node),
    ...readNodes(ladder, node),
    turns: turnsOf(ladder, node, settings.turn),
    closure: found.closure,
    gap: found.gap,
  };
}

/** The largest step between rows, in places of the grid; at least one. */
function turnSteps(path: ToolPath, rate: number, gridStep: number): number {
  const spacing = path.count > 1 ? (path.s[path.count - 1] - path.s[0]) / (path.count - 1) : 0;
  return Math.max(1, Math.floor((rate * spacing) / gridStep));
}

/** Rows before and after a round that closes stand as the round does. */
function repeatRound(node: Int32Array, round: ToolPath['round']): Int32Array {
  if (round === null) return node;
  const n = round.to - round.from;
  return node.map((_, i) => node[round.from + ((((i - round.from) % n) + n) % n)]);
}

/** Turn (continuous, rad) and joint angles of the nodes; NaN where there is none. */
function readNodes(ladder: Ladder, node: Int32Array): { turn: Float64Array; angle: Float64Array } {
  const rounds = roundsOf(ladder);
  const n = ladder.axes;
  const turn = new Float64Array(node.length).fill(Number.NaN);
  const angle = new Float64Array(n * node.length).fill(Number.NaN);
  let before = 0;
  for (let i = 0; i < node.length; i++) {
    if (node[i] < 0) continue;
    const place = Math.floor(node[i] / rounds.count);
    turn[i] = nearestTurn(ladder.turn[Math.floor(place / ladder.branches)], before);
    before = turn[i];
    const at = n * (i * ladder.turns * ladder.branches + place);
    for (let j = 0; j < n; j++) angle[n * i + j] = ladder.angle[at + j];
    addRounds(rounds, node[i] % rounds.count, angle, n * i);
  }
  return { turn, angle };
}

function addRounds(rounds: Rounds, round: number, angle: Float64Array, k: number): void {
  rounds.axis.forEach((j, c) => {
    angle[k + j] += 2 * Math.PI * (Math.floor(round / rounds.stride[c]) % rounds.most[c]);
  });
}

/** The places of the grid that the path may use at a row: its own where the turn is constant and any row has one. */
function turnsOf(ladder: Ladder, node: Int32Array, turn: GridSettings['turn']): number[] {
  const known = node.find((x) => x >= 0);
  if (turn === 'constant' && known !== undefined) {
    return [Math.floor(known / (roundsOf(ladder).count * ladder.branches))];
  }
  return Array.from({ length: ladder.turns }, (_, t) => t);
}
