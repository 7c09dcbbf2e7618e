// Quaternions, rigid motions and elementary functions against three and the engine's own Math.
import fc from 'fast-check';
import { Euler, Matrix4, Quaternion, Vector3 } from 'three';
import { describe, expect, test } from 'vitest';
import * as elementary from '../../src/geometry/elementary.ts';
import {
  alignSigns,
  fromAxes,
  fromMatrix,
  fromRotationVector,
  multiply,
  rotate,
  rotationBetween,
  slerp,
  toMatrix,
} from '../../src/geometry/quaternion.ts';
import {
  composeRigid,
  invertRigid,
  movePoints,
  rigidFromAngles,
  rigidFromQuaternion,
  rigidQuaternion,
} from '../../src/geometry/rigid.ts';
import { angleBetween } from '../../src/geometry/vector.ts';

const SEED = 20260304;
const angle = fc.double({ min: -Math.PI, max: Math.PI, noNaN: true });
const angles = fc.tuple(angle, angle, angle);

const oracle = ([a, b, c]: [number, number, number]) =>
  // Rz(C) Ry(B) Rx(A) is three's order 'ZYX'.
  new Quaternion().setFromEuler(new Euler(a, b, c, 'ZYX'));
const wxyz = (q: Quaternion) => Float64Array.of(q.w, q.x, q.y, q.z);
const close = (a: ArrayLike<number>, b: ArrayLike<number>, tolerance = 1e-13) => {
  expect(a.length).toBe(b.length);
  for (let i = 0; i < a.length; i++) expect(Math.abs(a[i] - b[i])).toBeLessThan(tolerance);
};
const upToSign = (a: Float64Array, b: Float64Array) => {
  const d = a.reduce((sum, x, i) => sum + x * b[i], 0);
  expect(Math.abs(Math.abs(d) - 1)).toBeLessThan(1e-14);
};

describe('against three', () => {
  test(`angles A B C, quaternions and matrices, seed ${SEED}`, () => {
    fc.assert(
      fc.property(angles, angles, (first, second) => {
        const q = oracle(first);
        const rigid = rigidFromAngles([1, 2, 3], first);
        upToSign(rigidQuaternion(rigid), wxyz(q));
        // three keeps matrices column by column.
        const e = new Matrix4().makeRotationFromQuaternion(q).elements;
        close(rigid.rotation, [e[0], e[4], e[8], e[1], e[5], e[9], e[2], e[6], e[10]]);
        const m = new Float64Array(9);
        toMatrix(wxyz(q), 0, m, 0);
        close(m, rigid.rotation);
        close(rigidFromQuaternion([1, 2, 3], wxyz(q)).rotation, rigid.rotation);

        const product = new Float64Array(4);
        multiply(wxyz(q), 0, wxyz(oracle(second)), 0, product, 0);
        close(product, wxyz(q.clone().multiply(oracle(second))));

        const v = new Float64Array(3);
        rotate(wxyz(q), 0, Float64Array.of(0.3, -2, 5), 0, v, 0);
        close(v, new Vector3(0.3, -2, 5).applyQuaternion(q).toArray());

        const between = new Float64Array(4);
        slerp(wxyz(q), 0, wxyz(oracle(second)), 0, 0.3, between, 0);
        upToSign(between, wxyz(q.clone().slerp(oracle(second), 0.3)));
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  test(`rigid motions compose and undo themselves, seed ${SEED}`, () => {
    fc.assert(
      fc.property(angles, angles, (first, second) => {
        const a = rigidFromAngles([5, -7, 11], first);
        const b = rigidFromAngles([-1, 3, 2], second);
        const points = Float64Array.of(1, 2, 3, -40, 5, 60);
        close(movePoints(composeRigid(a, b), points), movePoints(a, movePoints(b, points)), 1e-12);
        close(movePoints(invertRigid(a), movePoints(a, points)), points, 1e-12);
      }),
      { seed: SEED, numRuns: 100 },
    );
  });
});

describe('rotation vectors', () => {
  test(`exp and log undo each other, tiny turns included, seed ${SEED}`, () => {
    fc.assert(
      fc.property(angles, angles, fc.constantFrom(1, 1e-3, 1e-6, 1e-10), (pose, r, size) => {
        // Under a half turn, where the short way is unique.
        const turn = Float64Array.from(r, (x) => (size * x) / 2);
        const start = wxyz(oracle(pose));
        const q = new Float64Array(4);
        const end = new Float64Array(4);
        fromRotationVector(turn, 0, q, 0);
        multiply(q, 0, start, 0, end, 0);
        const back = new Float64Array(3);
        for (const sign of [1, -1]) {
          rotationBetween(
            start,
            0,
            end.map((x) => sign * x),
            0,
            back,
            0,
          );
          close(back, turn, 1e-14);
        }
      }),
      { seed: SEED, numRuns: 300 },
    );
  });

  test('half turns about each axis come through the matrix', () => {
    for (const q of [
      [0, 1, 0, 0],
      [0, 0, 1, 0],
      [0, 0, 0, 1],
      [0, 0.6, 0, 0.8],
    ]) {
      const m = new Float64Array(9);
      const back = new Float64Array(4);
      toMatrix(Float64Array.from(q), 0, m, 0);
      fromMatrix(m, 0, back, 0);
      close(back, q, 1e-15);
    }
  });

  test('axes as columns; signs made to follow each other', () => {
    const q = new Float64Array(8);
    fromAxes(Float64Array.of(0, 1, 0), 0, Float64Array.of(-1, 0, 0), 0, Float64Array.of(0, 0, 1), 0, q, 0);
    close(q.subarray(0, 4), [Math.SQRT1_2, 0, 0, Math.SQRT1_2], 1e-15);
    q.set([-0.7, 0, 0, -0.714], 4);
    alignSigns(q, 2);
    expect(Array.from(q.subarray(4))).toEqual([0.7, -0, -0, 0.714]);
  });

  test('angles between vectors, tiny and opposite', () => {
    expect(angleBetween(Float64Array.of(1, 0, 0), 0, Float64Array.of(5, 5e-9, 0), 0)).toBeCloseTo(1e-9, 20);
    expect(angleBetween(Float64Array.of(1, 0, 0), 0, Float64Array.of(-2, 0, 0), 0)).toBe(Math.PI);
  });
});

// The engine's Math is an independent implementation; both claim errors under about one unit in the last place.
describe('elementary functions', () => {
  const cases: [string, (x: number) => number, (x: number) => number, number, number][] = [
    ['sin', elementary.sin, Math.sin, -50, 50],
    ['cos', elementary.cos, Math.cos, -50, 50],
    ['tan', elementary.tan, Math.tan, -1.5, 1.5],
    ['asin', elementary.asin, Math.asin, -1, 1],
    ['acos', elementary.acos, Math.acos, -1, 1],
    ['atan', elementary.atan, Math.atan, -30, 30],
    ['exp', elementary.exp, Math.exp, -30, 30],
    ['log', elementary.log, Math.log, 1e-6, 1e6],
    ['log10', elementary.log10, Math.log10, 1e-6, 1e6],
    ['cbrt', elementary.cbrt, Math.cbrt, -1e3, 1e3],
    ['atan2(x, 0.7)', (x) => elementary.atan2(x, 0.7), (x) => Math.atan2(x, 0.7), -9, 9],
    ['pow(|x|, 1.3)', (x) => elementary.pow(Math.abs(x), 1.3), (x) => Math.abs(x) ** 1.3, -9, 9],
    ['hypot(x, 3)', (x) => elementary.hypot(x, 3), (x) => Math.hypot(x, 3), -9, 9],
  ];
  test.each(cases)('%s agrees with the engine to 3 units in the last place', (_, ours, theirs, low, high) => {
    for (let i = 0; i <= 2000; i++) {
      const x = low + ((high - low) * i) / 2000;
      const y = theirs(x);
      expect(Math.abs(ours(x) - y)).toBeLessThanOrEqual(3 * 2.3e-16 * Math.max(Math.abs(y), 1e-3));
    }
  });
});
