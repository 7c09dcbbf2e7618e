import { describe, expect, it } from 'vitest';
import { limitLabels } from '../../../src/app/strip/limit-labels.ts';
import { columnChoices, stripTracks } from '../../../src/app/strip/strip-tracks.ts';
import { trackAxis } from '../../../src/output/picture/track-axis.ts';
import type { Track } from '../../../src/output/picture/tracks.ts';
import { circleSeam } from '../stage/a-seam.ts';

const bare = circleSeam({ radius: 10, rows: 8, width: 2 });
const column = (name: string, value: number) => ({
  name,
  title: name,
  description: '',
  unit: 'mm',
  decimals: 5,
  values: new Float64Array(bare.count).fill(value),
});
const layer: Track = {
  title: 'Layer',
  unit: 'mm',
  decimals: 2,
  series: [{ name: 'layer', values: Float64Array.of(1.9, 2, 2.1), dashed: false }],
  limits: [{ name: 'limit', value: 3 }],
  allLimits: true,
  codes: ['layer-thick'],
};
const seam = {
  ...bare,
  tracks: [layer],
  columns: [column('weld_width_mm', 1.6), column('gap_mm', Number.NaN), column('layer_mm', 2)],
};

describe('tracks of the strip', () => {
  it('shows chosen columns below the tracks, and passes over what is not known', () => {
    expect(stripTracks(seam, ['weld_width_mm', 'gap_mm', 'no_such']).map(({ title }) => title)).toEqual([
      'Layer',
      'Weld width',
    ]);
  });

  it('holds the weld width against the width that is wanted', () => {
    const [, width] = stripTracks(seam, ['weld_width_mm']);
    expect(width.limits).toEqual([{ name: 'wanted', value: 2 }]);
    expect(width.codes).toContain('seam-narrow');
  });

  it('offers only columns that are known somewhere', () => {
    expect(
      columnChoices(seam)
        .map(({ name }) => name)
        .sort(),
    ).toEqual(['layer_mm', 'weld_width_mm']);
  });
});

describe('names of limits', () => {
  const heightOf = 60;
  const place = (track: Track) => {
    const { scale, shown } = trackAxis(track, heightOf - 7, 15);
    return { labels: limitLabels(track, scale, shown, heightOf), scale };
  };

  it('stand on their lines, side by side', () => {
    const two: Track = {
      ...layer,
      limits: [
        { name: 'entry', value: 3 },
        { name: 'joint', value: 2.8 },
      ],
    };
    const { labels, scale } = place(two);
    expect(labels[0].y).toBeLessThan(scale(3));
    expect(labels[0].y).toBeGreaterThan(scale(3) - 6);
    expect(labels[1].right).toBeGreaterThan(labels[0].right + 20);
  });

  it('keep to the edge with an arrow where the limit is far off', () => {
    const far: Track = { ...layer, limits: [{ name: 'most', value: 100 }], allLimits: false };
    const [label] = place(far).labels;
    expect(label).toMatchObject({ far: true, text: 'most 100.00 ↑' });
    expect(label.y).toBeLessThan(14);
  });

  it('never leave the track', () => {
    for (const value of [-50, 1.9, 2, 2.5, 3, 400]) {
      for (const allLimits of [true, false]) {
        for (const { y } of place({ ...layer, limits: [{ name: 'x', value }], allLimits }).labels) {
          expect(y).toBeGreaterThanOrEqual(11);
          expect(y).toBeLessThanOrEqual(heightOf);
        }
      }
    }
  });
});
