// The heat stage on whole seams: energy, agreement of rows that were not computed with those that are, passes that meet.
import { describe, expect, test } from 'vitest';
import { movedPath } from './moved-path.ts';
import { edgeRatio } from '../../src/heat/edge-ratio.ts';
import { heatSource } from '../../src/heat/heat-source.ts';
import { approachFinder, ribbonGrid } from '../../src/heat/ribbon.ts';
import { createRun, passIn, windowOf } from '../../src/heat/row-passes.ts';
import { steadyPass } from '../../src/heat/steady-pass.ts';
import { temperatureOf } from '../../src/heat/temperature.ts';
import { Cancelled } from '../../src/model/input-error.ts';
import { circlePath, linePath, plainAim } from '../motion/plain-seam.ts';
import { hairpin, heatOf, SETTINGS } from './heat-case.ts';
import { LIMITS, medium } from './known-media.ts';

const near = (value: number, expected: number, tolerance: number) =>
  expect(Math.abs(value - expected), `${value} against ${expected}`).toBeLessThan(tolerance);

describe.each(['gaussian', 'top-hat'] as const)('%s', (profile) => {
  test.each(['line', 'circle 200 mm long', 'circle 40 mm long'])(
    'energy on the ribbon of a %s is the delivered one to 0.5 percent',
    async (name) => {
      const path = name === 'line' ? linePath() : circlePath(name.includes('200') ? 200 : 40);
      const { heat, timing, aim } = await heatOf(path, { settings: { profile } });
      let joules = 0;
      for (let row = 1; row < path.rows.count; row++) {
        const [p, q] = [timing.power[row - 1], timing.power[row]];
        if (timing.beam[row] && timing.beam[row - 1])
          joules += 0.45 * (p + q) * (timing.time[row] - timing.time[row - 1]);
      }
      expect(aim.delivered[0]).toBe(0.9);
      near(heat.delivered / joules, 1, 1e-9);
      near(heat.onRibbon / heat.delivered, 1, 0.005);
    },
  );

  test('far from its ends a straight seam is a steady pass', async () => {
    const { path, heat } = await heatOf(linePath(), { settings: { profile } });
    const row = path.rows.s.findIndex((s) => s >= 60);
    const spot = { profile, along: 0.9, across: 0.9, speed: 50, power: 0.35 * 50 };
    const pass = steadyPass(spot, medium(10), 207, 1.8, 41, { left: 2, right: 2 });
    near(heat.rows.peak[row], 23 + Math.max(...pass.peak), 0.3);
    near(heat.rows.hottest[row], 23 + Math.max(...pass.hottest), 0.6);
    near(heat.rows.aboveOnset[row], Math.max(...pass.above), 0.004);
  });

  test('rows between computed ones agree with those that are computed', async () => {
    const { path, aim, timing, heat } = await heatOf(linePath(), { settings: { profile } });
    const source = heatSource(path, aim, timing, profile);
    const grid = ribbonGrid(path, source);
    const run = createRun(source, { ...SETTINGS, profile }, approachFinder(path, aim, source, medium(10), grid), grid);
    const whole = Math.max(...heat.rows.peak.filter(Number.isFinite));
    for (let k = 1; k < source.count; k += 7) {
      const rise = passIn(run, source.station[k], windowOf(run, k, Number.POSITIVE_INFINITY));
      near(heat.rows.peak[source.row[k]], temperatureOf(LIMITS, Math.max(...rise.peak)), 2e-3 * whole);
      near(heat.rows.hottest[source.row[k]], temperatureOf(LIMITS, Math.max(...rise.hottest)), 3e-3 * whole);
    }
  });

  test('a closed seam welds its overlap twice, seconds apart: the second pass is a little hotter, fluences add up', async () => {
    const { path, heat } = await heatOf(circlePath(200), { settings: { profile } });
    const first = path.rows.phase.indexOf(1);
    const again = path.rows.phase.indexOf(2);
    const middle = first + path.count / 2;
    // 10 rows in, the first pass is at full power and so is the second.
    const [a, b] = [heat.rows.peak[first + 8], heat.rows.peak[again + 8]];
    expect(b - a).toBeGreaterThan(5);
    expect(b - a).toBeLessThan(50);
    expect(heat.rows.before[again + 8]).toBeGreaterThan(30);
    near(heat.rows.fluence[first + 8] / heat.rows.fluence[middle], 2, 0.1);
    const at = (path.rows.station[again + 8] * heat.across + 20) | 0;
    near(heat.peak[at], b, 1e-9);
  });
});

describe('the ribbon', () => {
  test('a rigid motion changes no scalar', async () => {
    const plain = await heatOf(hairpin(12, 3));
    const turned = movedPath(plain.path);
    const moved = await heatOf(turned);
    const fields = ['fluence', 'peak', 'hottest', 'aboveOnset'] as const;
    for (const field of fields) {
      const [a, b] = [plain.heat[field], moved.heat[field]];
      const whole = Math.max(...a.filter(Number.isFinite));
      a.forEach((value, k) => {
        if (Number.isNaN(value)) expect(b[k]).toBeNaN();
        else near(b[k], value, 1e-7 * whole);
      });
    }
    expect(moved.heat.neighbours.length).toBe(plain.heat.neighbours.length);
  });

  // Source: fluence of a round Gaussian led round a circle, E' (4 R / w^2) exp(-2 (R - r)^2 / w^2) I0e(4 R r / w^2) (derived; I0e by
  // its asymptotic series, Abramowitz & Stegun 1964, 9.7.1, from memory); R 10 mm, +-1 mm: 1.1056.
  test('energy at one edge of a bend over that at the other, from the fluence, and from the bend alone', async () => {
    const { heat, path, aim } = await heatOf(circlePath(20 * Math.PI), {
      aim: { borderLeft: nan(126), borderRight: nan(126) },
    });
    const i = Math.round(path.count / 2);
    const ratio = edgeRatio(path, heat, aim.spotAcross, 1.6)[i];
    const series = (x: number) => (1 + 1 / (8 * x) + 9 / (128 * x * x)) / Math.sqrt(2 * Math.PI * x);
    const exact = (y: number) => series((40 * (10 - y)) / 0.81) / series((40 * (10 + y)) / 0.81);
    near(exact(1), 1.1056, 2e-4);
    near(ratio, exact(0.8), 1e-3);
    near(edgeRatio(path, null, aim.spotAcross, 1.6)[i], exact(0.8), 1e-3);
    // An edge where hardly any light falls is not compared by it.
    near(edgeRatio(path, heat, aim.spotAcross, 2)[i], exact(1), 1e-3);
  });

  test('does not depend on its spacing: half the spacing, the same rises', async () => {
    const coarse = await heatOf(hairpin(15, 30, 0.5));
    const fine = await heatOf(hairpin(15, 30, 0.25));
    for (const s of [5, 10, 30, 60]) {
      const row = ({ path }: typeof coarse) =>
        path.rows.s.reduce((best, at, k) => (Math.abs(at - s) < Math.abs(path.rows.s[best] - s) ? k : best), 0);
      near(coarse.heat.rows.peak[row(coarse)], fine.heat.rows.peak[row(fine)], 1);
    }
  });

  test('walls of the joint face: NaN beside it, hotter within', async () => {
    const wide = await heatOf(linePath(), { aim: { borderLeft: nan(241), borderRight: nan(241) } });
    const narrow = await heatOf(linePath(), { aim: { borderLeft: full(241, 0.6), borderRight: full(241, 0.6) } });
    const at = 120 * 41;
    expect(narrow.heat.peak[at]).toBeNaN();
    expect(narrow.heat.peak[at + 20]).toBeGreaterThan(wide.heat.peak[at + 20]);
    expect(narrow.heat.rows.width[120]).toBeCloseTo(1.2, 9);
  });
});

describe('passes that come near each other', () => {
  test('two legs 1.2 mm apart: named, with the time between them, and hotter; 12 mm apart: not', async () => {
    const close = await heatOf(hairpin(20, 1.2));
    const far = await heatOf(hairpin(20, 12));
    expect(far.heat.neighbours).toEqual([]);
    expect(close.heat.neighbours.length).toBeGreaterThan(20);
    const { s } = close.path.rows;
    const first = close.heat.neighbours.find(({ row, delay }) => delay > 0 && Math.abs(s[row] - 5) < 0.3);
    if (first === undefined) throw new Error('no neighbour at 5 mm');
    near(first.distance, 1.2, 0.02);
    near(first.delay, close.timing.time[first.other] - close.timing.time[first.row], 1e-12);
    expect(first.peak).toBeGreaterThan(60);
    // By time, not by summed fluence: slower, the heat of the first leg has gone when the second comes.
    const slow = await heatOf(hairpin(20, 1.2), { process: { speed: 2 } });
    const gain = (heat: typeof close) => {
      const row = heat.path.rows.s.findIndex((at) => at > heat.path.length - 5);
      return heat.heat.rows.before[row] - 23;
    };
    expect(gain(close)).toBeGreaterThan(gain(slow));
    near(slow.heat.rows.fluence[10] / close.heat.rows.fluence[10], 1, 0.02);
  });
});

describe('speed and power along the seam', () => {
  test('at constant line energy a slower stretch is colder', async () => {
    const { path, heat, timing } = await heatOf(linePath(), { process: { speed: 50 } });
    const slow = await heatOf(linePath(), { process: { speed: 12.5 } });
    const row = path.rows.s.findIndex((s) => s >= 60);
    expect(timing.speed[row]).toBeCloseTo(50, 6);
    expect(slow.heat.rows.peak[row]).toBeLessThan(heat.rows.peak[row] - 80);
  });

  test('a dark stretch stays cold, an unknown one unknown, the rest as it was', async () => {
    const plain = await heatOf(linePath());
    const dark = plainAim(plain.path).delivered.map((share, i) => (i > 100 && i < 120 ? 0 : share));
    const unknown = dark.map((share, i) => (i > 180 && i < 184 ? Number.NaN : share));
    const { heat } = await heatOf(linePath(), { aim: { delivered: unknown } });
    expect(heat.rows.peak[110]).toBeLessThan(100);
    expect(heat.rows.width[110]).toBe(0);
    expect(heat.rows.peak[182]).toBeNaN();
    expect(heat.delivered).toBeNaN();
    near(heat.rows.peak[60], plain.heat.rows.peak[60], 0.5);
    near(heat.rows.peak[150], plain.heat.rows.peak[150], 2);
  });

  test('can be cancelled, and pauses often', async () => {
    const task = {
      check: () => undefined,
      pause: async (_: string, fraction: number) => {
        expect(fraction >= 0 && fraction <= 1).toBe(true);
        if (++count > 40) throw new Cancelled();
      },
      signal: new AbortController().signal,
    };
    let count = 0;
    await expect(heatOf(circlePath(100), { task })).rejects.toThrow(Cancelled);
  });
});

function full(count: number, value: number): Float64Array {
  return new Float64Array(count).fill(value);
}

function nan(count: number): Float64Array {
  return full(count, Number.NaN);
}
