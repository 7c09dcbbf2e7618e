// The limits that the time law obeys, gathered from the stations of a path and its aim onto the rows that are driven.
import type { Aim } from '../model/aim.ts';
import type { Arm } from '../model/arm.ts';
import { demandSpeed, type EnergyDemand } from '../model/energy-demand.ts';
import type { JobSeam, Limits } from '../model/job.ts';
import type { Optics } from '../model/optics.ts';
import type { Path } from '../model/path.ts';
import type { Stand } from '../model/posture.ts';
import type { AxisMotion, MotionLimits } from '../model/timing.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { speedAtPower } from './power-law.ts';

/** Tangent breaks beyond this angle are corners, at which the spot stops; smaller ones are kinks, taken slowly. */
const CORNER = 5 * RAD_PER_DEG;

/** The limits of a job that the time law reads. */
export type DynamicLimits = Pick<
  Limits,
  'headTurn' | 'headTurnAcceleration' | 'spotAcceleration' | 'normalAcceleration' | 'headSpeed' | 'headAcceleration'
>;

/** The arm that drives a seam, and how it stands along it. */
export interface Driver {
  readonly arm: Pick<Arm, 'axes'>;
  readonly stand: Pick<Stand, 'posture' | 'spin'>;
}

/**
 * Limits along the rows, from rest to rest. Where the beam is on, the speed is capped at the one for which the power law
 * asks for P_max, for the process's line energy or for what `demand` wants at each speed; a transmitted share that is unknown or zero caps nothing (its power then comes out as NaN).
 */
export function seamLimits(
  path: Path,
  aim: Aim,
  beam: Uint8Array,
  process: JobSeam['process'],
  optics: Optics,
  limits: DynamicLimits,
  driver: Driver | null,
  demand: EnergyDemand | null = null,
): MotionLimits {
  const { station } = path.rows;
  const corner = onRows(path.corner, 1, station);
  const transmitted = onRows(aim.transmitted, 1, station);
  const byPower = (share: number): number => {
    if (demand === null) return speedAtPower(optics.powerMax, share, process.lineEnergy, optics);
    const absorbed = ((optics.powerMax - optics.powerOffset) * share) / optics.powerSlope;
    const speed = demandSpeed(demand, absorbed, process.speed);
    return speed < process.speed ? speed : Number.POSITIVE_INFINITY;
  };
  return {
    s: path.rows.s,
    speed: process.speed,
    powerSpeed: transmitted.map((share, i) => (beam[i] && share > 0 ? byPower(share) : Number.POSITIVE_INFINITY)),
    curvature: onRows(path.curvature, 1, station),
    stop: Uint8Array.from(corner, (angle) => (angle > CORNER ? 1 : 0)),
    kink: corner.map((angle) => (angle > CORNER ? 0 : angle)),
    headD1: onRows(aim.headD1, 3, station),
    headD2: onRows(aim.headD2, 3, station),
    turnD1: withSpin(onRows(aim.turnD1, 3, station), driver?.stand.spin?.d1),
    turnD2: withSpin(onRows(aim.turnD2, 3, station), driver?.stand.spin?.d2),
    spotAcceleration: limits.spotAcceleration,
    normalAcceleration: limits.normalAcceleration,
    headSpeed: limits.headSpeed,
    headAcceleration: limits.headAcceleration,
    headTurn: limits.headTurn,
    headTurnAcceleration: limits.headTurnAcceleration,
    axes: driver === null ? [] : axesOf(driver),
    startSpeed: 0,
    endSpeed: 0,
  };
}

const withSpin = (turn: Float64Array, spin: Float64Array | undefined): Float64Array =>
  spin === undefined ? turn : turn.map((value, k) => value + spin[k]);

function axesOf({ arm, stand: { posture } }: Driver): AxisMotion[] {
  const { axes: n, count } = posture;
  const { after, share, d1, d2 } = posture.between;
  const of = (values: Float64Array, j: number, length = count) =>
    Float64Array.from({ length }, (_, i) => values[n * i + j]);
  return arm.axes.map(({ speed, acceleration }, j) => ({
    d1: of(posture.angleD1, j),
    d2: of(posture.angleD2, j),
    between: { after, share, d1: of(d1, j, after.length), d2: of(d2, j, after.length) },
    speed,
    acceleration,
  }));
}

/** Values of the rows' stations, width x m. */
export function onRows(values: Float64Array, width: number, station: Uint32Array): Float64Array {
  const out = new Float64Array(width * station.length);
  for (let i = 0; i < station.length; i++) {
    for (let k = 0; k < width; k++) out[width * i + k] = values[width * station[i] + k];
  }
  return out;
}
