// What the time law had to give up: speed, power, line energy, and a run-in that is too short to reach the process speed.
import type { Finding } from '../model/finding.ts';
import type { Job, JobSeam } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { Stand } from '../model/posture.ts';
import type { Bound, Timing } from '../model/timing.ts';
import { BOUNDS } from '../model/timing.ts';
import { S_PER_MS } from '../model/units.ts';
import type { Along } from './ask.ts';
import { ask, createFinding } from './ask.ts';
import { busiestAxis } from './axis-use.ts';
import { THRESHOLDS } from './severity.ts';
import { isOver } from './tolerance.ts';

/** What holds the speed, in words, and what eases it. */
export const HELD_BY: Record<Bound, { readonly words: string; readonly remedy: string }> = {
  'process-speed': { words: 'the process speed', remedy: 'raise process.speed_mm_s' },
  'spot-acceleration': {
    words: "the spot's acceleration",
    remedy: 'raise spot_acceleration_mm_s2 if the cell can, or lower the process speed',
  },
  'normal-acceleration': {
    words: "the spot's acceleration across the bend",
    remedy: 'widen the bend, or raise normal_acceleration_mm_s2 if the cell can',
  },
  'head-speed': {
    words: "the head's speed",
    remedy: 'shorten the standoff, take a fixed beam axis there, or raise head_speed_mm_s if the cell can',
  },
  'head-acceleration': {
    words: "the head's acceleration",
    remedy: 'shorten the standoff, widen the bend, or raise head_acceleration_mm_s2 if the cell can',
  },
  'head-turn': {
    words: "the head's turning speed",
    remedy: 'take a fixed beam axis there, widen the bend, or raise head_turn_deg_s if the cell can',
  },
  'head-turn-acceleration': {
    words: "the head's turning acceleration",
    remedy: 'take a fixed beam axis there, smooth the bend, or raise head_turn_deg_s2 if the cell can',
  },
  'source-power': {
    words: "the source's largest power",
    remedy: 'take a stronger source, thin the layer there, or lower the line energy',
  },
  corner: { words: 'a corner, where the spot stops with the source off', remedy: 'round the corner of the rib' },
  'axis-speed': {
    words: 'the speed of an axis',
    remedy: 'stand the part elsewhere, away from singular postures, or lower the process speed',
  },
  'axis-acceleration': {
    words: 'the acceleration of an axis',
    remedy: 'stand the part elsewhere, away from singular postures, or lower the process speed',
  },
};

/** What holds the speed at a row, in words; an axis by its name. */
function heldBy(timing: Timing, job: Job, stand: Stand | null, row: number): string {
  const bound = BOUNDS[timing.bound[row]];
  const { words } = HELD_BY[bound];
  if (stand === null || job.carrier === null || !bound.startsWith('axis-')) return words;
  const { arm } = job.carrier;
  const { name } = arm.axes[busiestAxis(arm, stand.posture, timing, row)];
  return words.replace('an axis', `axis ${name}`);
}

/** Findings about the rows with the beam on; `stand`: that of the arm, null without one. */
export function checkMotion(path: Path, timing: Timing, jobSeam: JobSeam, job: Job, stand: Stand | null): Finding[] {
  const along: Along = { seam: jobSeam.name, s: path.rows.s, period: 0 };
  const start = findRunIn(timing, jobSeam.process.speed);
  return [
    ...runInFindings(along, timing, start, jobSeam),
    ...dipFindings(along, timing, start, jobSeam.process.speed, (row) => heldBy(timing, job, stand, row)),
    ...rampFindings(along, timing, jobSeam),
    ...powerFindings(along, timing, job),
    // A hold changes the line energy on purpose.
    ...(jobSeam.process.hold === 'line-energy'
      ? lineEnergyFindings(along, timing, jobSeam.process.lineEnergy, job)
      : []),
    ...arrivalFindings(along, timing, job),
  ];
}

/** First row with the beam on, and the row up to which the weld is still speeding up for want of run-in. */
interface RunIn {
  readonly first: number;
  readonly reached: number;
}

function isSlow(timing: Timing, i: number, speed: number): boolean {
  return timing.speed[i] < speed * (1 - THRESHOLDS.dip);
}

/** The run-in is too short if the spot has not stopped speeding up since it started when the weld begins. */
function findRunIn(timing: Timing, speed: number): RunIn {
  const first = timing.beam.indexOf(1);
  const speedingUp = (i: number) => isSlow(timing, i, speed) && timing.acceleration[i] > 0;
  let reached = 0;
  while (reached < first && speedingUp(reached)) reached++;
  if (reached < first) return { first, reached: first };
  while (timing.beam[reached] && speedingUp(reached)) reached++;
  return { first, reached };
}

function runInFindings(along: Along, timing: Timing, start: RunIn, jobSeam: JobSeam): Finding[] {
  const { first, reached } = start;
  if (first < 0 || reached === first) return [];
  const { seam, s } = along;
  const { speed } = jobSeam.process;
  const [from, to] = [s[first], s[reached]];
  const value = timing.speed[first];
  const longer = Math.ceil(jobSeam.runIn + to - from);
  return [
    createFinding('run-in-short', {
      seam,
      from,
      to,
      at: from,
      value,
      limit: speed,
      unit: 'mm/s',
      sentence: `The weld begins at ${value.toFixed(1)} mm/s and reaches ${timing.speed[reached].toFixed(1)} mm/s after ${(to - from).toFixed(1)} mm (process speed ${speed.toFixed(1)} mm/s)`,
      remedy: `set run_in_mm to at least ${longer} (now ${jobSeam.runIn})`,
    }),
  ];
}

/** What the spot's acceleration holds down is mostly the way to or from what really holds it: that has the first word. */
function dipFindings(
  along: Along,
  timing: Timing,
  start: RunIn,
  speed: number,
  words: (row: number) => string,
): Finding[] {
  return ask(along, {
    code: 'speed-dip',
    out: (i) => timing.beam[i] === 1 && i >= start.reached && isSlow(timing, i, speed),
    value: (i) => timing.speed[i],
    badness: (i) => (BOUNDS[timing.bound[i]] === 'spot-acceleration' ? -speed : 0) - timing.speed[i],
    limit: speed,
    unit: 'mm/s',
    sentence: (v, place, i) =>
      `Speed falls to ${v.toFixed(1)} mm/s ${place}, held by ${words(i)} (process speed ${speed.toFixed(1)} mm/s)`,
    remedy: (i) => HELD_BY[BOUNDS[timing.bound[i]]].remedy,
  });
}

/** Ramps so long that no row is outside them: the wanted line energy is reached nowhere. */
function rampFindings(along: Along, timing: Timing, jobSeam: JobSeam): Finding[] {
  const first = timing.beam.indexOf(1);
  const last = timing.beam.lastIndexOf(1);
  if (first < 0 || timing.ramp.includes(1)) return [];
  const most = 100 * timing.ramp.reduce((a, b) => Math.max(a, b), 0);
  return [
    createFinding('ramp-long', {
      seam: along.seam,
      from: along.s[first],
      to: along.s[last],
      at: (along.s[first] + along.s[last]) / 2,
      value: most,
      limit: 100,
      unit: '%',
      sentence: `Ramps of ${jobSeam.ramp.toFixed(1)} mm meet: the power reaches ${most.toFixed(1)} % of what the line energy needs, at most`,
      remedy: `set ramp_mm to at most ${(Math.floor(5 * (along.s[last] - along.s[first])) / 10).toFixed(1)} (now ${jobSeam.ramp})`,
    }),
  ];
}

/** Rows on which the source should give its full share: beam on, no ramp, not at a standstill. */
function isFull(timing: Timing, i: number): boolean {
  return timing.beam[i] === 1 && timing.ramp[i] === 1 && timing.speed[i] > 0;
}

function powerFindings(along: Along, timing: Timing, job: Job): Finding[] {
  const bound = (limit: number, name: string, at: (power: number) => boolean) =>
    ask(along, {
      code: 'power-at-bound',
      out: (i) => isFull(timing, i) && at(timing.power[i]),
      value: (i) => timing.power[i],
      limit,
      unit: 'W',
      sentence: (_, place) => `The source gives its ${name} power of ${limit.toFixed(1)} W ${place}`,
    });
  const { powerMin, powerMax } = job.optics;
  return [
    ...bound(powerMax, 'largest', (power) => power >= powerMax * (1 - 1e-6)),
    ...bound(powerMin, 'least', (power) => powerMin > 0 && power <= powerMin * (1 + 1e-6)),
  ];
}

function lineEnergyFindings(along: Along, timing: Timing, wanted: number, job: Job): Finding[] {
  const limit = THRESHOLDS.lineEnergy * 100;
  const { powerOffset, powerSlope, powerMin } = job.optics;
  // What the power law asks for: slope E' + offset transmitted / v; E' itself where the law is proportional, or gives nothing.
  const asked = (i: number) =>
    timing.power[i] === 0 ? wanted : powerSlope * wanted + (powerOffset * timing.lineEnergy[i]) / timing.power[i];
  const percent = (i: number) => (timing.lineEnergy[i] / asked(i) - 1) * 100;
  return ask(along, {
    code: 'line-energy-off',
    out: (i) => isFull(timing, i) && isOver(Math.abs(percent(i)), limit, 0),
    value: percent,
    badness: (i) => Math.abs(percent(i)),
    limit,
    unit: '%',
    sentence: (off, place, i) => {
      const why = timing.power[i] <= powerMin * (1 + 1e-6) ? ': the source goes no lower' : '';
      return `Line energy ${Math.abs(off).toFixed(1)} % ${off > 0 ? 'above' : 'below'} the wanted ${asked(i).toFixed(3)} J/mm ${place}${why}`;
    },
  });
}

/** Where the cell's delay takes the line energy out of the band, and the lead that mends most of it. */
function arrivalFindings(along: Along, timing: Timing, job: Job): Finding[] {
  const { arrival, arrivingDeviation: deviation } = timing;
  const { powerLag, powerLead, powerUpdate } = job.optics;
  const limit = job.limits.lineEnergy * 100;
  const percent = (i: number) => deviation[i] * 100;
  const late = delayText(powerLag - powerLead, powerUpdate);
  const left = `${arrival.outsideAtLead.toFixed(1)} of ${arrival.outside.toFixed(1)} mm stay outside the band, the worst ${Math.abs(arrival.worstAtLead * 100).toFixed(1)} % off`;
  const lead = `set power_lead_ms to ${inMs(arrival.lead)} in the cell and in the optics (now ${inMs(powerLead)}): ${left}`;
  const gains = arrival.lead !== powerLead && arrival.outsideAtLead < arrival.outside;
  return ask(along, {
    code: 'power-late',
    out: (i) => isOver(Math.abs(percent(i)), limit, 0),
    value: percent,
    badness: (i) => Math.abs(percent(i)),
    limit,
    unit: '%',
    sentence: (off, place) =>
      `Up to ${Math.abs(off).toFixed(1)} % ${off > 0 ? 'more' : 'less'} line energy arrives than is asked for ${place} (band ${limit.toFixed(1)} %): the power comes ${late}`,
    ...(gains ? { remedy: () => lead } : {}),
  });
}

/** "30.0 ms late", with steps "between 30.0 and 38.0 ms late"; early where the lead is longer than the lag. */
function delayText(shortest: number, update: number): string {
  const side = (seconds: number) => (seconds < 0 ? `${inMs(-seconds)} ms early` : `${inMs(seconds)} ms late`);
  if (update === 0) return side(shortest);
  const from = shortest < 0 ? side(shortest) : inMs(shortest);
  return `between ${from} and ${side(shortest + update)}`;
}

function inMs(seconds: number): string {
  return (seconds / S_PER_MS).toFixed(1);
}
