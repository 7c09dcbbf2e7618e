// The time law of a seam: the highest speed under all limits, the power that gives the joint the same energy per length at
// whatever speed (or what the law from trials asks for instead), and what of it arrives when the cell's power comes late.
import type { Aim } from '../model/aim.ts';
import { demandAt, type EnergyDemand } from '../model/energy-demand.ts';
import type { JobSeam, Limits } from '../model/job.ts';
import type { Optics } from '../model/optics.ts';
import type { Path, Rows } from '../model/path.ts';
import { PHASES } from '../model/path.ts';
import type { Task } from '../model/task.ts';
import type { CycleTime, Timing } from '../model/timing.ts';
import { arrivingPower } from './arriving-power.ts';
import { judgeArrival } from './best-lead.ts';
import { lawPower } from './power-law.ts';
import { beamOn, rampShare } from './ramp-share.ts';
import { type Driver, type DynamicLimits, onRows, seamLimits } from './seam-limits.ts';
import { solveSpeed } from './solve-speed.ts';

/** The fields of a seam's job that the time law reads. */
export type TimingSettings = Pick<JobSeam, 'process' | 'ramp'>;

/**
 * Times the rows of a path, from rest to rest; `driver` is the arm that drives it, null for none.
 *
 * Power follows the speed by the law of the optics, for the process's line energy or for what `demand` wants at each speed, and is held between the source's bounds wherever the beam is fully on;
 * `lineEnergy` is what then enters the absorber if the power comes at once, `arrivingEnergy` what enters it with the lag and
 * the steps of the cell. In the ramps power is the ramp's share of the full one and may pass below the source's smallest.
 * Where the spot stands still (a corner, or a weld without run-in) the source is off:
 * power 0, and energies per length, which are undefined there, are NaN. With the beam off power and energies are 0. Where
 * the transmitted share is unknown, power and energies are NaN.
 */
export async function timeSeam(
  path: Path,
  aim: Aim,
  settings: TimingSettings,
  optics: Optics,
  limits: DynamicLimits & Pick<Limits, 'lineEnergy'>,
  task?: Task,
  driver: Driver | null = null,
  demand: EnergyDemand | null = null,
): Promise<Timing> {
  const { rows } = path;
  const { process } = settings;
  const beam = beamOn(rows);
  const ramp = rampShare(rows, beam, settings.ramp);
  const motion = seamLimits(path, aim, beam, process, optics, limits, driver, demand);
  const profile = await solveSpeed(motion, task);
  const transmitted = onRows(aim.transmitted, 1, rows.station);
  const wanted = (v: number) => (demand === null ? process.lineEnergy : demandAt(demand, v));
  const power = profile.speed.map((v, i) => (beam[i] ? lawPower(v, transmitted[i], ramp[i], wanted(v), optics) : 0));
  const incidentEnergy = power.map((watt, i) => (beam[i] ? watt / profile.speed[i] : 0));
  const asked = { time: profile.time, power, beam };
  const arriving = arrivingPower(asked, optics);
  const judging = { ...asked, s: rows.s, ramp, band: limits.lineEnergy };
  const { deviation, arrival } = await judgeArrival(judging, optics, task);
  return {
    ...profile,
    count: rows.count,
    beam,
    ramp,
    power,
    lineEnergy: incidentEnergy.map((joule, i) => (beam[i] ? joule * transmitted[i] : 0)),
    incidentEnergy,
    arrivingPower: arriving,
    arrivingEnergy: arriving.map((watt, i) =>
      watt !== 0 || beam[i] ? arrivingEnergy(watt, transmitted[i], profile.speed[i]) : 0,
    ),
    arrivingDeviation: deviation,
    headSpeed: profile.speed.map((v, i) => v * length3(motion.headD1, i)),
    arrival,
    cycle: cycleTime(rows, beam, profile.time),
  };
}

/** Energy per length, J/mm; NaN at a standstill, where it has no meaning, and where the transmitted share is unknown. */
function arrivingEnergy(power: number, transmitted: number, speed: number): number {
  return speed > 0 ? (power / speed) * transmitted : Number.NaN;
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
