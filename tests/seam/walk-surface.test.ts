import { expect, test } from 'vitest';
import { createCylinder, createSphere } from '../../src/geometry/primitive-surfaces.ts';
import { startWalk, walk } from '../../src/seam/walk-surface.ts';

const start = (surface: ReturnType<typeof createSphere>, p: number[], d: number[]) => {
  const walker = startWalk(surface, Float64Array.from(p), Float64Array.from(d));
  if (walker === null) throw new Error('no start');
  return walker;
};

// Source: geodesics of the sphere are great circles, of the cylinder helices (do Carmo 1976, sec. 4-4).
test('on a sphere a walk is a great circle', () => {
  const sphere = createSphere([0, 0, 0], 10, 1);
  for (const length of [0.07, 1.5, 12, -3]) {
    const walker = start(sphere, [10, 0, 0], [0.3, 0.6, 0.8]);
    expect(walk(sphere, walker, length)).toBe(true);
    const a = length / 10;
    const exact = [
      10 * Math.cos(a),
      6 * Math.sin(a),
      8 * Math.sin(a),
      -Math.sin(a),
      0.6 * Math.cos(a),
      0.8 * Math.cos(a),
    ];
    // Positions and directions to 0.01 um a millimetre walked.
    exact.forEach((x, i) => {
      expect(Math.abs(walker[i] - x)).toBeLessThan(1e-5 * Math.abs(length));
    });
  }
});

test('on a cylinder a walk is a helix, there and back', () => {
  const cylinder = createCylinder([0, 0, 0], [0, 0, 1], 4, 1);
  const walker = start(cylinder, [4, 0, 0], [0, 0.6, 0.8]);
  expect(walk(cylinder, walker, 5)).toBe(true);
  const a = (0.6 * 5) / 4;
  [4 * Math.cos(a), 4 * Math.sin(a), 4].forEach((x, i) => {
    expect(Math.abs(walker[i] - x)).toBeLessThan(1e-4);
  });
  expect(walk(cylinder, walker, -5)).toBe(true);
  [4, 0, 0].forEach((x, i) => {
    expect(Math.abs(walker[i] - x)).toBeLessThan(1e-4);
  });
});
