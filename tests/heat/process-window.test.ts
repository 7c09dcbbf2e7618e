// The process window, what a wanted width or peak asks for, holds, preheat and calibration: each answer is put back into the
// pass that it must give.
import { describe, expect, test } from 'vitest';
import { calibrate } from '../../src/heat/calibrate.ts';
import { energyDemand, wantedLineEnergy } from '../../src/heat/energy-demand.ts';
import { preheatGain, preheatRise } from '../../src/heat/preheat.ts';
import { energyForWidth, processWindow, unitPass, type WindowCase, widthAt } from '../../src/heat/process-window.ts';
import { steadyHistory, steadyPass } from '../../src/heat/steady-pass.ts';
import { lostShare } from '../../src/heat/decomposition.ts';
import { demandAt, demandSpeed } from '../../src/model/energy-demand.ts';
import { InputError } from '../../src/model/input-error.ts';
import { linePath } from '../motion/plain-seam.ts';
import { heatOf } from './heat-case.ts';
import { LIMITS, medium } from './known-media.ts';

const of: WindowCase = {
  profile: 'gaussian',
  along: 0.9,
  across: 0.9,
  medium: medium(10),
  limits: LIMITS,
  kinetics: { rate: 1.9e18, energy: 2.95e5 },
  transmitted: 0.9,
  powerMin: 2,
  powerMax: 60,
  width: 1.2,
  left: 2,
  right: 2,
  preheat: () => 0,
};

/** A pass at a speed and line energy, computed for itself. */
const passAt = (speed: number, lineEnergy: number) =>
  steadyPass(
    { profile: 'gaussian', along: 0.9, across: 0.9, speed, power: speed * lineEnergy },
    of.medium,
    1e9,
    1.8,
    41,
    {
      left: 2,
      right: 2,
    },
  );

describe('window', () => {
  test('on its borders the joint melts as wide as wanted, and the hottest point is at its limit', async () => {
    const window = await processWindow(of, 40, 0.35);
    for (const k of [0, 8, 16]) {
      const v = window.speeds[k];
      expect(widthAt(passAt(v, 1), LIMITS, window.melts[k])).toBeCloseTo(1.2, 6);
      expect(23 + Math.max(...passAt(v, window.spoils[k]).hottest)).toBeCloseTo(526, 6);
      expect(23 + Math.max(...passAt(v, window.onset[k]).peak)).toBeCloseTo(230, 6);
      expect(window.most[k] * v).toBeCloseTo(54, 9);
    }
    expect(window.plan.incident).toBeCloseTo(0.35 / 0.9, 12);
  });

  test('where kinetics lose a hundredth, they do', async () => {
    const window = await processWindow(of, 40, 0.35);
    if (window.loses === null || of.kinetics === null) throw new Error('no kinetics');
    const spot = { profile: 'gaussian', along: 0.9, across: 0.9, speed: 40, power: 40 * window.loses[8] } as const;
    const pass = passAt(40, 1);
    const times = Float64Array.from({ length: 1500 }, (_, k) => (-1 + k * 0.01) * (0.9 / 40));
    const history = steadyHistory(spot, of.medium, pass.hottestDepth, times).map((rise) => 23 + rise);
    expect(lostShare(of.kinetics, times, history)).toBeGreaterThan(0.008);
    expect(lostShare(of.kinetics, times, history)).toBeLessThan(0.012);
  });

  test('latent heat moves every border up', async () => {
    const warm = { ...of, limits: { ...LIMITS, melting: 200, latent: 30 } };
    const [a, b] = [await processWindow(of, 40, 0.35), await processWindow(warm, 40, 0.35)];
    for (const k of b.melts.keys()) expect(b.melts[k]).toBeGreaterThan(a.melts[k]);
    for (const k of b.spoils.keys()) expect(b.spoils[k]).toBeGreaterThan(a.spoils[k]);
  });
});

describe('aim and hold', () => {
  const wanted = { speed: 40, lineEnergy: 0.35, hold: 'line-energy', aim: null } as const;

  test('finds the line energy for a width and for a peak', () => {
    const width = wantedLineEnergy(of, { ...wanted, aim: { kind: 'width', value: 1 } }, 'rim');
    expect(widthAt(passAt(40, 1), LIMITS, width)).toBeCloseTo(1, 6);
    const peak = wantedLineEnergy(of, { ...wanted, aim: { kind: 'peak', value: 300 } }, 'rim');
    expect(23 + Math.max(...passAt(40, peak).peak)).toBeCloseTo(300, 6);
  });

  test('what cannot be is an error: a seam wider than the joint face, a peak below the start', () => {
    const error = (aim: { kind: 'width' | 'peak'; value: number }) => {
      try {
        wantedLineEnergy(of, { ...wanted, aim }, 'rim');
      } catch (caught) {
        return caught instanceof InputError ? caught.code : String(caught);
      }
      return 'none';
    };
    expect(error({ kind: 'width', value: 9 })).toBe('aim-unreachable');
    expect(error({ kind: 'peak', value: 10 })).toBe('aim-unreachable');
  });

  test('a held peak stays as the speed falls to a quarter, a held line energy does not', async () => {
    const hold = await energyDemand(of, { ...wanted, speed: 50, hold: 'peak-temperature' }, 'rim');
    const fast = await heatOf(linePath(), { process: { speed: 50 } });
    const row = fast.path.rows.s.findIndex((s) => s >= 60);
    const slow = await heatOf(linePath(), { process: { speed: 12.5 }, demand: hold });
    const plain = await heatOf(linePath(), { process: { speed: 12.5 } });
    expect(Math.abs(slow.heat.rows.peak[row] - fast.heat.rows.peak[row])).toBeLessThan(2);
    expect(plain.heat.rows.peak[row]).toBeLessThan(fast.heat.rows.peak[row] - 80);
  });

  test('a held width stays', async () => {
    const hold = await energyDemand(of, { ...wanted, hold: 'weld-width' }, 'rim');
    const width = widthAt(passAt(40, 1), LIMITS, 0.35);
    for (const v of [5, 10, 20]) expect(widthAt(passAt(v, 1), LIMITS, demandAt(hold, v))).toBeCloseTo(width, 2);
  });

  test('power bounds the speed of a demand', async () => {
    const hold = await energyDemand(of, { ...wanted, hold: 'peak-temperature' }, 'rim');
    const v = demandSpeed(hold, 6, 40);
    expect(demandAt(hold, v) * v).toBeCloseTo(6, 6);
    expect(demandSpeed(hold, 1e6, 40)).toBe(40);
  });
});

describe('preheat (common practice, no source)', () => {
  const preheat = { power: 20, radius: 4, absorption: 5, layerAbsorption: 0.05 };

  test('warms in proportion to its power, less at higher speed', () => {
    const rise = preheatRise(preheat, of.medium, 40);
    expect(rise).toBeGreaterThan(5);
    expect(preheatRise({ ...preheat, power: 40 }, of.medium, 40)).toBeCloseTo(2 * rise, 9);
    expect(preheatRise(preheat, of.medium, 80)).toBeLessThan(rise);
  });

  test('power falls by the rise over what was needed, and the speed at the same power grows', async () => {
    const warm = { ...of, preheat: (speed: number) => preheatRise(preheat, of.medium, speed) };
    const gain = await preheatGain(warm, 40, 0.35);
    expect(gain.energyRatio).toBeCloseTo(1 - gain.rise / (230 - 23), 2);
    expect(gain.speedWith).toBeGreaterThan(gain.speedWithout);
  });
});

describe('calibration', () => {
  const trial = (k: number, share: number, speed: number, width: number) => {
    const truth = { ...of, medium: medium(k) };
    return { speed, width, power: (energyForWidth(unitPass(truth, speed), LIMITS, width) * speed) / share };
  };

  test('finds absorption and share that made the trials', async () => {
    const trials = [trial(6, 0.75, 50, 1), trial(6, 0.75, 20, 1.2), trial(6, 0.75, 80, 0)];
    const found = await calibrate(of, trials, 'trials');
    expect(found.absorptionFound).toBe(true);
    expect(found.absorption / 6).toBeCloseTo(1, 1);
    expect(found.delivered).toBeCloseTo(0.75, 2);
    expect(found.residual).toBeLessThan(1e-3);
  });

  test('one trial leaves the absorption as it is; scatter shows as the residual', async () => {
    const single = await calibrate(of, [trial(10, 0.8, 50, 1)], 'trials');
    expect(single).toMatchObject({ absorption: 10, residual: 0, absorptionFound: false });
    expect(single.delivered).toBeCloseTo(0.8, 9);
    const noisy = [trial(10, 0.8, 50, 1), trial(10, 0.72, 50, 1)];
    expect((await calibrate(of, noisy, 'trials')).residual).toBeCloseTo(Math.log(0.8 / 0.72) / 2, 6);
  });

  test('absurd trials are errors', async () => {
    await expect(calibrate(of, [], 'trials')).rejects.toThrow(/trial-none/);
    await expect(calibrate(of, [{ power: 0, speed: 10, width: 1 }], 'trials')).rejects.toThrow(/trial-value/);
    await expect(calibrate(of, [{ power: 10, speed: 10, width: 30 }], 'trials')).rejects.toThrow(/trial-width/);
  });
});
