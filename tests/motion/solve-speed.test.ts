import { describe, expect, it } from 'vitest';
import { Cancelled } from '../../src/model/input-error.ts';
import type { Task } from '../../src/model/task.ts';
import { BOUNDS } from '../../src/model/timing.ts';
import { solveSpeed } from '../../src/motion/solve-speed.ts';
import { planar, straightLimits } from './motion-limits.ts';

const names = (bound: Uint8Array) => Array.from(bound, (b) => BOUNDS[b]);

describe('solveSpeed', () => {
  it('holds the process speed exactly wherever nothing else binds', async () => {
    const { speed, bound } = await solveSpeed(straightLimits(201, 100));
    // 50^2 / (2 x 300) = 4.17 mm of speeding up at either end.
    const inside = speed.slice(9, -9);
    expect(inside.every((v) => v === 50)).toBe(true);
    expect(
      names(bound)
        .slice(9, -9)
        .every((name) => name === 'process-speed'),
    ).toBe(true);
    expect(
      names(bound)
        .slice(0, 8)
        .every((name) => name === 'spot-acceleration'),
    ).toBe(true);
  });

  it('gives acceleration and time that agree with the speeds', async () => {
    const limits = straightLimits(300, 40, { curvature: new Float64Array(300).fill(1) });
    const { speed, acceleration, time } = await solveSpeed(limits);
    for (let i = 0; i + 1 < 300; i++) {
      const dt = time[i + 1] - time[i];
      const h = limits.s[i + 1] - limits.s[i];
      expect(speed[i] + acceleration[i] * dt).toBeCloseTo(speed[i + 1], 9);
      expect(speed[i] * dt + 0.5 * acceleration[i] * dt * dt).toBeCloseTo(h, 9);
    }
    expect(acceleration[299]).toBe(0);
  });

  it.each([
    ['source-power', 30, (n: number) => ({ powerSpeed: new Float64Array(n).fill(30) })],
    ['normal-acceleration', Math.sqrt(2000 / 2), (n: number) => ({ curvature: new Float64Array(n).fill(2) })],
    ['head-speed', 20, () => ({ headSpeed: 20 })],
    [
      'head-turn',
      Math.PI / 0.1,
      (n: number) => ({
        turnD1: planar(
          new Float64Array(n),
          () => 0,
          () => 0.1,
        ),
      }),
    ],
    [
      'head-acceleration',
      Math.sqrt(8000 / 4),
      (n: number) => ({
        headD2: planar(
          new Float64Array(n),
          () => 0,
          () => 4,
        ),
      }),
    ],
    [
      'head-turn-acceleration',
      Math.sqrt(17 / 0.01),
      (n: number) => ({
        turnD2: planar(
          new Float64Array(n),
          () => 0,
          () => 0.01,
        ),
      }),
    ],
  ])('is held by %s', async (name, expected, changes) => {
    const { speed, bound } = await solveSpeed(straightLimits(201, 100, changes(201)));
    expect(speed[100]).toBeCloseTo(expected, 6);
    expect(names(bound)[100]).toBe(name);
  });

  it('stops at a corner and goes on', async () => {
    const limits = straightLimits(201, 100);
    limits.stop[100] = 1;
    const { speed, bound, time } = await solveSpeed(limits);
    expect(speed[100]).toBe(0);
    expect(names(bound)[100]).toBe('corner');
    expect(names(bound)[98]).toBe('spot-acceleration');
    // Twice a trapezoid of 50 mm: L / v + v / a each.
    expect(time[200]).toBeCloseTo(2 * (50 / 50 + 50 / 300), 3);
  });

  it('crosses from corner to corner over a single interval, half speeding up and half slowing down', async () => {
    const limits = straightLimits(11, 10);
    limits.stop[5] = 1;
    limits.stop[6] = 1;
    const { time } = await solveSpeed(limits);
    expect(time[6] - time[5]).toBeCloseTo(2 * Math.sqrt(1 / 300), 12);
    expect(Number.isFinite(time[10])).toBe(true);
  });

  it('takes a kink as if it were rounded over half of both neighbours', async () => {
    const limits = straightLimits(201, 100, { normalAcceleration: 100 });
    limits.kink[100] = 0.05;
    const { speed, bound } = await solveSpeed(limits);
    expect(speed[100]).toBeCloseTo(Math.sqrt((100 * 0.5) / 0.05), 9);
    expect(names(bound)[100]).toBe('corner');
  });

  it('lowers a start speed that the way ahead does not allow', async () => {
    const limits = straightLimits(101, 10, { startSpeed: 50, endSpeed: 0, spotAcceleration: 100 });
    const { speed } = await solveSpeed(limits);
    // Stopping within 10 mm at 100 mm/s2: sqrt(2 x 100 x 10).
    expect(speed[0]).toBeCloseTo(Math.sqrt(2000), 6);
    expect(speed[100]).toBe(0);
  });

  it('starts and ends at speed where it can', async () => {
    const { speed } = await solveSpeed(straightLimits(101, 100, { startSpeed: 50, endSpeed: 20 }));
    expect(speed[0]).toBe(50);
    expect(speed[100]).toBe(20);
  });

  it('asks nothing of rows whose limits are unknown, and keeps to those beside them', async () => {
    const limits = straightLimits(201, 100, { headSpeed: 20 });
    limits.headD1.fill(Number.NaN, 300, 360);
    limits.powerSpeed[20] = Number.NaN;
    limits.curvature[30] = Number.NaN;
    const { speed, time } = await solveSpeed(limits);
    expect(speed.every((v) => Number.isFinite(v))).toBe(true);
    expect(Number.isFinite(time[200])).toBe(true);
    expect(speed[110]).toBeGreaterThan(20);
    expect(speed[99]).toBeCloseTo(20, 9);
    expect(speed[120]).toBeCloseTo(20, 9);
  });

  it('drives on where the head stands still for a moment', async () => {
    // A head that runs forward, stands still at 50 mm and runs back: H' = cos, H'' = -sin with a period of 200 mm.
    const k = Math.PI / 100;
    const base = straightLimits(401, 100);
    const headD1 = planar(
      base.s,
      (s) => Math.cos(k * s),
      () => 0,
    );
    const headD2 = planar(
      base.s,
      (s) => -k * Math.sin(k * s),
      () => 0,
    );
    const { speed, time } = await solveSpeed({ ...base, headD1, headD2, headAcceleration: 40 });
    expect(Number.isFinite(time[400])).toBe(true);
    // At the standstill only H'' x counts: v = sqrt(A / k).
    expect(speed[200]).toBeLessThanOrEqual(Math.sqrt(40 / k) * 1.001);
    expect(speed[200]).toBeGreaterThan(0.95 * Math.sqrt(40 / k));
  });

  it.each([2, 3, 20, 20_000])('solves %i rows', async (count) => {
    const { speed, time } = await solveSpeed(straightLimits(count, 100));
    expect(speed.every((v) => v >= 0 && v <= 50)).toBe(true);
    expect(Number.isFinite(time[count - 1])).toBe(true);
  });

  it('mirrors when the path is reversed', async () => {
    const k = 0.05;
    const base = straightLimits(301, 120);
    const headD1 = planar(
      base.s,
      (s) => 1 + 3 * Math.sin(k * s),
      (s) => Math.cos(2 * k * s),
    );
    const headD2 = planar(
      base.s,
      (s) => 3 * k * Math.cos(k * s),
      (s) => -2 * k * Math.sin(2 * k * s),
    );
    const forward = await solveSpeed({ ...base, headD1, headD2, headSpeed: 120, headAcceleration: 500 });
    const back = (values: Float64Array, sign: number) =>
      Float64Array.from(values, (_, j) => {
        const i = 300 - Math.floor(j / 3);
        return sign * values[3 * i + (j % 3)];
      });
    const reversed = await solveSpeed({
      ...base,
      headD1: back(headD1, -1),
      headD2: back(headD2, 1),
      headSpeed: 120,
      headAcceleration: 500,
    });
    // The discrete problem is the same read backwards, but the two passes are not: a thousandth covers their difference.
    expect(reversed.time[300] / forward.time[300]).toBeCloseTo(1, 3);
    for (let i = 0; i <= 300; i++) expect(Math.abs(forward.speed[i] - reversed.speed[300 - i])).toBeLessThan(0.5);
  });

  it('gives up when it is cancelled, and comes to the same result with a task as without', async () => {
    const limits = straightLimits(3000, 100, { headSpeed: 20 });
    const signal = { aborted: false, addEventListener: () => {}, removeEventListener: () => {} };
    const task = (pauses: number): Task => {
      let left = pauses;
      const pause = async () => {
        if (left-- <= 0) throw new Cancelled();
      };
      return { signal, check: () => {}, pause };
    };
    await expect(solveSpeed(limits, task(3))).rejects.toBeInstanceOf(Cancelled);
    expect(await solveSpeed(limits, task(1e6))).toEqual(await solveSpeed(limits));
  });
});
