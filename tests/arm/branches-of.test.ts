// The branch told from the angles is the one that the closed form numbers so.
import { describe, expect, it } from 'vitest';
import { branchesOf } from '../../src/arm/branches-of.ts';
import { chainOf, forward, framesSize } from '../../src/arm/chain-kinematics.ts';
import { inverse, SOLUTION_SIZE } from '../../src/arm/opw-kinematics.ts';
import { armOf, P1, P3, P4, seededRandom } from './sample-arms.ts';

describe('branches', () => {
  it.each([
    ['P1', P1],
    ['P3', P3],
    ['P4', P4],
  ])('of %s are numbered as its solutions are, over 300 seeded poses (seed 5)', (_, model) => {
    const random = seededRandom(5);
    const arm = armOf(model);
    const chain = chainOf(arm);
    const frames = new Float64Array(framesSize(chain));
    const out = new Float64Array(SOLUTION_SIZE);
    let seen = 0;
    for (let trial = 0; trial < 300; trial++) {
      forward(
        chain,
        Float64Array.from({ length: 6 }, () => 6 * (random() - 0.5)),
        0,
        frames,
      );
      const mask = inverse(model, frames.slice(72), 0, out);
      const branches = branchesOf(arm, out);
      for (let b = 0; b < 8; b++) {
        if ((mask & (1 << b)) === 0) continue;
        expect(branches[b]).toBe(b);
        seen |= 1 << b;
      }
    }
    expect(seen).toBe(255);
  });

  it('are unknown without a posture, and for a general chain', () => {
    expect(Array.from(branchesOf(armOf(P1), new Float64Array(6).fill(Number.NaN)))).toEqual([-1]);
  });
});
