import { describe, expect, it } from 'vitest';
import { PHASES } from '../../src/model/path.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { circlePath, LIMITS, linePath, OPTICS, plainAim, SEAM } from './plain-seam.ts';

const WELD = PHASES.indexOf('weld');

describe('timeSeam', () => {
  it('starts and ends at rest with the beam off and welds at process speed', async () => {
    const path = circlePath();
    const timing = await timeSeam(path, plainAim(path), SEAM, OPTICS, LIMITS);
    const last = timing.count - 1;
    expect([timing.speed[0], timing.speed[last]]).toEqual([0, 0]);
    expect([timing.beam[0], timing.beam[last]]).toEqual([0, 0]);
    for (let i = 0; i < timing.count; i++) if (timing.beam[i]) expect(timing.speed[i]).toBe(50);
  });

  it('gives the joint the wanted line energy outside ramps, from power, transmitted and speed', async () => {
    const path = circlePath();
    const aim = plainAim(path);
    // The layer thickens along the way, so that power must follow it.
    for (let i = 0; i < path.count; i++) aim.transmitted[i] = 0.7 + 0.2 * Math.cos((2 * Math.PI * i) / path.count);
    const timing = await timeSeam(path, aim, SEAM, OPTICS, LIMITS);
    let rows = 0;
    for (let i = 0; i < timing.count; i++) {
      if (timing.ramp[i] < 1) continue;
      rows++;
      const fromColumns = (timing.power[i] * aim.transmitted[path.rows.station[i]]) / timing.speed[i];
      expect(Math.abs(fromColumns / 0.35 - 1)).toBeLessThan(1e-3);
      expect(timing.lineEnergy[i]).toBeCloseTo(fromColumns, 12);
      expect(timing.incidentEnergy[i]).toBeCloseTo(timing.power[i] / timing.speed[i], 12);
    }
    expect(rows).toBeGreaterThan(380);
  });

  it('ramps up at the start of the weld and down at the end of the overlap', async () => {
    const path = circlePath();
    const { ramp, power } = await timeSeam(path, plainAim(path), SEAM, OPTICS, LIMITS);
    const at = (s: number) => ramp[Array.from(path.rows.s).findIndex((x) => Math.abs(x - s) < 1e-9)];
    expect([at(-0.5), at(0), at(1.5), at(3)]).toEqual([0, 0, 0.5, 1]);
    expect([at(205), at(206.5), at(208), at(208.5)]).toEqual([1, 0.5, 0, 0]);
    const full = (0.35 * 50) / 0.9;
    expect(Math.max(...power)).toBeCloseTo(full, 9);
  });

  it('slows down where the source has no more power to give', async () => {
    const path = circlePath();
    const aim = plainAim(path);
    aim.transmitted.fill(0.2, 100, 140);
    const timing = await timeSeam(path, aim, SEAM, OPTICS, LIMITS);
    const row = path.rows.station.indexOf(120);
    expect(timing.speed[row]).toBeCloseTo((60 * 0.2) / 0.35, 9);
    expect(timing.power[row]).toBeCloseTo(60, 9);
    expect(timing.lineEnergy[row]).toBeCloseTo(0.35, 9);
    expect(Math.max(...timing.power)).toBeLessThanOrEqual(60 * (1 + 1e-12));
  });

  it('cannot go below the least power: the line energy comes out larger', async () => {
    const path = circlePath();
    const timing = await timeSeam(path, plainAim(path), SEAM, { ...OPTICS, powerMin: 30 }, LIMITS);
    const row = path.rows.station.indexOf(200);
    expect(timing.power[row]).toBe(30);
    expect(timing.lineEnergy[row]).toBeCloseTo((30 * 0.9) / 50, 12);
  });

  // Source: the affine law P = offset + slope P0 with P0 = E' v / transmitted the proportional power; v_max from P = P_max.
  it('asks for power by the law from trials, and slows down where that asks for more than there is', async () => {
    const path = circlePath();
    const aim = plainAim(path);
    aim.transmitted.fill(0.3, 100, 140);
    path.curvature.fill(4, 250, 270);
    const optics = { ...OPTICS, powerOffset: 4, powerSlope: 0.8 };
    const timing = await timeSeam(path, aim, SEAM, optics, LIMITS);
    const at = (station: number) => path.rows.station.indexOf(station);
    expect(timing.power[at(200)]).toBeCloseTo(4 + (0.8 * 0.35 * 50) / 0.9, 12);
    expect(timing.lineEnergy[at(200)]).toBeCloseTo((timing.power[at(200)] * 0.9) / 50, 12);
    const slow = Math.sqrt(2000 / 4);
    expect(timing.speed[at(260)]).toBeCloseTo(slow, 9);
    expect(timing.power[at(260)]).toBeCloseTo(4 + (0.8 * 0.35 * slow) / 0.9, 9);
    expect(timing.speed[at(120)]).toBeCloseTo(50, 9);
    const weak = await timeSeam(path, aim, SEAM, { ...optics, powerMax: 40 }, LIMITS);
    expect(weak.speed[at(120)]).toBeCloseTo(((40 - 4) * 0.3) / (0.8 * 0.35), 9);
    expect(weak.power[at(120)]).toBeCloseTo(40, 9);
  });

  it('stands still with the source off at a corner', async () => {
    const path = linePath();
    path.corner[120] = Math.PI / 4;
    const timing = await timeSeam(path, plainAim(path), SEAM, OPTICS, LIMITS);
    expect([timing.speed[120], timing.power[120]]).toEqual([0, 0]);
    expect(timing.lineEnergy[120]).toBeNaN();
    expect(timing.lineEnergy[119]).toBeGreaterThan(0);
  });

  it('leaves power unknown where the transmitted share is', async () => {
    const path = circlePath();
    const aim = plainAim(path);
    aim.transmitted[150] = Number.NaN;
    aim.transmitted[160] = 0;
    const timing = await timeSeam(path, aim, SEAM, OPTICS, LIMITS);
    for (const station of [150, 160]) {
      const row = path.rows.station.indexOf(station);
      expect(timing.power[row]).toBeNaN();
      expect(timing.lineEnergy[row]).toBeNaN();
    }
    expect(timing.time.every((t) => Number.isFinite(t))).toBe(true);
  });

  it.each([
    ['a closed seam', circlePath()],
    ['an open seam', linePath()],
  ])('splits the cycle of %s into parts that make up the whole', async (_, path) => {
    const { cycle, time, speed } = await timeSeam(path, plainAim(path), SEAM, OPTICS, LIMITS);
    expect(cycle.runIn + cycle.weld + cycle.overlap + cycle.runOut).toBeCloseTo(cycle.total, 12);
    expect(cycle.total).toBe(time[time.length - 1]);
    expect(cycle.weld).toBeCloseTo(path.length / 50, 9);
    expect(cycle.overlap).toBeCloseTo(path.closed ? 8 / 50 : 0, 9);
    // 10 mm from rest: 50 / 300 s over 4.167 mm, the rest at 50 mm/s; the same behind.
    expect(cycle.runIn).toBeCloseTo(50 / 300 + (10 - 2500 / 600) / 50, 2);
    expect(speed[path.rows.phase.indexOf(WELD)]).toBe(50);
  });

  it('counts how fast the head travels', async () => {
    const path = circlePath();
    const aim = plainAim(path);
    const faster = { ...aim, headD1: aim.headD1.map((v) => 3 * v) };
    const timing = await timeSeam(path, faster, SEAM, OPTICS, LIMITS);
    expect(timing.headSpeed[200]).toBeCloseTo(150, 9);
  });
});
