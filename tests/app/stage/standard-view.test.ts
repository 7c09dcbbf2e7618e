import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { eyeOf, fitPoints, halfHeight } from '../../../src/app/stage/standard-view.ts';

const SEED = 99;
const AXES = { back: [0, -1, 0], right: [1, 0, 0], up: [0, 0, 1] } as const;

describe('standard views', () => {
  it('look along the axes of the part frame, z up', () => {
    expect(eyeOf('front')?.[1]).toBe(-1);
    expect(eyeOf('right')?.[0]).toBe(1);
    expect(eyeOf('top')?.[2]).toBe(1);
    expect(eyeOf('fit')).toBeNull();
    expect(Math.hypot(...(eyeOf('corner') ?? []))).toBeCloseTo(1, 12);
  });

  it(`fit points so that all are in the picture and it could not be tighter (seed ${SEED})`, () => {
    const place = fc.double({ min: -100, max: 100, noNaN: true });
    const points = fc.array(fc.tuple(place, place, place), { minLength: 2, maxLength: 20 });
    fc.assert(
      fc.property(points, fc.double({ min: 0.4, max: 3, noNaN: true }), (list, aspect) => {
        const fov = 0.5;
        const fit = fitPoints([list.flat()], AXES, fov, aspect);
        if (fit === null) throw new Error('nothing to fit');
        const seen = list.map(([x, y, z]) => {
          // The eye looks along y from fit.distance before the target.
          const depth = y - (fit.target[1] - fit.distance);
          const tall = halfHeight(depth, fov);
          return { depth, x: (x - fit.target[0]) / (tall * aspect), y: (z - fit.target[2]) / tall };
        });
        const inFront = seen.filter(({ depth }) => depth > 1e-6);
        for (const { x, y } of inFront) expect(Math.max(Math.abs(x), Math.abs(y))).toBeLessThan(1 + 1e-6);
        // Points at the eye itself have no place in the picture.
        if (inFront.length < seen.length) return;
        const touches = (side: (at: { x: number; y: number }) => number) => Math.max(...seen.map(side)) > 1 - 1e-6;
        const across = touches(({ x }) => x) && touches(({ x }) => -x);
        const upright = touches(({ y }) => y) && touches(({ y }) => -y);
        expect(across || upright).toBe(true);
        const flat = Math.max(
          ...list.map(([x, , z]) => Math.max(Math.abs(x - fit.target[0]) / aspect, Math.abs(z - fit.target[2]))),
        );
        expect(fit.half).toBeCloseTo(flat, 9);
      }),
      { seed: SEED, numRuns: 100 },
    );
  });

  it('has nothing to say of nothing', () => {
    expect(fitPoints([], AXES, 0.5, 1)).toBeNull();
    expect(fitPoints([[]], AXES, 0.5, 1)).toBeNull();
  });
});
