// A quick look at one placement: postures on thinned rows and a coarse grid of turns, what is too close there, and what the
// axes can do at process speed. It says where a full plan is worth its time.
import { checkTravel } from '../arm/check-travel.ts';
import { clearances, type Obstacle } from '../arm/envelopes.ts';
import { findPostures } from '../arm/find-postures.ts';
import { type Kinematics, kinematicsOf } from '../arm/kinematics.ts';
import { margins } from '../arm/margins.ts';
import { nameBlocked } from '../arm/name-blocked.ts';
import { toolToFlangeOf } from '../arm/solve-posture.ts';
import { moveToolPath, type ToolPath } from '../arm/tool-path.ts';
import { rigidFromAngles } from '../geometry/rigid.ts';
import type { Carrier } from '../model/job.ts';
import type { Placement, PlacementFigures } from '../model/placement.ts';
import type { Task } from '../model/task.ts';
import {
  blocksOf,
  closeAlong,
  leastMargins,
  rowLengths,
  type SeamFigures,
  sumFigures,
  travelBlocks,
} from './placement-figures.ts';

/** A seam as an estimate needs it, the same for all placements. */
export interface EstimateSeam {
  readonly name: string;
  /** Thinned, in the part frame. */
  readonly path: ToolPath;
  /** 1 at rows of the weld, m, and 1 where nothing but the arm could keep it from process speed, m. */
  readonly weld: Uint8Array;
  readonly held: Uint8Array;
  readonly turn: 'constant' | 'free' | number;
  /** mm/s */
  readonly speed: number;
  /** mm */
  readonly standoff: number;
}

export interface EstimateCell {
  readonly carrier: Carrier;
  /** mm */
  readonly approach: number;
  readonly seams: readonly EstimateSeam[];
  readonly obstacles: readonly Obstacle[];
}

/** Turns about the beam that are tried. */
const TURNS = 24;
/** Rows lie further apart than those of a plan, so that axes may change by more from one to the next, rad. */
const JUMP = 0.8;
/** Searches for each kind of closure: a round that does not close at once is left open. */
const SEARCHES = 2;

export async function estimatePlacement(
  { carrier, approach, seams, obstacles }: EstimateCell,
  placement: Placement,
  task: Task,
): Promise<PlacementFigures> {
  const { arm, head, clearance: limit, turnRate } = carrier;
  const kinematics = kinematicsOf(arm, head.umbilical);
  const rigid = rigidFromAngles(placement.position, placement.rotation);
  const figures: SeamFigures[] = [];
  for (const seam of seams) {
    const path = moveToolPath(seam.path, rigid);
    const toolToFlange = toolToFlangeOf(head, seam.standoff);
    const grid = {
      turn: seam.turn,
      turns: TURNS,
      turnRate,
      speed: seam.speed,
      jump: JUMP,
      searches: SEARCHES,
    };
    const found = await findPostures(kinematics, arm.home, toolToFlange, path, grid, task);
    const { ladder, node, turn, angle, turns } = found;
    const blocked = await nameBlocked(kinematics, path, ladder, node, { turn, angle }, turns, toolToFlange, task);
    const rowLength = rowLengths(path.s);
    const near = { placement: rigid, limit, horizon: limit };
    const room = await clearances(arm, head, angle, obstacles, near, task);
    const close = closeAlong(seam.name, path.s, rowLength, room, limit);
    const travel = { toolToFlange, distance: approach, home: arm.home };
    const ends = node[0] >= 0 && node[path.count - 1] >= 0;
    const moves = ends ? checkTravel(kinematics, path, turn, angle, travel).problems : [];
    figures.push({
      rowLength,
      weld: seam.weld,
      done: Uint8Array.from(node, (x, i) => (x < 0 || close.rows[i] === 1 ? 0 : 1)),
      full: fullSpeedRows(kinematics, path, angle, seam),
      blocks: [...blocksOf(seam.name, rowLength, blocked), ...close.blocks, ...travelBlocks(seam.name, moves)],
      ...leastMargins(await margins(arm, head, angle, task)),
      clearance: Number.NaN,
      cycle: Number.NaN,
    });
  }
  return sumFigures(figures, carrier);
}

/** 1 at rows where the axes can follow at process speed, by differences between the rows, and nothing else forbids it. */
function fullSpeedRows(arm: Kinematics, path: ToolPath, angle: Float64Array, seam: EstimateSeam): Uint8Array {
  const n = arm.axes;
  const { s, breaks } = path;
  const { speed } = seam;
  return Uint8Array.from(s, (_, i) => {
    if (Number.isNaN(angle[n * i]) || seam.held[i] === 0) return 0;
    const before = i > 0 && !Number.isNaN(angle[n * (i - 1)]);
    const after = i + 1 < s.length && !Number.isNaN(angle[n * (i + 1)]);
    for (let j = 0; j < n; j++) {
      const q = angle[n * i + j];
      const into = before ? (q - angle[n * (i - 1) + j]) / (s[i] - s[i - 1]) : 0;
      const out = after ? (angle[n * (i + 1) + j] - q) / (s[i + 1] - s[i]) : 0;
      if (Math.max(Math.abs(into), Math.abs(out)) * speed > arm.speed[j]) return 0;
      if (!before || !after || breaks[i] === 1) continue;
      const bend = (2 * (out - into)) / (s[i + 1] - s[i - 1]);
      if (Math.abs(bend) * speed * speed > arm.acceleration[j]) return 0;
    }
    return 1;
  });
}
