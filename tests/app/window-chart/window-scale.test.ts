import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { roundTicks, valuesAt, windowBorders, windowScale } from '../../../src/app/window-chart/window-scale.ts';
import type { ProcessWindow } from '../../../src/model/process-window.ts';

const nowhere = Number.NaN;
const window: ProcessWindow = {
  speeds: Float64Array.of(10, 20, 40, 80, 160),
  energies: Float64Array.of(0.05, 0.2, 0.8),
  widths: new Float64Array(15),
  onset: Float64Array.of(0.2, 0.19, 0.18, 0.17, 0.16),
  melts: Float64Array.of(0.5, nowhere, nowhere, nowhere, nowhere),
  spoils: Float64Array.of(0.6, 0.5, 0.4, 0.35, 0.3),
  loses: null,
  most: Float64Array.of(9, 4.5, 2.2, 1.1, 0.55),
  least: new Float64Array(5).fill(nowhere),
  transmitted: 0.94,
  plan: {
    speed: 50,
    lineEnergy: 0.35,
    incident: 0.37,
    width: 1.6,
    wanted: 2,
    peak: 350,
    hottest: 450,
    overMelting: 0,
    underSpoiling: 0,
    underPower: 0,
  },
};
const scale = windowScale(window, 300, 200);

describe('the process window', () => {
  it('gives back the values of a place, to three digits, seed 61', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 10, max: 160, noNaN: true }),
        fc.double({ min: 0.05, max: 0.8, noNaN: true }),
        (v, e) => {
          const { speed, energy } = valuesAt(scale, scale.x(v), scale.y(e));
          expect(Math.abs(speed / v - 1)).toBeLessThan(0.006);
          expect(Math.abs(energy / e - 1)).toBeLessThan(0.006);
        },
      ),
      { seed: 61 },
    );
  });

  it('stays inside the map where the pointer leaves it', () => {
    expect(valuesAt(scale, -500, -500)).toEqual({ speed: 10, energy: 0.8 });
    expect(valuesAt(scale, 5000, 5000)).toEqual({ speed: 160, energy: 0.05 });
  });

  it('spaces equal ratios equally', () => {
    expect(scale.x(40) - scale.x(20)).toBeCloseTo(scale.x(160) - scale.x(80), 9);
  });

  it('names borders that are known, where they leave the plot', () => {
    const borders = windowBorders(window, scale);
    expect(borders.map(({ kind }) => kind)).toEqual(['spoils', 'melts', 'onset', 'most']);
    expect(borders[0].end).toBeCloseTo(scale.y(0.3), 9);
    expect(borders.find(({ kind }) => kind === 'melts')?.name).toBe('melts 2.0 mm');
  });

  it('ticks at 1, 2 and 5', () => {
    expect(roundTicks([10, 160])).toEqual([10, 20, 50, 100]);
    expect(roundTicks([0.05, 0.8])).toEqual([0.05, 0.1, 0.2, 0.5]);
  });
});
