import fc from 'fast-check';
import { BoxGeometry, Plane, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import { describe, expect, it } from 'vitest';
import { toSegments } from '../../../src/app/stage/fat-lines.ts';
import { measure } from '../../../src/app/stage/measure.ts';
import { playbackStart, playedRow } from '../../../src/app/stage/playback.ts';
import { rowAt, rowNear } from '../../../src/app/stage/row-at.ts';
import { sectionOutline } from '../../../src/app/stage/section-outline.ts';
import { circleSeam } from './a-seam.ts';

const SEED = 77;

describe('rows by value', () => {
  it(`finds what a walk finds (seed ${SEED})`, () => {
    const values = fc.array(fc.integer({ min: -50, max: 50 }), { minLength: 1, maxLength: 30 });
    fc.assert(
      fc.property(values, fc.integer({ min: -60, max: 60 }), (list, wanted) => {
        const sorted = list.toSorted((a, b) => a - b);
        const last = sorted.findLastIndex((value) => value <= wanted);
        expect(rowAt(sorted, wanted)).toBe(Math.max(0, last));
        const least = Math.min(...sorted.map((value) => Math.abs(value - wanted)));
        expect(Math.abs(sorted[rowNear(sorted, wanted)] - wanted)).toBe(least);
      }),
      { seed: SEED, numRuns: 200 },
    );
  });
});

describe('playback', () => {
  const seam = circleSeam({ radius: 20, rows: 60, width: 2 });

  it('follows the time of the rows and ends with the seam', () => {
    const step = seam.time[1] - seam.time[0];
    expect(playedRow(seam, 0, 10.5 * step)).toBe(10);
    expect(playedRow(seam, 20, 2.5 * step)).toBe(22);
    expect(playedRow(seam, 20, 0)).toBe(20);
    expect(playedRow(seam, 0, seam.time[seam.count - 1])).toBeNull();
  });

  it('begins at the cursor, at the end from the front', () => {
    expect(playbackStart(seam, 12)).toBe(12);
    expect(playbackStart(seam, seam.count - 1)).toBe(0);
  });
});

describe('measuring', () => {
  it('gives the distance, its parts along the axes, and the angle between the faces', () => {
    const a = { point: [1, 2, 3], normal: [0, 0, 1] } as const;
    const b = { point: [4, 6, 15], normal: [0, Math.SQRT1_2, Math.SQRT1_2] } as const;
    expect(measure(a, b).distance).toBe(13);
    expect(measure(a, b).along).toEqual([3, 4, 12]);
    expect(measure(a, b).angle).toBeCloseTo(45, 10);
    expect(measure(a, a).angle).toBe(0);
    expect(measure(a, { point: a.point, normal: [0, 0, -1] }).angle).toBeCloseTo(180, 10);
  });
});

describe('the outline of a cut', () => {
  const length = (chords: readonly number[][]): number =>
    chords.reduce((sum, [ax, ay, az, bx, by, bz]) => sum + Math.hypot(bx - ax, by - ay, bz - az), 0);

  it('runs once round a box, whether the plane passes through corners or not', () => {
    const box = new MeshBVH(new BoxGeometry(4, 3, 2), { indirect: true });
    expect(length(sectionOutline(box, new Plane(new Vector3(0, 0, 1), 0.3)))).toBeCloseTo(14, 6);
    expect(length(sectionOutline(box, new Plane(new Vector3(1, 0, 0), 0)))).toBeCloseTo(10, 6);
    expect(sectionOutline(box, new Plane(new Vector3(0, 0, 1), 5))).toEqual([]);
  });
});

describe('chains as chords', () => {
  it('gives each chord its two ends and leaves unknown ends out', () => {
    expect([...toSegments([[0, 0, 0, 1, 0, 0, 1, 1, 0]])]).toEqual([0, 0, 0, 1, 0, 0, 1, 0, 0, 1, 1, 0]);
    expect([
      ...toSegments([
        [0, 0, 0, Number.NaN, 0, 0, 1, 1, 0],
        [5, 5, 5, 6, 6, 6],
        [7, 7, 7],
      ]),
    ]).toEqual([5, 5, 5, 6, 6, 6]);
  });
});
