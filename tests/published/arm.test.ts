// Checks of the arm's kinematics against published values, each with its source and mark.
import { describe, expect, it } from 'vitest';
import { chainOf, forward, framesSize, jacobian } from '../../src/arm/chain-kinematics.ts';
import { determinant, inverse, SOLUTION_SIZE } from '../../src/arm/opw-kinematics.ts';
import type { OrthoParallel, SerialChain } from '../../src/model/arm.ts';
import { armOf, benchmark, geometric, P1, P3, P4 } from '../arm/sample-arms.ts';

function flange(model: OrthoParallel | SerialChain, q: number[]): Float64Array {
  const chain = chainOf(armOf(model));
  const frames = new Float64Array(framesSize(chain));
  forward(chain, Float64Array.from(q), 0, frames);
  return frames.slice(-12);
}

const near = (actual: ArrayLike<number>, expected: number[], tolerance: number): void => {
  expect(actual.length).toBe(expected.length);
  expected.forEach((value, i) => {
    expect(Math.abs(actual[i] - value), `value ${i}: ${actual[i]} for ${value}`).toBeLessThanOrEqual(tolerance);
  });
};

describe('six axes with an ortho-parallel base', () => {
  // Source: tests of the open library opw_kinematics (seen); single precision there, so 1e-7 of 0.73 m is 1e-4 mm.
  it('P1 stands where the library says at 0.2 on all axes', () => {
    const pose = flange(P1, new Array(6).fill(0.2));
    near(pose.slice(9), [734.1169, -152.0347, 182.639], 1e-4);
    near(
      pose.slice(0, 9),
      [-0.5965795, 0.000371195, 0.8025539, -0.2724458, 0.9405218, -0.202958, -0.7548948, -0.3397331, -0.5609949],
      1e-6,
    );
  });

  // Source: tests of the open library opw_kinematics (seen), double precision.
  it('P3 stands where the library says with axis 2 at 45 degrees', () => {
    near(flange(P3, [0, Math.PI / 4, 0, 0, 0, 0]).slice(9), [1348.5459941112, 0, 399.038059222874], 1e-9);
  });

  // Source: the geometry's own definition (Brandstoetter, Angerer & Hofbaur 2014), worked out by hand for the zero pose.
  it('P4, with its shoulder offset, stands upright at zero', () => {
    near(flange(P4, [0, 0, 0, 0, 0, 0]), [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 35, 320 + 225 + 225 + 65], 1e-12);
  });

  // Source: computed by an independent script on the published geometry (computed), forward residual below 1e-15.
  it('P1 finds the eight published solutions', () => {
    const model = geometric(P1);
    const four = [
      [0.3, -0.5, 1.6, 0.6, 0.7, 0.8],
      [0.3, 1.146028375, -1.408803763, 0.40091694, 1.941503938, 1.434448347],
      [-2.841592654, -1.192477102, 1.520137422, -2.729813355, 2.00110946, 1.462294626],
      [-2.841592654, 0.362788161, -1.328941185, -2.617284117, 0.813378147, 0.903887513],
    ];
    const pose = flange(model, four[0]);
    near(pose.slice(9), [237.13236, 103.81433, 863.039608], 1e-5);
    const out = new Float64Array(SOLUTION_SIZE);
    expect(inverse(model, pose, 0, out)).toBe(255);
    const turn = (angle: number): number => angle - 2 * Math.PI * Math.round(angle / (2 * Math.PI));
    const twins = four.map(([t1, t2, t3, t4, t5, t6]) => [t1, t2, t3, turn(t4 + Math.PI), -t5, turn(t6 + Math.PI)]);
    for (const expected of [...four, ...twins]) {
      const distances = Array.from({ length: 8 }, (_, branch) =>
        Math.max(...expected.map((angle, j) => Math.abs(turn(out[6 * branch + j] - angle)))),
      );
      expect(distances.filter((distance) => distance < 2e-9)).toHaveLength(1);
    }
  });

  // Source: computed by an independent script on the published geometry (computed).
  it.each([
    ['P1', P1],
    ['P3', P3],
  ])('%s has only four solutions at 0.3 .. 0.8', (_, published) => {
    const model = geometric(published);
    const out = new Float64Array(SOLUTION_SIZE);
    const mask = inverse(model, flange(model, [0.3, 0.4, 0.5, 0.6, 0.7, 0.8]), 0, out);
    expect(mask.toString(2).replaceAll('0', '')).toHaveLength(4);
    expect(Array.from(out).filter(Number.isNaN)).toHaveLength(24);
  });

  // Source: closed form for this geometry, value computed by an independent script in metres (computed).
  it('P1 has |det J| 0.0120572015 m3 at 0.3 .. 0.8, in closed form and from the Jacobian', () => {
    const model = geometric(P1);
    const q = Float64Array.of(0.3, 0.4, 0.5, 0.6, 0.7, 0.8);
    expect(determinant(model, q, 0) / 1e9).toBeCloseTo(0.0120572015, 10);
    const chain = chainOf(armOf(model));
    const frames = new Float64Array(framesSize(chain));
    const J = new Float64Array(36);
    forward(chain, q, 0, frames);
    jacobian(chain, frames, frames, 72 + 9, J);
    expect(Math.abs(gaussDeterminant(J, 6)) / 1e9).toBeCloseTo(0.0120572015, 10);
  });
});

describe('a classic six-axis benchmark geometry as a general chain', () => {
  // Source: Corke & Armstrong-Helouvry 1994, as held in an open toolbox (seen).
  it('stands at (0.4521, -0.15005, 0.4318) m at zero', () => {
    near(flange(benchmark, [0, 0, 0, 0, 0, 0]).slice(9), [452.1, -150.05, 431.8], 1e-9);
  });

  // Source: Yoshikawa 1985 for the measure; the value as held in an open toolbox (seen), four decimals there, SI units.
  it('has manipulability 0.0786 at (0, pi/4, -pi, 1, pi/4, 0)', () => {
    const chain = chainOf(armOf(benchmark));
    const frames = new Float64Array(framesSize(chain));
    const J = new Float64Array(36);
    forward(chain, Float64Array.of(0, Math.PI / 4, -Math.PI, 1, Math.PI / 4, 0), 0, frames);
    jacobian(chain, frames, frames, 72 + 9, J);
    expect(Math.abs(gaussDeterminant(J, 6)) / 1e9).toBeCloseTo(0.0786, 4);
  });
});

/** Determinant by elimination with row exchange. */
function gaussDeterminant(matrix: Float64Array, n: number): number {
  const rows = Array.from({ length: n }, (_, r) => Array.from(matrix.slice(n * r, n * r + n)));
  let value = 1;
  for (let c = 0; c < n; c++) {
    let pivot = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(rows[r][c]) > Math.abs(rows[pivot][c])) pivot = r;
    if (pivot !== c) value = -value;
    [rows[c], rows[pivot]] = [rows[pivot], rows[c]];
    value *= rows[c][c];
    for (let r = c + 1; r < n; r++) {
      const f = rows[r][c] / rows[c][c];
      for (let k = c; k < n; k++) rows[r][k] -= f * rows[c][k];
    }
  }
  return value;
}
