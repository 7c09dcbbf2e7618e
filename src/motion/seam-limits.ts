// The limits that the time law obeys, gathered from the stations of a path and its aim onto the rows that are driven.
import type { Aim } from '../model/aim.ts';
import { type EnergyDemand, speedAtPower } from '../model/energy-demand.ts';
import type { JobSeam, Limits } from '../model/job.ts';
import type { Optics } from '../model/optics.ts';
import type { Path } from '../model/path.ts';
import type { MotionLimits } from '../model/timing.ts';
import { RAD_PER_DEG } from '../model/units.ts';

/** Tangent breaks beyond this angle are corners, at which the spot stops; smaller ones are kinks, taken slowly. */
const CORNER = 5 * RAD_PER_DEG;

/** The limits of a job that the time law reads. */
export type DynamicLimits = Pick<
  Limits,
  'headTurn' | 'headTurnAcceleration' | 'spotAcceleration' | 'normalAcceleration' | 'headSpeed' | 'headAcceleration'
>;

/**
 * Limits along the rows, from rest to rest. Where the beam is on, the source's power caps the speed at
 * P_max transmitted / E', E' constant or as `demand` asks at that speed; a transmitted share that is unknown or zero caps nothing (its power then comes out as NaN).
 */
export function seamLimits(
  path: Path,
  aim: Aim,
  beam: Uint8Array,
  process: JobSeam['process'],
  optics: Optics,
  limits: DynamicLimits,
  demand: EnergyDemand | null = null,
): MotionLimits {
  const { station } = path.rows;
  const corner = onRows(path.corner, 1, station);
  const transmitted = onRows(aim.transmitted, 1, station);
  const byPower = (watt: number): number => {
    if (demand === null) return watt / process.lineEnergy;
    const speed = speedAtPower(demand, watt, process.speed);
    return speed < process.speed ? speed : Number.POSITIVE_INFINITY;
  };
  return {
    s: path.rows.s,
    speed: process.speed,
    powerSpeed: transmitted.map((share, i) =>
      beam[i] && share > 0 ? byPower(optics.powerMax * share) : Number.POSITIVE_INFINITY,
    ),
    curvature: onRows(path.curvature, 1, station),
    stop: Uint8Array.from(corner, (angle) => (angle > CORNER ? 1 : 0)),
    kink: corner.map((angle) => (angle > CORNER ? 0 : angle)),
    headD1: onRows(aim.headD1, 3, station),
    headD2: onRows(aim.headD2, 3, station),
    turnD1: onRows(aim.turnD1, 3, station),
    turnD2: onRows(aim.turnD2, 3, station),
    spotAcceleration: limits.spotAcceleration,
    normalAcceleration: limits.normalAcceleration,
    headSpeed: limits.headSpeed,
    headAcceleration: limits.headAcceleration,
    headTurn: limits.headTurn,
    headTurnAcceleration: limits.headTurnAcceleration,
    startSpeed: 0,
    endSpeed: 0,
  };
}

/** Values of the rows' stations, width x m. */
export function onRows(values: Float64Array, width: number, station: Uint32Array): Float64Array {
  const out = new Float64Array(width * station.length);
  for (let i = 0; i < station.length; i++) {
    for (let k = 0; k < width; k++) out[width * i + k] = values[width * station[i] + k];
  }
  return out;
}
