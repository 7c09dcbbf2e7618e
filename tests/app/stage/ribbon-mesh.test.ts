import { describe, expect, it } from 'vitest';
import { directionArrows, heatRibbon, rowRibbon, rowsOf, seamRibbons } from '../../../src/app/stage/ribbon-mesh.ts';
import { circleSeam } from './a-seam.ts';

const seam = circleSeam({ radius: 20, rows: 120, width: 2 });
const radiusOf = (position: Float32Array, k: number) => Math.hypot(position[3 * k], position[3 * k + 1]);

describe('the ribbon of a seam', () => {
  it('has its width across the seam, the second side towards b = n x t', () => {
    const { position, across } = rowRibbon(seam, 1, 10, 1, 0.1);
    // Counter-clockwise with the normal up, b points to the middle.
    for (let k = 0; k < across.length; k += 2) {
      expect(radiusOf(position, k)).toBeCloseTo(21, 4);
      expect(radiusOf(position, k + 1)).toBeCloseTo(19, 4);
      expect(position[3 * k + 2]).toBeCloseTo(0.1, 6);
      expect([across[k], across[k + 1]]).toEqual([-1, 1]);
    }
  });

  it('closes the round, and lies doubled and narrower where the seam overlaps', () => {
    const [weld, overlap] = seamRibbons(seam);
    const area = (mesh: typeof weld): number => {
      let sum = 0;
      for (let t = 0; t < mesh.index.length; t += 3) {
        const [a, b, c] = [...mesh.index.subarray(t, t + 3)].map((i) => mesh.position.subarray(3 * i, 3 * i + 2));
        sum += ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2;
      }
      return sum;
    };
    // Ring of 20 +- 1 mm; a polygon of 120 corners has sin(3 deg) / 3 deg of its area.
    const chord = Math.sin((2 * Math.PI) / 120) / ((2 * Math.PI) / 120);
    expect(Math.abs(area(weld))).toBeCloseTo(Math.PI * (21 ** 2 - 19 ** 2) * chord, 2);
    expect(Math.abs(area(overlap))).toBeLessThan(Math.abs(area(weld)) / 50);
    expect(overlap.position[2]).toBeGreaterThan(weld.position[2]);
    expect(weld.source[0]).toBe(1);
  });

  it('turns its upper side to the normal', () => {
    const { position, index } = rowRibbon(seam, 1, 3, 1, 0);
    const [a, b, c] = [...index.subarray(0, 3)].map((i) => position.subarray(3 * i, 3 * i + 3));
    expect((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).toBeGreaterThan(0);
  });

  it('knows the rows of each phase', () => {
    expect(rowsOf(seam, 'weld')).toEqual([1, 120]);
    expect(rowsOf(seam, 'overlap')).toEqual([121, 123]);
    expect(rowsOf({ ...seam, phase: new Uint8Array(seam.count) }, 'weld')).toBeNull();
  });

  it('draws arrows that point the way the seam is driven', () => {
    const arrows = directionArrows(seam, 20);
    expect(arrows.length / 9).toBe(6);
    for (let k = 0; k < arrows.length; k += 9) {
      const turn = arrows[k + 3] * arrows[k + 1] - arrows[k + 4] * arrows[k];
      expect(turn).toBeGreaterThan(0);
    }
  });
});

describe('the ribbon of heat', () => {
  const ribbon = {
    stations: 3,
    across: 2,
    closed: true,
    offset: Float64Array.of(-1, 1),
    s: Float64Array.of(0, 5, 10),
    stationOfRow: Uint32Array.of(0, 1, 2),
    position: new Float32Array(18),
    quantities: [],
  };

  it('goes round where closed and leaves out cells with an unknown corner', () => {
    expect(heatRibbon(ribbon, new Float64Array(6)).index).toHaveLength(3 * 6);
    expect(heatRibbon({ ...ribbon, closed: false }, new Float64Array(6)).index).toHaveLength(2 * 6);
    const values = Float64Array.of(1, 1, 1, Number.NaN, 1, 1);
    expect([...new Set(heatRibbon(ribbon, values).index)].sort()).toEqual([0, 1, 4, 5]);
  });
});
