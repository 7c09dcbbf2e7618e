// The constant lead that mends most of a late power.
import { describe, expect, it } from 'vitest';
import type { Optics } from '../../src/model/optics.ts';
import { arrivingDeviation, followingOf } from '../../src/motion/arriving-power.ts';
import { judgeArrival } from '../../src/motion/best-lead.ts';
import { drivenPower, type Stretch } from './driven-power.ts';
import { OPTICS } from './plain-seam.ts';

const withDelay = (powerLag: number, powerUpdate = 0, powerLead = 0): Optics => ({
  ...OPTICS,
  powerLag,
  powerUpdate,
  powerLead,
});

const dips = (acceleration: number): Stretch[] => [
  { from: 50, to: 50, lasts: 0.2 },
  { from: 50, to: 20, acceleration },
  { from: 20, to: 20, lasts: 0.1 },
  { from: 20, to: 45, acceleration },
  { from: 45, to: 45, lasts: 0.1 },
  { from: 45, to: 30, acceleration },
  { from: 30, to: 50, acceleration },
  { from: 50, to: 50, lasts: 0.2 },
];

describe('judgeArrival', () => {
  // Source: a lead of the same size undoes a pure delay.
  it.each([0.0123, 0.03, 0.25])('mends a pure delay of %d s in full', async (lag) => {
    const rows = drivenPower(dips(300), 0.001);
    const { arrival } = await judgeArrival(rows, withDelay(lag));
    expect(arrival.lead).toBe(lag);
    expect(arrival.outside).toBeGreaterThan(1);
    expect(arrival.outsideAtLead).toBe(0);
    expect(Math.abs(arrival.worstAtLead)).toBeLessThan(1e-9);
  });

  it('leaves nothing to mend to a cell that leads by its lag', async () => {
    const { arrival, deviation } = await judgeArrival(drivenPower(dips(300), 0.001), withDelay(0.03, 0, 0.03));
    expect(arrival).toEqual({ lead: 0.03, outside: 0, outsideAtLead: 0, worst: 0, worstAtLead: 0 });
    expect(Math.max(...deviation.filter((off) => !Number.isNaN(off)))).toBe(0);
  });

  it.each([
    ['gentle', 200, 0.03, 0.008],
    ['hard', 2000, 0.03, 0.012],
    ['hard and slow to update', 2000, 0.02, 0.06],
  ])(
    'with steps finds no worse a lead than a search of every tenth of a millisecond: %s',
    async (_, a, lag, update) => {
      const rows = drivenPower(dips(a), 0.0005);
      const { arrival } = await judgeArrival(rows, withDelay(lag, update));
      // Brute force over all leads, held against the rows that are judged with each of them: 0.2 s of even speed at either
      // end are longer than any delay, so these are rows of even speed, and their deviation is 0.
      const end = rows.time[rows.time.length - 1];
      const judged = Uint8Array.from(rows.time, (t) => (t >= lag + update - 1e-9 && t <= end - update + 1e-9 ? 1 : 0));
      const off = new Float64Array(judged.length);
      const cost = (lead: number) => {
        arrivingDeviation(rows, followingOf(withDelay(lag, update, lead)), judged, off);
        let [outside, worst] = [0, 0];
        off.forEach((value, i) => {
          if (Number.isNaN(value)) return;
          worst = Math.max(worst, Math.abs(value));
          if (Math.abs(value) > rows.band) outside += (rows.s[i + 1] - rows.s[i - 1]) / 2;
        });
        return { outside, worst };
      };
      let least = cost(0);
      expect(least.outside).toBeCloseTo(arrival.outside, 6);
      for (let k = 1; k <= Math.round((lag + update) * 1e4); k++) {
        const { outside, worst } = cost(k * 1e-4);
        if (outside < least.outside - 1e-9 || (outside < least.outside + 1e-9 && worst < least.worst)) {
          least = { outside, worst };
        }
      }
      expect(arrival.outsideAtLead).toBeCloseTo(least.outside, 6);
      expect(Math.abs(arrival.worstAtLead)).toBeCloseTo(least.worst, 6);
      expect(arrival.outsideAtLead).toBeLessThan(arrival.outside);
    },
  );

  it('takes the mean delay where every lead is as good: at an even speed', async () => {
    const { arrival } = await judgeArrival(drivenPower([{ from: 50, to: 50, lasts: 2 }], 0.01), withDelay(0.03, 0.008));
    expect(arrival).toMatchObject({ lead: 0.034, outside: 0 });
  });

  it('judges nothing on a weld shorter than the delay', async () => {
    const rows = drivenPower([{ from: 50, to: 50, lasts: 0.02 }], 0.001);
    const { arrival, deviation } = await judgeArrival(rows, withDelay(0.03));
    expect(deviation.every((off) => Number.isNaN(off))).toBe(true);
    expect(arrival).toEqual({ lead: 0.03, outside: 0, outsideAtLead: 0, worst: 0, worstAtLead: 0 });
  });
});
