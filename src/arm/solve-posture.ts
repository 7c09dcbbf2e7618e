// The arm's stage: from the tool's path to joint angles over its rows, or the stretches that the arm cannot do.
import type { Arm } from '../model/arm.ts';
import type { Head } from '../model/head.ts';
import type { Posture } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { invertRigid, type Rigid } from '../geometry/rigid.ts';
import { buildLadder, type Ladder } from './build-ladder.ts';
import { closeSeam } from './close-seam.ts';
import { followPath, runsOf } from './follow-path.ts';
import { derivativesAtRows, type JointPath, jointPath, knotsBetween } from './joint-path.ts';
import { kinematicsOf, type Kinematics, nearestTurn } from './kinematics.ts';
import { nameBlocked } from './name-blocked.ts';
import { type Refined, refineConstantTurn, smoothFreeTurn } from './refine-turn.ts';
import { type Rounds, roundsOf } from './search-posture.ts';
import { flangeToTool, type ToolPath } from './tool-path.ts';

export interface PostureSettings {
  /**
   * Keep the turn constant at the best value, let it vary, or keep it at this angle (rad) from the path's own frames: 0 where
   * these have been turned already.
   */
  readonly turn: 'constant' | 'free' | number;
  /** Turns of the grid round the circle. */
  readonly turns: number;
  /** Fastest change of a free turn, rad/mm. */
  readonly turnRate: number;
  /** Process speed, mm/s. */
  readonly speed: number;
  /** Distance from head point to tool centre point, mm. */
  readonly standoff: number;
}

export interface PostureResult {
  readonly posture: Posture;
  readonly joints: JointPath;
  /** Share by which the search's cost may lie above the cheapest possible; 0 is proved. */
  readonly gap: number;
}

/** Weight of the squared shares of axis speed against time at process speed. */
const SMOOTHNESS = 0.05;
/** Axes keep 15 degrees from their limits where that costs less than a fifth of the time at process speed. */
const LIMIT_ZONE = (15 * Math.PI) / 180;
const LIMIT_WEIGHT = 0.2;
/** Largest change of an axis from row to row, rad: beyond it a posture jumps. */
const JUMP = 0.5;
/** A closed way this close to the bound is taken, and searches spent on each kind of closure. */
const GAP = 5e-3;
const SEARCHES = 8;
/** Allowed between the rows: 0.02 mm and 0.02 degrees. */
const STRAY = 0.02;
const STRAY_ANGLE = (0.02 * Math.PI) / 180;

/**
 * Postures over the rows. Never throws for a path that the arm cannot do: the stretches are named, the rest has postures.
 */
export async function solvePosture(
  arm: Arm,
  head: Head,
  path: ToolPath,
  settings: PostureSettings,
  task: Task,
): Promise<PostureResult> {
  const kinematics = kinematicsOf(arm, head.umbilical);
  const toolToFlange = invertRigid(flangeToTool(head, settings.standoff));
  const fixed = typeof settings.turn === 'number';
  const count = fixed ? 1 : settings.turns;
  const gridStep = (2 * Math.PI) / settings.turns;
  const turn = Float64Array.from({ length: count }, (_, t) =>
    typeof settings.turn === 'number' ? settings.turn : t * gridStep,
  );
  const ladder = await buildLadder(kinematics, path, { turn, toolToFlange, home: arm.home, jump: JUMP }, task);
  const search = {
    turnSteps: settings.turn === 'free' ? turnSteps(path, settings.turnRate, gridStep) : 0,
    speed: settings.speed,
    smoothness: SMOOTHNESS,
    jump: JUMP,
    limitZone: LIMIT_ZONE,
    limitWeight: LIMIT_WEIGHT,
    gap: GAP,
    searches: SEARCHES,
  };
  const found = await closeSeam(ladder, path.round, search, task);
  const node = found.closure === 'same' ? repeatRound(found.node, path.round) : found.node;
  const runs = runsOf(node);
  const grid = readNodes(ladder, node);
  const followed = followPath(kinematics, path, toolToFlange, grid.turn, runs, grid.angle, JUMP);
  // Single precision of the ladder can lie on the other side of a limit than double: then the ladder's angles stand.
  const start = { turn: grid.turn, angle: followed ?? grid.angle };
  const request = { arm: kinematics, path, toolToFlange, runs, settings: search, gridStep };
  let refined: Refined = start;
  if (runs.length > 0 && !fixed) {
    refined =
      settings.turn === 'free'
        ? await smoothFreeTurn(request, start, found.closure === 'same' ? path.round : null, task)
        : await refineConstantTurn(request, start, task);
  }
  const limits = { toolToFlange, distance: STRAY, angle: STRAY_ANGLE };
  const joints = await jointPath(kinematics, path, refined.turn, refined.angle, runs, limits, task);
  const { first, second } = derivativesAtRows(joints, path.count, kinematics.axes);
  const posture: Posture = {
    count: path.count,
    axes: kinematics.axes,
    turn: refined.turn,
    angle: refined.angle,
    angleD1: first,
    angleD2: second,
    between: knotsBetween(joints, kinematics.axes),
    blocked: await nameBlocked(
      kinematics,
      path,
      ladder,
      node,
      start,
      turnsOf(ladder, node, settings.turn),
      toolToFlange,
      task,
    ),
    closure: found.closure,
    closureTurns: closureTurns(kinematics, refined.angle, found.closure === 'turns' ? path.round : null),
  };
  return { posture, joints, gap: found.gap };
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
function turnsOf(ladder: Ladder, node: Int32Array, turn: PostureSettings['turn']): number[] {
  const known = node.find((x) => x >= 0);
  if (turn === 'constant' && known !== undefined) {
    return [Math.floor(known / (roundsOf(ladder).count * ladder.branches))];
  }
  return Array.from({ length: ladder.turns }, (_, t) => t);
}

function closureTurns(arm: Kinematics, angle: Float64Array, round: ToolPath['round']): Int32Array {
  const n = arm.axes;
  return Int32Array.from({ length: n }, (_, j) =>
    round === null ? 0 : Math.round((angle[n * round.to + j] - angle[n * round.from + j]) / (2 * Math.PI)),
  );
}

/** The inverse of the tool's place at the flange, for those who check further moves. */
export const toolToFlangeOf = (head: Head, standoff: number): Rigid => invertRigid(flangeToTool(head, standoff));
