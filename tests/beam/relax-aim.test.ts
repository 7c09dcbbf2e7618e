// The beam aimed along smoothed axes: limits along the beam hold wherever the nominal beam holds them.
import { describe, expect, test } from 'vitest';
import { relaxAim } from '../../src/beam/relax-aim.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Path } from '../../src/model/path.ts';
import { LIMITS } from '../motion/plain-seam.ts';
import { inScene, screen, shell, type Vector } from './analytic-bodies.ts';
import { aim, aimJob, circleOnSphere, DEG, head, plate, saddleRim, seamOn, straight, task } from './known-paths.ts';

const materials = new Map([['lid', plate('lid', 1.565, { value: 0.8, thickness: 2 })]]);

async function relax(path: Path, scene: readonly SceneBody[], change: Partial<typeof LIMITS>, settings = {}) {
  const limits = { ...LIMITS, capture: 0, ...change };
  const job = { ...aimJob({ materials }), limits };
  const own = head({ relax: 10 * DEG, ...settings });
  const nominal = await aim(path, own, scene, job);
  const relaxed = await relaxAim(nominal, path, seamOn(1), { head: own }, scene, job, task);
  return { nominal, ...relaxed };
}
const most = (values: Float64Array) => values.reduce((a, b) => Math.max(a, b));
const mostTurn = (turn: Float64Array) =>
  Math.sqrt(
    turn.reduce(
      (larger, _, k) => (k % 3 ? larger : Math.max(larger, turn[k] ** 2 + turn[k + 1] ** 2 + turn[k + 2] ** 2)),
      0,
    ),
  );

describe('under a lid that is a shell of 2 mm on a sphere of 60 mm', () => {
  const centre: Vector = [0, 0, 0];
  const path = circleOnSphere(centre, 60, 40 * DEG, 200);
  const scene = [inScene(0, 'transmissive', shell(centre, 60, 62), 'lid')];

  test.each([
    ['at entry', { incidenceEntry: 6 * DEG }, 0.97],
    ['at the joint', { incidenceJoint: 3 * DEG }, 0.97],
    ['along the layer', { layer: 2.004 }, 0.5],
  ])('a limit %s holds, and is used', async (_, change, used) => {
    const { aim: relaxed, nominal, lean } = await relax(path, scene, change);
    const limits = { ...LIMITS, ...change };
    const [entry, joint] = [most(relaxed.incidenceEntry), most(relaxed.incidenceJoint)];
    // 2 um is what a layer is known to.
    const layer = most(relaxed.layer);
    expect(entry).toBeLessThanOrEqual(limits.incidenceEntry);
    expect(joint).toBeLessThanOrEqual(limits.incidenceJoint);
    expect(layer).toBeLessThanOrEqual(limits.layer + 0.002);
    const share = Math.max(
      entry / limits.incidenceEntry,
      joint / limits.incidenceJoint,
      (layer - 2) / (limits.layer - 2),
    );
    expect(share).toBeGreaterThan(used);
    expect(most(lean)).toBeLessThan(10 * DEG);
    expect(mostTurn(relaxed.turnD1)).toBeLessThan(mostTurn(nominal.turnD1));
  });

  test('where the nominal beam breaks a limit it stays as it is', async () => {
    const { aim: relaxed, nominal, lean } = await relax(path, scene, { incidenceEntry: 8 * DEG }, { lead: 9 * DEG });
    expect(most(lean)).toBe(0);
    expect(most(relaxed.incidenceEntry)).toBe(most(nominal.incidenceEntry));
  });
});

test('light that would fall on a wall beside the seam keeps clear of it', async () => {
  // The axes of the round seam lean towards the pole's axis: a wall stands there, 8 mm above the joint, for x > 0.
  const path = circleOnSphere([0, 0, 0], 60, 40 * DEG, 200);
  const joint: Vector = [60 * Math.sin(40 * DEG), 0, 60 * Math.cos(40 * DEG)];
  const out: Vector = [Math.sin(40 * DEG), 0, Math.cos(40 * DEG)];
  const across: Vector = [-Math.cos(40 * DEG), 0, Math.sin(40 * DEG)];
  const place = joint.map((value, c) => value + 20 * out[c] + 3 * across[c]) as unknown as Vector;
  const wall = [inScene(0, 'tooling', screen(place, out, across))];
  const free = await relax(path, [], {});
  const { aim: relaxed, nominal, lean } = await relax(path, wall, {});
  const clear = nominal.clipped.findIndex((share) => share <= LIMITS.clipped);
  expect(clear).toBeGreaterThanOrEqual(0);
  expect(most(free.lean)).toBeGreaterThan(9.9 * DEG);
  let narrowed = 0;
  for (let i = 0; i < path.count; i++) {
    // Rays stand on rings that turn with the tool frame; 5e-4 of the power is what they tell.
    expect(relaxed.clipped[i]).toBeLessThanOrEqual(Math.max(LIMITS.clipped, nominal.clipped[i]) + 5e-4);
    if (lean[i] < free.lean[i] - 1 * DEG) narrowed++;
  }
  expect(narrowed).toBeGreaterThan(0);
});

test('a straight seam under one normal keeps its axes', async () => {
  const { aim: relaxed, nominal, lean } = await relax(straight(30, 4), [], {});
  expect(most(lean)).toBe(0);
  expect(relaxed.axis).toEqual(nominal.axis);
});

test('on the ruled flange of the saddle the head no longer runs backward in the trough', async () => {
  const { aim: relaxed, nominal } = await relax(saddleRim(400, 'flange'), [], { incidenceJoint: 15 * DEG });
  const least = (values: Float64Array) => values.reduce((a, b) => Math.min(a, b));
  expect(least(nominal.headFactor)).toBeCloseTo(-2, 4);
  expect(least(relaxed.headFactor)).toBeGreaterThan(-0.5);
});
