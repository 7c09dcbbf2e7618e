// The constant lead that mends most of what a late power costs: the cell reads its speed that much ahead. A pure delay
// without steps is mended in full by a lead of its own size; with steps the power is between 0 and one period late, and a
// lead of the lag and half a period leaves half of a period to either side.
import type { Optics } from '../model/optics.ts';
import type { Task } from '../model/task.ts';
import type { PowerArrival } from '../model/timing.ts';
import type { AskedPower } from './arriving-power.ts';
import { arrivingDeviation, followingOf } from './arriving-power.ts';

/** Leads are found to a tenth of a millisecond: so many in a second. */
const STEPS_PER_SECOND = 1e4;

/** Steps of the first round over the whole range, and how much finer each round that follows is. */
const FIRST_ROUND = 64;
const FINER = 8;

/** Deviations, lengths (mm) and times (s) within this of each other count as equal. */
const EQUAL = 1e-9;

/** Rows that may be judged: power asked for, known, in full. */
export interface Judging extends AskedPower {
  /** Arc length of the rows, m, mm. */
  readonly s: Float64Array;
  /** m, 1 outside ramps. */
  readonly ramp: Float64Array;
  /** Share that the arriving line energy may deviate. */
  readonly band: number;
}

/** Length outside the band, mm, and the largest deviation by size, with its sign. */
interface Cost {
  readonly outside: number;
  readonly worst: number;
}

/** What arrives with the lead that the optics record states: deviations as in `Timing`, and what a better lead gains. */
export async function judgeArrival(
  rows: Judging,
  optics: Optics,
  task?: Task,
): Promise<{ deviation: Float64Array; arrival: PowerArrival }> {
  const deviation = new Float64Array(rows.time.length);
  const here = costOf(rows, optics, optics.powerLead, judgedRows(rows, optics, optics.powerLead), deviation);
  const lead = await bestLead(rows, optics, task);
  const there = costOf(rows, optics, lead, judgedRows(rows, optics, lead), new Float64Array(rows.time.length));
  return {
    deviation,
    arrival: {
      lead,
      outside: here.outside,
      outsideAtLead: there.outside,
      worst: here.worst,
      worstAtLead: there.worst,
    },
  };
}

/**
 * Lead between 0 and lag + one period with the least length outside the band; of these the one with the least deviation;
 * of these the one nearest to the mean delay, lag + half a period. All are held against the same rows. Searched in rounds
 * of ever finer steps about the best so far, so a minimum narrower than a step of the first round may be passed over.
 */
async function bestLead(rows: Judging, optics: Optics, task?: Task): Promise<number> {
  const most = Math.round((optics.powerLag + optics.powerUpdate) * STEPS_PER_SECOND);
  if (most === 0) return 0;
  const mean = Math.round((optics.powerLag + optics.powerUpdate / 2) * STEPS_PER_SECOND);
  const judged = judgedRows(rows, optics, 0, most / STEPS_PER_SECOND);
  const scratch = new Float64Array(rows.time.length);
  let best = mean;
  let least = costOf(rows, optics, mean / STEPS_PER_SECOND, judged, scratch);
  const search = async (from: number, to: number, step: number) => {
    for (let lead = Math.max(0, from); lead <= Math.min(most, to); lead += step) {
      const cost = costOf(rows, optics, lead / STEPS_PER_SECOND, judged, scratch);
      if (isLess(cost, Math.abs(lead - mean), least, Math.abs(best - mean))) {
        best = lead;
        least = cost;
      }
      await task?.pause('power lag', lead / most);
    }
  };
  let step = Math.ceil(most / FIRST_ROUND);
  await search(0, most, step);
  while (step > 1) {
    const around = step;
    step = Math.ceil(step / FINER);
    await search(best - around, best + around, step);
  }
  return best / STEPS_PER_SECOND;
}

function isLess(a: Cost, farA: number, b: Cost, farB: number): boolean {
  if (Math.abs(a.outside - b.outside) > EQUAL) return a.outside < b.outside;
  const [worstA, worstB] = [Math.abs(a.worst), Math.abs(b.worst)];
  if (Math.abs(worstA - worstB) > EQUAL) return worstA < worstB;
  return farA < farB;
}

/**
 * 1 for the rows that are judged with every lead from `lead` to `most`: power asked for in full, at the row and at all
 * instants whose power may arrive there. Ramps come late like everything else; where one arrives is no deviation.
 */
function judgedRows({ time, power, ramp }: Judging, optics: Optics, lead: number, most = lead): Uint8Array {
  const from = time[ramp.indexOf(1)];
  const to = time[ramp.lastIndexOf(1)];
  const longest = optics.powerLag - lead + optics.powerUpdate;
  const shortest = optics.powerLag - most;
  return Uint8Array.from(time, (t, i) =>
    ramp[i] === 1 && power[i] > 0 && t - longest >= from - EQUAL && t - shortest <= to + EQUAL ? 1 : 0,
  );
}

/** Writes the deviations with a lead to `out` and sums them up. A row stands for half the way to either neighbour. */
function costOf(rows: Judging, optics: Optics, lead: number, judged: Uint8Array, out: Float64Array): Cost {
  arrivingDeviation(rows, followingOf({ ...optics, powerLead: lead }), judged, out);
  const { s, band } = rows;
  let outside = 0;
  let worst = 0;
  for (let i = 0; i < out.length; i++) {
    if (Number.isNaN(out[i])) continue;
    if (Math.abs(out[i]) > Math.abs(worst)) worst = out[i];
    if (Math.abs(out[i]) > band) outside += (s[Math.min(i + 1, s.length - 1)] - s[Math.max(i - 1, 0)]) / 2;
  }
  return { outside, worst };
}
