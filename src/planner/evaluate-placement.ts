// How the arm does at one placement: the seams of a plan, which do not move in the part frame, carried by the arm from
// there. All that does not depend on the placement is taken from a plan without an arm.
import type { Obstacle } from '../arm/envelopes.ts';
import { measureRoom } from '../arm/measure-room.ts';
import { standArm } from '../arm/stand-arm.ts';
import { thinToolPath } from '../arm/thin-tool-path.ts';
import { toolPath } from '../arm/tool-path.ts';
import { rigidFromAngles } from '../geometry/rigid.ts';
import { segmentDistance } from '../geometry/segment-distance.ts';
import type { Aim } from '../model/aim.ts';
import type { Carrier, Job, JobSeam } from '../model/job.ts';
import type { Body } from '../model/part.ts';
import { partText } from '../model/part-text.ts';
import { type Path, PHASES } from '../model/path.ts';
import type { Fidelity, Placement, PlacementBlock, PlacementFigures } from '../model/placement.ts';
import type { Room, Stand } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { BOUNDS, type Timing } from '../model/timing.ts';
import { timeSeam } from '../motion/time-seam.ts';
import { type EstimateCell, type EstimateSeam, estimatePlacement } from './estimate-placement.ts';
import {
  blocksOf,
  closeAlong,
  leastMargins,
  offSeam,
  rowLengths,
  type SeamFigures,
  sumFigures,
  travelBlocks,
} from './placement-figures.ts';
import type { Plan } from './plan.ts';

interface CellSeam {
  readonly job: JobSeam;
  readonly path: Path;
  readonly aim: Aim;
  /** Without an arm. */
  readonly timing: Timing;
}

/** All that placements have in common; plain data, to be handed to workers. */
export interface PlacementCell extends Pick<Job, 'approach' | 'optics' | 'limits'> {
  readonly carrier: Carrier;
  readonly seams: readonly CellSeam[];
  /** What stands in the cell, in the part frame. */
  readonly obstacles: readonly { readonly name: string; readonly body: Pick<Body, 'position' | 'triangle'> }[];
}

export type PlacementEvaluator = (placement: Placement, fidelity: Fidelity, task: Task) => Promise<PlacementFigures>;

/** Rows of an estimate lie at most this far apart: mm, or a share of the seam where that is more; and rad. */
const DISTANCE = 8;
const SHARE = 1 / 120;
const ANGLE = 0.15;

/** What the placements of a plan without an arm have in common once `carrier` carries its head. */
export function placementCell({ job, seams, parts, bodies }: Plan, carrier: Carrier): PlacementCell {
  const { approach, optics, limits } = job;
  return {
    carrier,
    approach,
    optics,
    limits,
    seams: seams.map(({ job: seamJob, path, aim, timing }) => ({ job: seamJob, path, aim, timing })),
    obstacles: bodies.map(({ part, body }, index) => {
      const { position, triangle } = parts[part].bodies[body];
      return { name: partText(job, index), body: { position, triangle } };
    }),
  };
}

export function createPlacementEvaluator(cell: PlacementCell): PlacementEvaluator {
  const { carrier, approach } = cell;
  const obstacles = cell.obstacles.map(({ name, body }) => ({ name, distance: segmentDistance(body) }));
  const estimate: EstimateCell = { carrier, approach, seams: cell.seams.map(estimateSeam), obstacles };
  return async (placement, fidelity, task) => {
    const figures =
      fidelity === 'estimated'
        ? await estimatePlacement(estimate, placement, task)
        : await planPlacement(cell, obstacles, placement, task);
    return { ...figures, blocks: [...figures.blocks, ...partsInFloor(cell, placement), ...overload(carrier)] };
  };
}

/** A head too heavy for the arm is so wherever the part stands. */
function overload({ arm, head }: Carrier): PlacementBlock[] {
  const excess = head.mass - arm.payload;
  return excess > 0 ? [{ ...offSeam(''), move: '', why: 'payload', axis: -1, pair: head.id, excess }] : [];
}

/** What a part may stand in the floor by rounding, mm. */
const SUNK = 1e-6;

/** Parts that the placement puts into the floor. */
function partsInFloor({ carrier, obstacles }: PlacementCell, placement: Placement): PlacementBlock[] {
  const { floor } = carrier.arm;
  if (floor === null) return [];
  const { rotation, translation } = rigidFromAngles(placement.position, placement.rotation);
  const [x, y, z] = rotation.subarray(6);
  return obstacles.flatMap(({ name, body: { position } }) => {
    let lowest = Number.POSITIVE_INFINITY;
    for (let k = 0; k < position.length; k += 3) {
      lowest = Math.min(lowest, x * position[k] + y * position[k + 1] + z * position[k + 2]);
    }
    const excess = floor - lowest - translation[2];
    return excess > SUNK ? [{ ...offSeam(''), move: '', why: 'below-floor', axis: -1, pair: name, excess }] : [];
  });
}

function estimateSeam({ job, path, aim, timing }: CellSeam): EstimateSeam {
  const tool = toolPath(path, aim, { position: [0, 0, 0], rotation: [0, 0, 0] });
  const thin = thinToolPath(tool, Math.max(DISTANCE, SHARE * path.length), ANGLE);
  const weld = PHASES.indexOf('weld');
  return {
    name: job.name,
    path: thin.path,
    weld: Uint8Array.from(thin.rows, (row) => (path.rows.phase[row] === weld ? 1 : 0)),
    held: Uint8Array.from(thin.rows, (row) => isFull(timing, row)),
    // A turn that the job fixes is in the frames already.
    turn: typeof job.head.turn === 'number' ? 0 : job.head.turn,
    speed: job.process.speed,
    standoff: job.head.standoff,
  };
}

const isFull = (timing: Timing, row: number): number => (BOUNDS[timing.bound[row]] === 'process-speed' ? 1 : 0);

/** Each seam as the stages of a plan have it. */
async function planPlacement(
  cell: PlacementCell,
  obstacles: readonly Obstacle[],
  placement: Placement,
  task: Task,
): Promise<PlacementFigures> {
  const { carrier, approach, optics, limits } = cell;
  const figures: SeamFigures[] = [];
  for (const { job, path, aim } of cell.seams) {
    const settings = { carrier, placement, approach, head: job.head, speed: job.process.speed };
    const stand = await standArm(path, aim, settings, task);
    const room = await measureRoom(stand, obstacles, { carrier, placement }, task);
    const driver = { arm: carrier.arm, stand };
    const timing = await timeSeam(path, aim, job, optics, limits, task, driver);
    figures.push(seamFigures(job.name, path, stand, room, timing, carrier.clearance));
  }
  return sumFigures(figures, carrier);
}

function seamFigures(
  seam: string,
  path: Path,
  { posture, margins, travel }: Stand,
  room: Room,
  timing: Timing,
  clearance: number,
): SeamFigures {
  const { s, count } = path.rows;
  const rowLength = rowLengths(s);
  const close = closeAlong(seam, s, rowLength, room.along, clearance);
  const moves = travelBlocks(seam, travel.problems, room.moves, clearance);
  const everywhere = [room.along, ...room.moves.map((move) => move.clearances)].flat();
  return {
    rowLength,
    weld: timing.beam,
    done: close.rows.map((row, i) => (row === 1 || Number.isNaN(posture.turn[i]) ? 0 : 1)),
    full: Uint8Array.from({ length: count }, (_, row) => isFull(timing, row)),
    ...leastMargins(margins),
    clearance: everywhere.length === 0 ? Number.NaN : Math.min(...everywhere.map(({ smallest }) => smallest)),
    cycle: timing.cycle.total,
    blocks: [...blocksOf(seam, rowLength, posture.blocked), ...close.blocks, ...moves],
  };
}
