// The time law of a seam: the highest speed under all limits, and the power that gives the joint the same energy per
// length at whatever speed. Energy balance of a moving source: E' = P transmitted / v, so P = E' v / transmitted.
import type { Aim } from '../model/aim.ts';
import { demandAt, type EnergyDemand } from '../model/energy-demand.ts';
import type { JobSeam } from '../model/job.ts';
import type { Optics } from '../model/optics.ts';
import type { Path, Rows } from '../model/path.ts';
import { PHASES } from '../model/path.ts';
import type { Task } from '../model/task.ts';
import type { CycleTime, Timing } from '../model/timing.ts';
import { beamOn, rampShare } from './ramp-share.ts';
import { type DynamicLimits, onRows, seamLimits } from './seam-limits.ts';
import { solveSpeed } from './solve-speed.ts';

/** The fields of a seam's job that the time law reads. */
export type TimingSettings = Pick<JobSeam, 'process' | 'ramp'>;

/**
 * Times the rows of a path, from rest to rest.
 *
 * Power follows the speed for the wanted line energy, which is constant or as `demand` asks at each speed, and is held between the source's bounds wherever the beam is fully
 * on; `lineEnergy` is what then really enters the absorber. In the ramps power is the ramp's share of the full one and may
 * pass below the source's smallest. Where the spot stands still (a corner, or a weld without run-in) the source is off:
 * power 0, and energies per length, which are undefined there, are NaN. With the beam off power and energies are 0. Where
 * the transmitted share is unknown, power and energies are NaN.
 */
export async function timeSeam(
  path: Path,
  aim: Aim,
  settings: TimingSettings,
  optics: Optics,
  limits: DynamicLimits,
  task?: Task,
  demand: EnergyDemand | null = null,
): Promise<Timing> {
  const { rows } = path;
  const { process } = settings;
  const beam = beamOn(rows);
  const ramp = rampShare(rows, beam, settings.ramp);
  const motion = seamLimits(path, aim, beam, process, optics, limits, demand);
  const profile = await solveSpeed(motion, task);
  const transmitted = onRows(aim.transmitted, 1, rows.station);
  const wanted = (v: number) => (demand === null ? process.lineEnergy : demandAt(demand, v));
  const power = profile.speed.map((v, i) =>
    beam[i] ? ramp[i] * sourcePower((wanted(v) * v) / transmitted[i], ramp[i], optics) : 0,
  );
  const incidentEnergy = power.map((watt, i) => (beam[i] ? watt / profile.speed[i] : 0));
  return {
    ...profile,
    count: rows.count,
    beam,
    ramp,
    power,
    lineEnergy: incidentEnergy.map((joule, i) => (beam[i] ? joule * transmitted[i] : 0)),
    incidentEnergy,
    headSpeed: profile.speed.map((v, i) => v * length3(motion.headD1, i)),
    cycle: cycleTime(rows, beam, profile.time),
  };
}

/** Full power for the wanted one, W: between the source's bounds outside ramps, 0 at a standstill, NaN where unknown. */
function sourcePower(wanted: number, ramp: number, optics: Optics): number {
  if (wanted === 0) return 0;
  if (!Number.isFinite(wanted)) return Number.NaN;
  return Math.min(optics.powerMax, ramp < 1 ? wanted : Math.max(optics.powerMin, wanted));
}

function length3(v: Float64Array, i: number): number {
  const x = v[3 * i];
  const y = v[3 * i + 1];
  const z = v[3 * i + 2];
  return Math.sqrt(x * x + y * y + z * z);
}

/** Time of each phase: an interval belongs to the row it begins with, and to the run-out if the beam is off at its end. */
function cycleTime(rows: Rows, beam: Uint8Array, time: Float64Array): CycleTime {
  const spent = new Float64Array(PHASES.length);
  for (let i = 0; i + 1 < rows.count; i++) {
    const phase = beam[i] && !beam[i + 1] ? rows.phase[i + 1] : rows.phase[i];
    spent[phase] += time[i + 1] - time[i];
  }
  const [runIn, weld, overlap, runOut] = spent;
  return { runIn, weld, overlap, runOut, total: time[rows.count - 1] - time[0] };
}
