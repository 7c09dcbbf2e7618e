// The arm's stage: from the tool's path to joint angles over its rows, or the stretches that the arm cannot do.
import type { Arm } from '../model/arm.ts';
import type { Head } from '../model/head.ts';
import type { Posture } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { invertRigid, type Rigid } from '../geometry/rigid.ts';
import { findPostures, type GridSettings, gridStepOf } from './find-postures.ts';
import { followPath } from './follow-path.ts';
import { derivativesAtRows, type JointPath, jointPath, knotsBetween } from './joint-path.ts';
import { kinematicsOf, type Kinematics } from './kinematics.ts';
import { nameBlocked } from './name-blocked.ts';
import { type Refined, refineConstantTurn, smoothFreeTurn } from './refine-turn.ts';
import { flangeToTool, type ToolPath } from './tool-path.ts';

/** `turn`: 0 where the path's own frames have been turned already. */
export interface PostureSettings extends Omit<GridSettings, 'jump' | 'searches'> {
  /** Distance from head point to tool centre point, mm. */
  readonly standoff: number;
}

export interface PostureResult {
  readonly posture: Posture;
  readonly joints: JointPath;
  /** Share by which the search's cost may lie above the cheapest possible; 0 is proved. */
  readonly gap: number;
}

/** Largest change of an axis from row to row, rad: beyond it a posture jumps. */
const JUMP = 0.5;
/** Searches spent on each kind of closure. */
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
  const grid = { ...settings, jump: JUMP, searches: SEARCHES };
  const found = await findPostures(kinematics, arm.home, toolToFlange, path, grid, task);
  const { ladder, search, node, runs } = found;
  const followed = followPath(kinematics, path, toolToFlange, found.turn, runs, found.angle, JUMP);
  // Single precision of the ladder can lie on the other side of a limit than double: then the ladder's angles stand.
  const start = { turn: found.turn, angle: followed ?? found.angle };
  const request = { arm: kinematics, path, toolToFlange, runs, settings: search, gridStep: gridStepOf(settings.turns) };
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
    blocked: await nameBlocked(kinematics, path, ladder, node, start, found.turns, toolToFlange, task),
    closure: found.closure,
    closureTurns: closureTurns(kinematics, refined.angle, found.closure === 'turns' ? path.round : null),
  };
  return { posture, joints, gap: found.gap };
}

function closureTurns(arm: Kinematics, angle: Float64Array, round: ToolPath['round']): Int32Array {
  const n = arm.axes;
  return Int32Array.from({ length: n }, (_, j) =>
    round === null ? 0 : Math.round((angle[n * round.to + j] - angle[n * round.from + j]) / (2 * Math.PI)),
  );
}

/** The inverse of the tool's place at the flange, for those who check further moves. */
export const toolToFlangeOf = (head: Head, standoff: number): Rigid => invertRigid(flangeToTool(head, standoff));
