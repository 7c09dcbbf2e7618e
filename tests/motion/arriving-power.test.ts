// What arrives late, against closed forms of uniformly accelerated motion v = v0 + a t (any mechanics textbook): a power
// that follows the speed after a delay d deviates by v(t - d) / v(t) - 1, which is -a d / v inside a speed ramp.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Optics } from '../../src/model/optics.ts';
import { arrivingDeviation, arrivingPower } from '../../src/motion/arriving-power.ts';
import { type AskedPower, followingOf } from '../../src/motion/arriving-power.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { drivenPower, rowAt, speedAt, type Stretch } from './driven-power.ts';
import { circlePath, LIMITS, linePath, OPTICS, plainAim, SEAM } from './plain-seam.ts';

const withDelay = (powerLag: number, powerUpdate = 0, powerLead = 0): Optics => ({
  ...OPTICS,
  powerLag,
  powerUpdate,
  powerLead,
});

function deviations(asked: AskedPower, optics: Optics): Float64Array {
  const out = new Float64Array(asked.time.length);
  arrivingDeviation(asked, followingOf(optics), new Uint8Array(out.length).fill(1), out);
  return out;
}

/** 50 mm/s, down to 12.5 and, half a second later, up again at 2000 mm/s2: 18.75 ms either way. */
const DIP: Stretch[] = [
  { from: 50, to: 50, lasts: 0.2 },
  { from: 50, to: 12.5, acceleration: 2000 },
  { from: 12.5, to: 12.5, lasts: 0.5 },
  { from: 12.5, to: 50, acceleration: 2000 },
  { from: 50, to: 50, lasts: 0.2 },
];

describe('power that arrives late', () => {
  // Source: closed form; the delay of 30 ms outlasts the 18.75 ms of braking, so 50 / 12.5 - 1 and 12.5 / 50 - 1. Computed.
  it('is 300 % too much entering a dip from 50 to 12.5 mm/s at 2000 mm/s2, and 75 % too little leaving it, 30 ms late', () => {
    const asked = drivenPower(DIP, 0.00125);
    const off = deviations(asked, withDelay(0.03)).subarray(rowAt(asked, 0.05));
    expect(Math.max(...off)).toBeCloseTo(3, 12);
    expect(Math.min(...off)).toBeCloseTo(-0.75, 12);
    expect(off[rowAt(asked, 0.21875) - rowAt(asked, 0.05)]).toBeCloseTo(3, 12);
    expect(off[rowAt(asked, 0.7375) - rowAt(asked, 0.05)]).toBeCloseTo(-0.75, 12);
  });

  // Source: closed form, -a d / v. Computed.
  it.each([1, -1])('deviates by -a d / v inside a speed ramp, a = %i x 40 mm/s2', (sign) => {
    const [from, to] = sign > 0 ? [20, 60] : [60, 20];
    const asked = drivenPower([{ from, to, acceleration: 40 }], 0.01);
    const off = deviations(asked, withDelay(0.025));
    for (let i = 5; i < off.length; i++) expect(off[i]).toBeCloseTo((-sign * 40 * 0.025) / asked.power[i], 12);
  });

  // Source: a step that comes d late deviates by old / new - 1 for d and by nothing after it.
  it('of a step of the speed arrives as the same step, later', () => {
    const asked = drivenPower(
      [
        { from: 40, to: 40, lasts: 0.1 },
        { from: 40, to: 20, acceleration: 2e9 },
        { from: 20, to: 20, lasts: 0.1 },
      ],
      0.001,
    );
    const off = deviations(asked, withDelay(0.0305));
    const at = (t: number) => off[asked.time.findIndex((x) => Math.abs(x - t) < 1e-6)];
    expect([at(0.05), at(0.099)]).toEqual([0, 0]);
    for (let t = 0.101; t < 0.13; t += 0.001) expect(at(t)).toBeCloseTo(1, 9);
    for (let t = 0.131; t < 0.2; t += 0.001) expect(at(t)).toBeCloseTo(0, 9);
  });

  it('is what is asked for, to the last bit, where lag and lead cancel and nothing is held', () => {
    const asked = drivenPower(DIP, 0.0017);
    for (const optics of [withDelay(0), withDelay(0.037, 0, 0.037)]) {
      expect(arrivingPower(asked, optics)).toEqual(asked.power);
      expect(deviations(asked, optics).every((off) => off === 0)).toBe(true);
    }
  });

  it('counts its steps from the first row', () => {
    const asked = drivenPower([{ from: 10, to: 60, acceleration: 100 }], 0.001);
    const arriving = arrivingPower(asked, withDelay(0.03, 0.008, 0.01));
    // Set at 0, 8, 16 .. ms for 10 ms later, given 30 ms after that: at 45 ms the one of 8 ms, for the speed at 18 ms.
    expect(arriving[rowAt(asked, 0.045)]).toBeCloseTo(10 + 100 * 0.018, 12);
    expect(arriving[rowAt(asked, 0.046)]).toBeCloseTo(10 + 100 * 0.026, 12);
    expect(arriving[rowAt(asked, 0.053)]).toBe(arriving[rowAt(asked, 0.046)]);
    // Before anything that was set has come through there is no light.
    expect(arriving[rowAt(asked, 0.019)]).toBe(0);
  });

  // Source: the delay of a held power runs from the lag to the lag and one period; in a ramp of even acceleration the
  // deviation lies between -a lag / v and -a (lag + period) / v, and reaches both. Computed.
  it('with steps deviates by -a (lag + period) / v at most, inside a speed ramp', () => {
    const asked = drivenPower([{ from: 20, to: 60, acceleration: 40 }], 0.01);
    const off = deviations(asked, withDelay(0.025, 0.008));
    for (let i = 5; i < off.length; i++) expect(off[i]).toBeCloseTo((-40 * 0.033) / asked.power[i], 12);
  });

  it('lies within what any instant of the steps gives, and reaches it (400 instants each, seed 47)', () => {
    const speed = fc.double({ min: 5, max: 60, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(speed, { minLength: 3, maxLength: 6 }),
        fc.double({ min: 0.005, max: 0.06, noNaN: true }),
        fc.double({ min: 0.002, max: 0.012, noNaN: true }),
        fc.double({ min: 0, max: 0.05, noNaN: true }),
        (speeds, lag, update, lead) => {
          const stretches = speeds.flatMap((v, k): Stretch[] => {
            const next = speeds[k + 1] ?? v;
            return [
              { from: v, to: v, lasts: 0.06 },
              ...(next === v ? [] : [{ from: v, to: next, acceleration: 1500 }]),
            ];
          });
          const asked = drivenPower(stretches, 0.004);
          const off = deviations(asked, withDelay(lag, update, lead));
          const { time, power } = asked;
          const end = time[time.length - 1];
          const last = time.length - 1;
          for (let i = 0; i < last; i++) {
            const [oldest, newest] = [time[i] - lag + lead - update, time[i] - lag + lead];
            if (oldest < 0 || newest > end) continue;
            // Brute force: the power read at 400 instants that the last step before this row may have fallen on.
            let most = 0;
            for (let k = 0; k <= 400; k++) {
              const read = Math.min(end, oldest + (k / 400) * update);
              most = Math.max(most, Math.abs(speedAt(stretches, read) / power[i] - 1));
            }
            // Between two instants the speed changes by a update / 400 at most.
            expect(Math.abs(off[i])).toBeGreaterThan(most - 1e-9);
            expect(Math.abs(off[i])).toBeLessThan(most + (1500 * update) / 400 / power[i] + 1e-9);
          }
        },
      ),
      { seed: 47, numRuns: 60 },
    );
  });

  it('is nothing below the threshold', () => {
    const asked = drivenPower([{ from: 20, to: 2, acceleration: 100 }], 0.001);
    const arriving = arrivingPower(asked, { ...withDelay(0), powerThreshold: 8 });
    arriving.forEach((watt, i) => {
      expect(watt).toBe(asked.power[i] < 8 ? 0 : asked.power[i]);
    });
  });
});

describe('timeSeam with a late power', () => {
  it('gives arriving power and energy that hold together, and none of it early', async () => {
    const path = circlePath();
    const aim = plainAim(path);
    const timing = await timeSeam(path, aim, SEAM, withDelay(0.03), LIMITS);
    for (let i = 0; i < timing.count; i++) {
      const share = aim.transmitted[path.rows.station[i]];
      if (timing.speed[i] > 0) {
        expect(timing.arrivingEnergy[i]).toBeCloseTo((timing.arrivingPower[i] / timing.speed[i]) * share, 12);
      }
    }
    // 30 ms at 50 mm/s: the ramp of 3 mm is half way up after 3 mm, and the last of it comes 1.5 mm behind the weld's end.
    const row = (s: number) => path.rows.s.findIndex((at) => Math.abs(at - s) < 1e-9);
    const full = timing.power[row(100)];
    expect(timing.arrivingPower[row(1)]).toBe(0);
    expect(timing.arrivingPower[row(3)]).toBeCloseTo(full / 2, 9);
    expect(timing.arrivingPower[row(4.5)]).toBeCloseTo(full, 9);
    expect(timing.arrivingPower[row(208.5)]).toBeCloseTo(full / 3, 9);
    expect(timing.arrivingEnergy[row(209.5)]).toBeCloseTo(0, 12);
    expect(timing.arrivingEnergy[row(210)]).toBe(0);
  });

  it('judges neither ramps nor what still arrives of them, and finds an even speed within the band', async () => {
    const path = circlePath();
    const timing = await timeSeam(path, plainAim(path), SEAM, withDelay(0.03, 0.008), LIMITS);
    timing.arrivingDeviation.forEach((off, i) => {
      const s = path.rows.s[i];
      // Full power from 3 to 205 mm; the oldest of it is 38 ms, 1.9 mm, late.
      if (s < 4.9 - 1e-9 || s > 205) expect(off).toBeNaN();
      else expect(off).toBeCloseTo(0, 9);
    });
    expect(timing.arrival).toEqual({
      lead: 0.034,
      outside: 0,
      outsideAtLead: 0,
      worst: expect.closeTo(0, 9),
      worstAtLead: expect.closeTo(0, 9),
    });
  });

  it('leaves energy and power as they are asked for where nothing is late', async () => {
    const path = linePath();
    path.corner[120] = Math.PI / 4;
    path.curvature.fill(4, 60, 80);
    const timing = await timeSeam(path, plainAim(path), SEAM, OPTICS, LIMITS);
    expect(timing.arrivingPower).toEqual(timing.power);
    expect(timing.arrivingEnergy).toEqual(timing.lineEnergy);
    expect(timing.arrival).toEqual({ lead: 0, outside: 0, outsideAtLead: 0, worst: 0, worstAtLead: 0 });
  });

  it('leaves unknown what was asked for where the transmitted share is unknown, and judges it nowhere', async () => {
    const path = circlePath();
    const aim = plainAim(path);
    aim.transmitted[200] = Number.NaN;
    const timing = await timeSeam(path, aim, SEAM, withDelay(0.03), LIMITS);
    // 1.5 mm late; the power asked for is unknown from the row before that station to the row behind it.
    const unknown = Array.from(path.rows.s).filter((_, i) => Number.isNaN(timing.arrivingPower[i]));
    expect(unknown).toContain(101.5);
    expect(unknown.every((s) => Math.abs(s - 101.5) <= 0.5)).toBe(true);
    expect(timing.arrival.outside).toBe(0);
  });
});
