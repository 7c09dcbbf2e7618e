import { describe, expect, test } from 'vitest';
import { closedFrames, closingAngle, rotationMinimisingFrames, turnAbout } from '../../src/geometry/frames.ts';
import { movePoints, rigidFromAngles, turnVectors } from '../../src/geometry/rigid.ts';
import { distance, dot, length } from '../../src/geometry/vector.ts';
import { sampleKnown, torusKnot } from './known-curves.ts';

const N = 400;
const knot = sampleKnown(torusKnot, N, (2 * Math.PI) / N);
const up = Float64Array.of(0, 0, 1);
const arc = (() => {
  const s = new Float64Array(N);
  for (let i = 1; i < N; i++) s[i] = s[i - 1] + distance(knot.position, 3 * i - 3, knot.position, 3 * i);
  return { s, length: s[N - 1] + distance(knot.position, 3 * N - 3, knot.position, 0) };
})();

describe('rotation-minimising frames', () => {
  test('unit vectors across the tangent, all the way', () => {
    const r = rotationMinimisingFrames(knot.position, knot.tangent, up);
    for (let k = 0; k < 3 * N; k += 3) {
      expect(Math.abs(length(r, k) - 1)).toBeLessThan(1e-14);
      expect(Math.abs(dot(r, k, knot.tangent, k))).toBeLessThan(1e-14);
    }
  });

  test('straight on, the reference vector stays', () => {
    const position = Float64Array.of(0, 0, 0, 1, 0, 0, 5, 0, 0);
    const tangent = Float64Array.of(1, 0, 0, 1, 0, 0, 1, 0, 0);
    const r = rotationMinimisingFrames(position, tangent, Float64Array.of(3, 0, 2));
    for (let k = 0; k < 9; k += 3) expect(Array.from(r.subarray(k, k + 3))).toEqual([0, 0, 1]);
  });

  test('a reference vector along the tangent throws', () => {
    expect(() => rotationMinimisingFrames(knot.position, knot.tangent, new Float64Array(3))).toThrow('reference');
  });

  test('closed: the closing angle is gone, spread evenly', () => {
    const open = rotationMinimisingFrames(knot.position, knot.tangent, up);
    const angle = closingAngle(knot.position, knot.tangent, open);
    expect(Math.abs(angle)).toBeGreaterThan(0.1);
    const closed = closedFrames(knot.position, knot.tangent, up, arc.s, arc.length);
    for (const i of [0, 57, 200, 399]) {
      const turned = turnAbout(knot.tangent, 3 * i, open, 3 * i, closed, 3 * i);
      expect(Math.abs(turned + (angle * arc.s[i]) / arc.length)).toBeLessThan(1e-13);
    }
    // What is left over the closing step is that step's own share.
    const left = closingAngle(knot.position, knot.tangent, closed);
    expect(Math.abs(left - (angle * (arc.length - arc.s[N - 1])) / arc.length)).toBeLessThan(1e-12);
  });

  test('a rigid motion turns the frames and keeps the angle', () => {
    const motion = rigidFromAngles([5, -2, 9], [0.3, -1.1, 2.2]);
    const position = movePoints(motion, knot.position);
    const tangent = turnVectors(motion, knot.tangent);
    const r = rotationMinimisingFrames(position, tangent, turnVectors(motion, up));
    const same = turnVectors(motion, rotationMinimisingFrames(knot.position, knot.tangent, up));
    for (let k = 0; k < 3 * N; k += 3) expect(distance(r, k, same, k)).toBeLessThan(1e-12);
  });
});
