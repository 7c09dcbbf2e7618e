// The seam as moves for a controller that owns its time law: kept rows, few speed levels, blend radii, beam events.
import { tan } from '../geometry/elementary.ts';
import { rotate } from '../geometry/quaternion.ts';
import { angleBetween, cross, distance, scale, subtract } from '../geometry/vector.ts';
import type { Optics } from '../model/optics.ts';
import { PHASES } from '../model/path.ts';
import { BOUNDS } from '../model/timing.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import type { Plan, SeamPlan } from '../planner/plan.ts';
import { type Arc, arcThrough } from './arc.ts';
import { rowFrames } from './row-frames.ts';
import { type Move, thinRows } from './thin-rows.ts';

/** Tolerances of the program against the waypoints. */
export const PROGRAM_LIMITS = { chord: 0.05, turn: 0.5 * RAD_PER_DEG, energyShare: 0.005 } as const;

/** Ratio of neighbouring speed levels: preferred numbers R20 (ISO 3; the rounded ratio 1.12 from memory). */
export const SPEED_STEP = 1.12;

/** One line of the program: where to go, how, and what the beam does on the way. */
export interface Target {
  readonly seam: SeamPlan;
  /** Row of the seam's waypoints, -1 for approach and depart. */
  readonly row: number;
  readonly phase: string;
  readonly motion: 'free' | 'linear' | 'circular';
  /** Pose: position, mm, then quaternion w x y z; 7 numbers. */
  readonly pose: Float64Array;
  /** Pose to pass on an arc; NaN on a line. */
  readonly via: Float64Array;
  /** mm; NaN for approach and depart. */
  readonly s: number;
  /** Speed level of the tool centre point's way to here, mm/s; NaN where the cell decides. */
  readonly speed: number;
  /** Radius about the target within which the controller may round it off, mm. */
  readonly blend: number;
  /** 1 where the beam is on during the move to here. */
  readonly beam: number;
  readonly event: '' | 'beam-on' | 'beam-off';
  /** Power to ask for at the target: `offset` (W) + `incident` (J/mm) x the real speed; NaN with the beam off. */
  readonly offset: number;
  readonly incident: number;
  /** Angles of the arm's axes, rad; NaN where it has no posture, empty without an arm. */
  readonly joints: Float64Array;
  /** Shoulder, elbow and wrist as in `Stand`; -1 where unknown. */
  readonly branch: number;
}

const NO_POSE = new Float64Array(7).fill(Number.NaN);

/** Whether every waypoint of the seam has a pose, and a posture of the arm that carries it: a program with a hole is none. */
export function hasAllPoses({ path, aim, carried }: SeamPlan): boolean {
  const known = (station: number): boolean =>
    Number.isFinite(aim.tcp[3 * station] + aim.frame[4 * station]) && Number.isFinite(path.s[station]);
  return path.rows.station.every(known) && (carried?.stand.posture.blocked.length ?? 0) === 0;
}

/** Targets of all seams in order; a seam with an unknown pose has none. */
export function programTargets(plan: Plan): Target[] {
  return plan.seams.filter(hasAllPoses).flatMap((seam) => seamTargets(seam, plan.job.optics, plan.job.approach));
}

function seamTargets(seam: SeamPlan, optics: Optics, approach: number): Target[] {
  const { path, timing } = seam;
  const { count, s } = path.rows;
  const position = rowPositions(seam);
  const frame = rowFrames(seam);
  const offset = timing.ramp.map((share) => share * optics.powerOffset);
  const energy = timing.power.map((power, row) => (power - offset[row]) / timing.speed[row]);
  const levels = intervalLevels(seam, offset, energy, optics.powerMax);
  const largest = energy.reduce((most, e, row) => (timing.beam[row] === 1 && e > most ? e : most), 0);
  const moves = thinRows(
    {
      count,
      position,
      frame,
      energy: energy.map((e, row) => (timing.beam[row] === 1 ? e : 0)),
      keep: keptRows(seam, levels),
    },
    { chord: PROGRAM_LIMITS.chord, turn: PROGRAM_LIMITS.turn, energy: PROGRAM_LIMITS.energyShare * largest },
  );
  const pose = (row: number): Float64Array => {
    const out = new Float64Array(7);
    out.set(position.subarray(3 * row, 3 * row + 3), 0);
    out.set(frame.subarray(4 * row, 4 * row + 4), 3);
    return out;
  };
  const beamOn = (interval: number): number => (interval >= 0 && isBeamOn(seam, interval) ? 1 : 0);
  const at = (row: number, move: Move | null, next: Move | null): Target => {
    const before = beamOn(row - 1);
    const after = row < count - 1 ? beamOn(row) : 0;
    return {
      seam,
      row,
      phase: move === null ? PHASES[path.rows.phase[0]] : intervalPhase(seam, row - 1),
      motion: move !== null && move.via >= 0 ? 'circular' : 'linear',
      pose: pose(row),
      via: move !== null && move.via >= 0 ? pose(move.via) : NO_POSE,
      s: s[row],
      speed: move === null ? seam.job.process.speed : levels[row - 1],
      blend: move === null || next === null || isCorner(seam, row) ? 0 : blendRadius(position, move, next),
      beam: before,
      event: before === after ? '' : after === 1 ? 'beam-on' : 'beam-off',
      offset: before === 1 || after === 1 ? offset[row] : Number.NaN,
      incident: before === 1 || after === 1 ? energy[row] : Number.NaN,
      ...postureAt(seam, row),
    };
  };
  const first = at(0, null, null);
  const rest = moves.map((move, k) => at(move.to, move, moves[k + 1] ?? null));
  const last = rest.at(-1) ?? first;
  return [
    { ...retreat(first, 'approach', 'free', approach), joints: endOfMove(seam, 'approach') },
    first,
    ...rest,
    { ...retreat(last, 'depart', 'linear', approach), joints: endOfMove(seam, 'retract') },
  ];
}

/** Joints and branch at a row. */
function postureAt({ carried }: SeamPlan, row: number): Pick<Target, 'joints' | 'branch'> {
  if (carried === null) return { joints: new Float64Array(0), branch: -1 };
  const { posture, branch } = carried.stand;
  return { joints: posture.angle.slice(posture.axes * row, posture.axes * (row + 1)), branch: branch[row] };
}

/** Joints at the far end of a straight move, which keeps the branch of its row; NaN where the arm does not get there. */
function endOfMove({ carried }: SeamPlan, name: 'approach' | 'retract'): Float64Array {
  if (carried === null) return new Float64Array(0);
  const { posture, travel } = carried.stand;
  const angle = travel.moves.find((move) => move.name === name)?.angle;
  if (angle === undefined || travel.problems.some((problem) => problem.move === name)) {
    return new Float64Array(posture.axes).fill(Number.NaN);
  }
  return name === 'approach' ? angle.slice(0, posture.axes) : angle.slice(-posture.axes);
}

/** Tool centre points row by row, 3 x rows. */
function rowPositions({ path, aim }: SeamPlan): Float64Array {
  const { count, station } = path.rows;
  const out = new Float64Array(3 * count);
  for (let row = 0; row < count; row++) out.set(aim.tcp.subarray(3 * station[row], 3 * station[row] + 3), 3 * row);
  return out;
}

/** Whether the beam is on from a row to the next. */
function isBeamOn({ timing }: SeamPlan, row: number): boolean {
  return timing.beam[row] === 1 && timing.beam[row + 1] === 1;
}

/** Phase from a row to the next: that of the row, but the run-out begins with the way to its first row. */
function intervalPhase({ path }: SeamPlan, row: number): string {
  const next = PHASES[path.rows.phase[row + 1]];
  return next === 'run-out' ? next : PHASES[path.rows.phase[row]];
}

function isCorner({ path, timing }: SeamPlan, row: number): boolean {
  return path.corner[path.rows.station[row]] > 0 || timing.speed[row] === 0;
}

/**
 * Speed level from each row to the next, mm/s: the process speed divided by the smallest power of the step that keeps it
 * at or below what the plan drives there. Rows that only accelerate or brake are no reason to go slower, since the
 * controller does that by itself; the source's power is.
 */
function intervalLevels(
  { path, timing, job }: SeamPlan,
  offset: Float64Array,
  energy: Float64Array,
  powerMax: number,
): Float64Array {
  const { count } = path.rows;
  const { speed } = job.process;
  const level = new Float64Array(count);
  for (let row = 0; row < count; row++) {
    const bound = BOUNDS[timing.bound[row]];
    const speedingUp = bound === 'spot-acceleration' || bound === 'corner' || timing.speed[row] === 0;
    const power = timing.beam[row] === 1 ? (powerMax - offset[row]) / energy[row] : Number.POSITIVE_INFINITY;
    const most = Math.min(speedingUp ? speed : timing.speed[row], Number.isNaN(power) ? speed : power);
    level[row] = speed;
    while (level[row] > most * (1 + 1e-9) && level[row] > speed * 1e-3) level[row] /= SPEED_STEP;
  }
  for (let row = 0; row < count - 1; row++) level[row] = Math.min(level[row], level[row + 1]);
  return level;
}

/** 1 where the beam, the phase or the speed level changes and at corners, rows. */
function keptRows(seam: SeamPlan, levels: Float64Array): Uint8Array {
  const keep = new Uint8Array(seam.path.rows.count);
  for (let row = 1; row < keep.length - 1; row++) {
    const changes =
      isBeamOn(seam, row) !== isBeamOn(seam, row - 1) ||
      intervalPhase(seam, row) !== intervalPhase(seam, row - 1) ||
      levels[row] !== levels[row - 1] ||
      isCorner(seam, row);
    keep[row] = changes ? 1 : 0;
  }
  return keep;
}

/**
 * Largest radius, mm, at which a fillet between two moves leaves their meeting point by no more than the chord tolerance,
 * and no more than half of either move: a fillet that starts r before a turn of angle a leaves it by r tan(a / 4).
 */
function blendRadius(position: Float64Array, before: Move, after: Move): number {
  const directions = new Float64Array(6);
  directionAt(position, before, before.to, directions, 0);
  directionAt(position, after, after.from, directions, 3);
  const turn = tan(angleBetween(directions, 0, directions, 3) / 4);
  const shorter = Math.min(
    distance(position, 3 * before.from, position, 3 * before.to),
    distance(position, 3 * after.from, position, 3 * after.to),
  );
  const radius = Math.min(shorter / 2, turn > 0 ? PROGRAM_LIMITS.chord / turn : Number.POSITIVE_INFINITY);
  return Math.floor(radius * 1000) / 1000;
}

/** Direction of travel of a move at one of its ends (any length), to out[k..k+2]. */
function directionAt(position: Float64Array, move: Move, row: number, out: Float64Array, k: number): void {
  const arc = move.via < 0 ? null : arcThrough(position, 3 * move.from, 3 * move.via, 3 * move.to);
  if (arc === null) subtract(position, 3 * move.to, position, 3 * move.from, out, k);
  else tangentOf(arc, position, row, out, k);
}

function tangentOf(arc: Arc, position: Float64Array, row: number, out: Float64Array, k: number): void {
  const radius = new Float64Array(3);
  subtract(position, 3 * row, arc.centre, 0, radius, 0);
  cross(arc.w, 0, radius, 0, out, k);
}

/** The target moved back from the part along the tool's z axis. */
function retreat(target: Target, phase: 'approach' | 'depart', motion: 'free' | 'linear', distance: number): Target {
  const pose = Float64Array.from(target.pose);
  const back = Float64Array.of(0, 0, 1);
  rotate(pose, 3, back, 0, back, 0);
  scale(back, 0, -distance);
  for (let k = 0; k < 3; k++) pose[k] += back[k];
  const speed = motion === 'free' ? Number.NaN : target.speed;
  const none = {
    row: -1,
    via: NO_POSE,
    s: Number.NaN,
    blend: 0,
    beam: 0,
    event: '',
    offset: Number.NaN,
    incident: Number.NaN,
  } as const;
  return { ...target, ...none, seam: target.seam, phase, motion, pose, speed };
}
