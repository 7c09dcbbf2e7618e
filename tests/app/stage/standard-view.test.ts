import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { eyeOf, fitBox, halfHeight, type Triple } from '../../../src/app/stage/standard-view.ts';

const SEED = 99;

describe('standard views', () => {
  it('look along the axes of the part frame, z up', () => {
    expect(eyeOf('front')?.[1]).toBe(-1);
    expect(eyeOf('right')?.[0]).toBe(1);
    expect(eyeOf('top')?.[2]).toBe(1);
    expect(eyeOf('fit')).toBeNull();
    expect(Math.hypot(...(eyeOf('corner') ?? []))).toBeCloseTo(1, 12);
  });

  it(`fit a box so that all of it is in the picture and some of it at the border (seed ${SEED})`, () => {
    const size = fc.double({ min: 1, max: 200, noNaN: true });
    const axes = { back: [0, -1, 0], right: [1, 0, 0], up: [0, 0, 1] } as const;
    fc.assert(
      fc.property(size, size, size, fc.double({ min: 0.4, max: 3, noNaN: true }), (x, y, z, aspect) => {
        const high: Triple = [x / 2, y / 2, z / 2];
        const low: Triple = [-x / 2, -y / 2, -z / 2];
        const fov = 0.5;
        const { distance, half } = fitBox(low, high, axes, fov, aspect);
        // The corner nearest to the eye stands y / 2 before the middle.
        const tall = halfHeight(distance - y / 2, fov);
        expect(Math.max(z / 2 / tall, x / 2 / (tall * aspect))).toBeCloseTo(1, 9);
        expect(Math.max(z / 2 / half, x / 2 / (half * aspect))).toBeCloseTo(1, 9);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });
});
