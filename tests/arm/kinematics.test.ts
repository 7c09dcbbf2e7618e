// Forward and inverse against each other and against numeric searches that know nothing of the closed form.
import { describe, expect, it } from 'vitest';
import {
  chainOf,
  forward,
  framesSize,
  jacobian,
  poseError,
  solveChain,
  solverSpace,
} from '../../src/arm/chain-kinematics.ts';
import { determinant, holdWrist, inverse, reachMargin, SOLUTION_SIZE, wrap } from '../../src/arm/opw-kinematics.ts';
import type { OrthoParallel } from '../../src/model/arm.ts';
import { armOf, benchmark, P1, P3, P4, seededRandom } from './sample-arms.ts';

const skewed: OrthoParallel = {
  ...P4,
  a1: 40,
  a2: -25,
  b: -30,
  signs: [1, -1, 1, -1, -1, 1],
  offsets: [0.2, -0.4, 0.7, 1, -0.3, 2],
};
const sets: [string, OrthoParallel][] = [
  ['P1', P1],
  ['P3', P3],
  ['P4', P4],
  ['skewed', skewed],
];

function tools(model: OrthoParallel) {
  const chain = chainOf(armOf(model));
  const frames = new Float64Array(framesSize(chain));
  const error = new Float64Array(6);
  const pose = (q: Float64Array, at = 0): Float64Array => {
    forward(chain, q, at, frames);
    return frames.slice(72);
  };
  return {
    chain,
    pose,
    /** Largest of the position error over 1 m and the angle. */
    miss(q: Float64Array, at: number, target: Float64Array): number {
      forward(chain, q, at, frames);
      poseError(frames, 72, target, 0, error);
      return Math.max(...error.map((e, i) => Math.abs(i < 3 ? e / 1000 : e)));
    },
  };
}

const randomAngles = (random: () => number): Float64Array =>
  Float64Array.from({ length: 6 }, () => (2 * random() - 1) * Math.PI);
const apart = (a: Float64Array, i: number, b: Float64Array, j: number): number =>
  Math.max(...[0, 1, 2, 3, 4, 5].map((k) => Math.abs(wrap(a[i + k] - b[j + k]))));

describe('all solutions of a pose', () => {
  it.each(sets)(
    '%s: ten thousand seeded poses, the posture is among them and each reaches the pose (seed 41)',
    (_, model) => {
      const { pose, miss } = tools(model);
      const random = seededRandom(41);
      const out = new Float64Array(SOLUTION_SIZE);
      let worst = 0;
      let lost = 0;
      for (let i = 0; i < 10_000 / sets.length; i++) {
        const q = randomAngles(random);
        const target = pose(q);
        const mask = inverse(model, target, 0, out);
        let closest = Number.POSITIVE_INFINITY;
        for (let branch = 0; branch < 8; branch++) {
          expect(Number.isNaN(out[6 * branch])).toBe((mask & (1 << branch)) === 0);
          if ((mask & (1 << branch)) === 0) continue;
          worst = Math.max(worst, miss(out, 6 * branch, target));
          closest = Math.min(closest, apart(out, 6 * branch, q, 0));
        }
        // The elbow's angle loses half the digits where the arm is stretched: sqrt(1e-16) and some.
        if (!(closest < 1e-6)) lost++;
      }
      expect(lost).toBe(0);
      expect(worst).toBeLessThan(1e-8);
    },
  );

  it.each(sets)('%s: as many as a numeric search from many seeds finds, and the same ones (seed 7)', (_, model) => {
    const { chain, pose } = tools(model);
    const space = solverSpace(chain);
    const random = seededRandom(7);
    const out = new Float64Array(SOLUTION_SIZE);
    for (let trial = 0; trial < 6; trial++) {
      const target = pose(randomAngles(random));
      const mask = inverse(model, target, 0, out);
      const found: Float64Array[] = [];
      for (let seed = 0; seed < 160; seed++) {
        const q = randomAngles(random);
        if (!solveChain(chain, target, 0, q, 0, space)) continue;
        if (!found.some((known) => apart(known, 0, q, 0) < 1e-4)) found.push(q);
      }
      const closed = [0, 1, 2, 3, 4, 5, 6, 7].filter((branch) => (mask & (1 << branch)) !== 0);
      for (const q of found) expect(closed.some((branch) => apart(out, 6 * branch, q, 0) < 1e-4)).toBe(true);
      expect(found.length).toBe(closed.length);
    }
  });

  it('keeps the sum of axes 4 and 6 in a straight wrist, the difference in a folded one, and lets axis 4 be moved', () => {
    for (const [, model] of sets) {
      const { pose, miss } = tools(model);
      for (const t5 of [0, Math.PI]) {
        const geometricAngles = [0.3, -0.4, 1.2, 0.6, t5, 0.8];
        const q = Float64Array.from(geometricAngles, (t, j) => model.signs[j] * (t + model.offsets[j]));
        const target = pose(q);
        const out = new Float64Array(SOLUTION_SIZE);
        const mask = inverse(model, target, 0, out);
        const straight = [0, 1, 2, 3].filter((pair) => (mask & (1 << (8 + pair))) !== 0);
        expect(straight.length).toBeGreaterThan(0);
        for (const pair of straight) {
          for (const k of [12 * pair, 12 * pair + 6]) {
            expect(miss(out, k, target)).toBeLessThan(3e-9);
            holdWrist(model, out, k, -2.1);
            expect(out[k + 3]).toBe(-2.1);
            expect(miss(out, k, target)).toBeLessThan(3e-9);
          }
        }
        for (const k of [0, 12, 24, 36]) if (mask & (1 << (k / 6))) holdWrist(model, out, k, q[3]);
        const best = Math.min(...[0, 2, 4, 6].map((branch) => apart(out, 6 * branch, q, 0)).filter((d) => d >= 0));
        expect(best).toBeLessThan(1e-8);
      }
    }
  });

  it('has none beyond reach, and finds the stretched arm at the border in spite of rounding', () => {
    const { pose, miss } = tools(P3);
    const out = new Float64Array(SOLUTION_SIZE);
    const k = Math.sqrt(115 ** 2 + 795 ** 2);
    const stretch = Math.atan2(-115, 795);
    const random = seededRandom(3);
    for (let trial = 0; trial < 200; trial++) {
      const q = randomAngles(random);
      q[1] = 0.2 + random();
      q[2] = -stretch - Math.PI / 2;
      const target = pose(q);
      expect(Math.abs(reachMargin(P3, target, 0))).toBeLessThan(1e-9);
      const mask = inverse(P3, target, 0, out);
      const reached = [0, 1, 2, 3, 4, 5, 6, 7].filter(
        (b) => (mask & (1 << b)) !== 0 && miss(out, 6 * b, target) < 1e-8,
      );
      expect(reached.length).toBeGreaterThanOrEqual(4);
    }
    const far = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 150 + 700 + k + 1, 0, 445 + 85);
    expect(inverse(P3, far, 0, out)).toBe(0);
    expect(reachMargin(P3, far, 0)).toBeCloseTo(-1, 9);
  });

  it('has none with the wrist centre nearer to axis 1 than the shoulder offset', () => {
    const out = new Float64Array(SOLUTION_SIZE);
    const pose = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 10, 10, 500);
    expect(inverse(P4, pose, 0, out)).toBe(0);
    expect(reachMargin(P4, pose, 0)).toBeCloseTo(Math.sqrt(200) - 35, 9);
  });

  it('is refused, not invented, for a pose that is not a number', () => {
    const out = new Float64Array(SOLUTION_SIZE);
    expect(inverse(P1, new Float64Array(12).fill(Number.NaN), 0, out)).toBe(0);
    expect(out.every(Number.isNaN)).toBe(true);
  });
});

describe('the Jacobian', () => {
  it.each(sets)('%s: agrees with central differences and its determinant with the closed form (seed 5)', (_, model) => {
    const { chain, pose } = tools(model);
    const random = seededRandom(5);
    const frames = new Float64Array(framesSize(chain));
    const J = new Float64Array(36);
    const error = new Float64Array(6);
    for (let trial = 0; trial < 20; trial++) {
      const q = randomAngles(random);
      forward(chain, q, 0, frames);
      jacobian(chain, frames, frames, 81, J);
      for (let j = 0; j < 6; j++) {
        const step = 1e-5;
        const before = pose(q.map((x, k) => (k === j ? x - step : x)));
        const after = pose(q.map((x, k) => (k === j ? x + step : x)));
        poseError(before, 0, after, 0, error);
        // Differences of second order: 1e-10 of a metre of arm, in mm.
        for (let r = 0; r < 6; r++) expect(Math.abs(error[r] / (2 * step) - J[6 * r + j])).toBeLessThan(1e-5);
      }
      expect(determinant(model, q, 0)).toBeGreaterThanOrEqual(0);
    }
  });
});

describe('the numeric solver', () => {
  it('comes back to postures of a general chain from 0.2 rad away (seed 11)', () => {
    const chain = chainOf(armOf(benchmark));
    const space = solverSpace(chain);
    const random = seededRandom(11);
    const frames = new Float64Array(framesSize(chain));
    let solved = 0;
    for (let trial = 0; trial < 200; trial++) {
      const truth = randomAngles(random);
      forward(chain, truth, 0, frames);
      const target = frames.slice(72);
      const q = truth.map((x) => x + 0.4 * (random() - 0.5));
      if (!solveChain(chain, target, 0, q, 0, space)) continue;
      solved++;
      forward(chain, q, 0, frames);
      // Closed to 1e-10 of the span of about a metre.
      for (let c = 0; c < 12; c++) expect(Math.abs(frames[72 + c] - target[c])).toBeLessThan(1e-6);
    }
    expect(solved).toBeGreaterThanOrEqual(198);
  });

  it('says so when a pose lies beyond reach, or is not a number', () => {
    const chain = chainOf(armOf(benchmark));
    const space = solverSpace(chain);
    const q = new Float64Array(6).fill(0.3);
    const far = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 3000, 0, 0);
    expect(solveChain(chain, far, 0, q, 0, space)).toBe(false);
    expect(solveChain(chain, far.fill(Number.NaN), 0, new Float64Array(6), 0, space)).toBe(false);
  });
});
