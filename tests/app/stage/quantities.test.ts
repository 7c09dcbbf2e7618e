import { describe, expect, it } from 'vitest';
import { barShare, isExceeded } from '../../../src/app/stage/legend-scale.ts';
import {
  findQuantity,
  isConstant,
  planQuantities,
  quantityNames,
  valueAtRow,
} from '../../../src/app/stage/quantities.ts';
import type { SeamView } from '../../../src/output/view/plan-view.ts';
import { circleSeam } from './a-seam.ts';

const plain = circleSeam({ radius: 20, rows: 4, width: 2 });
const column = (name: string, values: readonly number[], unit = 'mm') => ({
  name,
  title: name,
  description: '',
  unit,
  decimals: 5,
  values: Float64Array.from(values),
});
const seam: SeamView = {
  ...plain,
  columns: [column('layer_mm', [99, 2, 3.2, 2.5, 2, 2, 2, 2, 99]), column('gap_mm', new Array(9).fill(Number.NaN))],
  tracks: [
    {
      title: 'Layer',
      unit: 'mm',
      decimals: 2,
      series: [],
      limits: [{ name: 'limit', value: 3 }],
      codes: [],
    },
  ],
};

describe('quantities along a seam', () => {
  it('offer what is known, and range over rows with the beam on', () => {
    expect(quantityNames(seam).map(({ name }) => name)).toEqual(['layer_mm']);
    const layer = findQuantity(seam, 'layer_mm');
    expect([layer?.low, layer?.high]).toEqual([2, 3.2]);
    expect(layer?.limits).toEqual([{ name: 'limit', kind: 'most', value: 3 }]);
    expect(findQuantity(seam, 'nothing')).toBeNull();
  });

  it('have one scale for all seams of a plan', () => {
    const other = { ...seam, columns: [column('layer_mm', new Array(9).fill(1))] };
    const [a, b] = planQuantities([seam, other], 'layer_mm');
    expect([a?.low, a?.high, b?.low, b?.high]).toEqual([1, 3.2, 1, 3.2]);
  });

  it('read the heat ribbon on the seam itself, at the station of the row', () => {
    const ribbon = {
      stations: 4,
      across: 3,
      closed: true,
      offset: Float64Array.of(-1, 0, 1),
      s: Float64Array.of(0, 1, 2, 3),
      stationOfRow: Uint32Array.of(3, 0, 1, 2, 3, 0, 1, 2, 3),
      position: new Float32Array(36),
      quantities: [
        {
          name: 'ribbon_peak',
          title: 'peak',
          unit: 'Cel',
          decimals: 2,
          values: Float64Array.from({ length: 12 }, (_, k) => k),
        },
      ],
    };
    const warm = { ...seam, ribbon };
    const peak = findQuantity(warm, 'ribbon_peak');
    if (peak === null) throw new Error('no peak');
    expect(valueAtRow(peak, warm, 2)).toBe(4);
    expect(valueAtRow(peak, warm, 0)).toBe(10);
  });

  it('say where a value stands on the bar and whether a limit is exceeded', () => {
    const layer = findQuantity(seam, 'layer_mm');
    if (layer === null) throw new Error('no layer');
    expect(barShare(layer, 2.6)).toBeCloseTo(0.5, 12);
    expect(barShare(layer, 4)).toBeNull();
    expect(isExceeded(layer, 'most', 3)).toBe(true);
    // Less than half of the last shown place is no excess.
    expect(isExceeded(layer, 'most', 3.19999)).toBe(false);
    expect(isExceeded(layer, 'least', 1.9)).toBe(false);
    expect(isExceeded(layer, 'aim', 1)).toBe(false);
    expect(isConstant({ ...layer, low: 2, high: 2.0001 })).toBe(true);
    expect(barShare({ ...layer, low: 2, high: 2.0001 }, 2)).toBeNull();
  });
});
