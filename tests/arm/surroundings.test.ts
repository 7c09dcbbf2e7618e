// Margins, moves with the beam off, and clearances: against definitions worked out by other means.
import { describe, expect, it } from 'vitest';
import { chainOf, forward, framesSize } from '../../src/arm/chain-kinematics.ts';
import { checkTravel } from '../../src/arm/check-travel.ts';
import { clearances, envelopesOf } from '../../src/arm/envelopes.ts';
import { kinematicsOf } from '../../src/arm/kinematics.ts';
import { margins } from '../../src/arm/margins.ts';
import { determinant } from '../../src/arm/opw-kinematics.ts';
import { solvePosture, toolToFlangeOf } from '../../src/arm/solve-posture.ts';
import { segmentDistance } from '../../src/geometry/segment-distance.ts';
import { rigidFromAngles } from '../../src/geometry/rigid.ts';
import type { Arm, OrthoParallel } from '../../src/model/arm.ts';
import { parseArms } from '../../src/model/arm-file.ts';
import type { Head } from '../../src/model/head.ts';
import { parseHeads } from '../../src/model/head-file.ts';
import armsJson from '../../shared/data/arms.json' with { type: 'json' };
import headsJson from '../../shared/data/heads.json' with { type: 'json' };
import { seededRandom } from './sample-arms.ts';
import { idleTask, pathOf, wavyRing } from './synthetic-path.ts';

const DEG = Math.PI / 180;
const arm = parseArms(armsJson).get('six-axis-900') as Arm;
const head = parseHeads(headsJson).get('angled-head') as Head;
const standoff = 150;
const ring = pathOf(wavyRing([520, 0, 200], 60, 8, 0.15), 0, 2 * Math.PI, 200, { from: 0, to: 199 });
const solved = solvePosture(
  arm,
  head,
  ring,
  { turn: 'constant', turns: 36, turnRate: 0.1, speed: 50, standoff },
  idleTask,
);

describe('the generic arms', () => {
  it.each([
    ['six-axis-700', 700],
    ['six-axis-900', 900],
    ['six-axis-1450', 1450],
  ])(
    '%s reaches about %i mm with its wrist, stands at home within its limits and above the floor',
    async (id, reach) => {
      const each = parseArms(armsJson).get(id) as Arm;
      const { a1, a2, c2, c3 } = each.model as OrthoParallel;
      expect(Math.abs(a1 + c2 + Math.hypot(a2, c3) - reach)).toBeLessThan(0.01 * reach);
      each.home.forEach((q, j) => {
        expect(q).toBeGreaterThan(each.axes[j].min);
        expect(q).toBeLessThan(each.axes[j].max);
      });
      const settings = { placement: rigidFromAngles([0, 0, 0], [0, 0, 0]), limit: 0, horizon: 1e4 };
      const found = await clearances(each, head, Float64Array.from(each.home), [], settings, idleTask);
      expect(found.length).toBeGreaterThan(3);
      expect(found[0].smallest).toBeGreaterThan(0);
    },
  );

  it('carry both heads', () => {
    for (const each of parseArms(armsJson).values()) {
      for (const one of parseHeads(headsJson).values()) expect(one.mass).toBeLessThan(each.payload);
    }
  });
});

describe('margins', () => {
  it('manipulability is the closed form of |det J|, singularity is zero where that is (seed 17)', async () => {
    const random = seededRandom(17);
    const m = 40;
    const angle = Float64Array.from({ length: 6 * m }, () => 4 * (random() - 0.5));
    // A straight wrist in the last row: t5 = 0.
    angle[6 * m - 2] = 0;
    const found = await margins(arm, head, angle, idleTask);
    for (let i = 0; i < m; i++) {
      const expected = determinant(arm.model as OrthoParallel, angle, 6 * i);
      expect(Math.abs(found.manipulability[i] - expected)).toBeLessThan(1e-9 * 1e8 + 1e-9 * expected);
    }
    expect(found.singularity[m - 1]).toBeLessThan(1e-12);
    expect(Math.min(...found.singularity.slice(0, m - 1))).toBeGreaterThan(1e-6);
  });

  it('limits: the nearer one of each axis, and the axis with the least share left', async () => {
    const angle = Float64Array.from(arm.axes, ({ min, max }) => (min + max) / 2);
    angle[2] = arm.axes[2].max - 0.01;
    angle[5] = arm.axes[5].min - 0.2;
    const found = await margins(arm, head, angle, idleTask);
    expect(found.limit[2]).toBeCloseTo(0.01, 12);
    expect(found.limit[5]).toBeCloseTo(-0.2, 12);
    expect(found.limitAxis[0]).toBe(5);
    expect(found.limitShare[0]).toBeCloseTo(-0.2 / ((arm.axes[5].max - arm.axes[5].min) / 2), 12);
    expect(found.umbilical[0]).toBeCloseTo(220 * DEG - Math.abs(angle[5]), 12);
  });

  it('rows without a posture stay without', async () => {
    const found = await margins(arm, head, new Float64Array(6).fill(Number.NaN), idleTask);
    expect([found.reach[0], found.singularity[0], found.limitShare[0]].every(Number.isNaN)).toBe(true);
    expect(found.limitAxis[0]).toBe(-1);
  });
});

describe('travel', () => {
  const settings = { toolToFlange: toolToFlangeOf(head, standoff), distance: 60, home: arm.home };

  it('goes home to home, straight back along the beam at both ends, within limits', async () => {
    const { posture } = await solved;
    expect(posture.blocked).toEqual([]);
    const kinematics = kinematicsOf(arm, head.umbilical);
    const travel = checkTravel(kinematics, ring, posture.turn, posture.angle, settings);
    expect(travel.problems).toEqual([]);
    expect(travel.moves.map((move) => move.name)).toEqual(['from-home', 'approach', 'retract', 'to-home']);
    const [out, approach, retract, back] = travel.moves.map((move) => Array.from(move.angle));
    expect(out.slice(0, 6)).toEqual([...arm.home]);
    expect(out.slice(-6)).toEqual(approach.slice(0, 6));
    expect(approach.slice(-6)).toEqual(Array.from(posture.angle.slice(0, 6)));
    expect(retract.slice(0, 6)).toEqual(Array.from(posture.angle.slice(-6)));
    expect(back.slice(0, 6)).toEqual(retract.slice(-6));
    expect(back.slice(-6)).toEqual([...arm.home]);
    // The flange moves as far as the tool on a straight move, and keeps its turn.
    const chain = chainOf(arm);
    const frames = new Float64Array(framesSize(chain));
    forward(chain, Float64Array.from(approach), 0, frames);
    const first = frames.slice(72);
    forward(chain, posture.angle, 0, frames);
    const gone = [9, 10, 11].map((c) => frames[72 + c] - first[c]);
    expect(Math.hypot(...gone)).toBeCloseTo(60, 6);
    for (let c = 0; c < 9; c++) expect(frames[72 + c]).toBeCloseTo(first[c], 9);
    for (const move of travel.moves) expect(move.time).toBeGreaterThan(0.05);
  });

  it('says how far back it gets when the arm cannot go on, and leaves out the way home from there', async () => {
    const { posture } = await solved;
    const kinematics = kinematicsOf(arm, head.umbilical);
    const travel = checkTravel(kinematics, ring, posture.turn, posture.angle, { ...settings, distance: 2000 });
    expect(travel.problems.map((problem) => problem.move)).toEqual(['approach', 'retract']);
    for (const { at, why } of travel.problems) {
      expect(at).toBeGreaterThan(100);
      expect(['out-of-reach', 'joint-limit']).toContain(why);
    }
    expect(travel.moves.map((move) => move.name)).toEqual(['approach', 'retract']);
  });

  it('says that home itself lies beyond a limit', async () => {
    const { posture } = await solved;
    const home = [...arm.home];
    home[1] = 200 * DEG;
    const travel = checkTravel(kinematicsOf(arm, null), ring, posture.turn, posture.angle, { ...settings, home });
    expect(travel.problems[0]).toMatchObject({ why: 'home-limit', axis: 1 });
  });

  // Source: kinematics of constant acceleration, worked by hand.
  it('one axis over 1 rad with 2 rad/s and 4 rad/s2 takes 1 s, over 0.25 rad 0.5 s', () => {
    const single: Arm = {
      ...arm,
      axes: arm.axes.map((axis) => ({ ...axis, speed: 2, acceleration: 4 })),
    };
    const kinematics = kinematicsOf(single, null);
    for (const [way, time] of [
      [1, 1],
      [0.25, 0.5],
    ]) {
      const start = Float64Array.from(arm.home);
      start[0] += way;
      const frames = new Float64Array(framesSize(kinematics.chain));
      forward(kinematics.chain, start, 0, frames);
      // A path of one row whose tool is the flange, and no way to approach: the ways from and to home are the single axis.
      const r = frames.slice(72);
      const path = {
        count: 1,
        s: Float64Array.of(0),
        position: r.slice(9),
        frame: quaternionOf(r),
        breaks: new Uint8Array(1),
        round: null,
      };
      const identity = rigidFromAngles([0, 0, 0], [0, 0, 0]);
      const travel = checkTravel(kinematics, path, Float64Array.of(0), start, {
        toolToFlange: identity,
        distance: 0,
        home: arm.home,
      });
      expect(travel.problems).toEqual([]);
      expect(travel.moves[0].time).toBeCloseTo(time, 9);
    }
  });
});

function quaternionOf(r: Float64Array): Float64Array {
  const w = Math.sqrt(Math.max(0, 1 + r[0] + r[4] + r[8])) / 2;
  return Float64Array.of(w, (r[7] - r[5]) / (4 * w), (r[2] - r[6]) / (4 * w), (r[3] - r[1]) / (4 * w));
}

describe('clearances', () => {
  const box = (x: number, y: number, z: number, size: number) => ({
    position: Float64Array.from(
      [0, 1, 2, 3, 4, 5, 6, 7].flatMap((k) => [x + size * (k & 1), y + size * ((k >> 1) & 1), z + size * (k >> 2)]),
    ),
    triangle: Uint32Array.of(
      0,
      2,
      1,
      1,
      2,
      3,
      4,
      5,
      6,
      5,
      7,
      6,
      0,
      1,
      4,
      1,
      5,
      4,
      2,
      6,
      3,
      3,
      6,
      7,
      0,
      4,
      2,
      2,
      4,
      6,
      1,
      3,
      5,
      3,
      7,
      5,
    ),
  });
  const place = rigidFromAngles([520, 0, 150], [0, 0, 0.4]);
  const obstacles = [
    { name: 'post', distance: segmentDistance(box(-20, 70, 60, 120)) },
    { name: 'block', distance: segmentDistance(box(-300, 0, 60, 40)) },
  ];

  it('pass over rows without losing the smallest distance or a close stretch: the same as looking at every row', async () => {
    const { posture } = await solved;
    const settings = { placement: place, limit: 90, horizon: 500 };
    const fast = await clearances(arm, head, posture.angle, obstacles, settings, idleTask);
    expect(fast.length).toBeGreaterThan(8);
    // Every row on its own is looked at.
    const rows = await Promise.all(
      Array.from({ length: posture.count }, (_, i) =>
        clearances(arm, head, posture.angle.slice(6 * i, 6 * i + 6), obstacles, settings, idleTask),
      ),
    );
    let close = 0;
    for (const { envelope, obstacle, smallest, row, close: stretches } of fast) {
      const each = rows.map(
        (list) => list.find((c) => c.envelope === envelope && c.obstacle === obstacle)?.smallest ?? 500,
      );
      expect(smallest).toBe(Math.min(...each));
      expect(each[row]).toBe(smallest);
      const near = each.flatMap((d, i) => (d < 90 ? [i] : []));
      const told = stretches.flatMap(({ from, to }) => Array.from({ length: to - from + 1 }, (_, k) => from + k));
      expect(told).toEqual(near);
      close += near.length;
    }
    // Some rows are close and some are not.
    expect(close).toBeGreaterThan(10);
    expect(fast.some((c) => c.close.length > 0 && c.close[0].to - c.close[0].from < 190)).toBe(true);
    expect(fast.map((c) => c.smallest)).toEqual(fast.map((c) => c.smallest).sort((a, b) => a - b));
  });

  it('from a block that stands over the flange: worked out by hand', async () => {
    const angle = new Float64Array(6);
    const upright: Arm = { ...arm, envelope: [{ name: 'rod', link: 7, from: [0, 0, 0], to: [0, 0, 50], radius: 10 }] };
    const bare: Head = { ...head, envelope: [] };
    const { c1, c2, c3, c4, a1, a2 } = arm.model as OrthoParallel;
    const top = c1 + c2 + c3 + c4 + 50;
    const settings = { placement: rigidFromAngles([a1 + a2, 0, top + 30], [0, 0, 0]), limit: 0, horizon: 500 };
    const block = { name: 'block', distance: segmentDistance(box(-50, -50, 0, 100)) };
    const [found] = await clearances(upright, bare, angle, [block], settings, idleTask);
    expect(found.smallest).toBeCloseTo(20, 9);
    const onFloor = await clearances(
      { ...upright, floor: -100 },
      bare,
      angle,
      [],
      { ...settings, horizon: 5000 },
      idleTask,
    );
    expect(onFloor[0].obstacle).toBe('floor');
    expect(onFloor[0].smallest).toBeCloseTo(top - 50 + 100 - 10, 9);
  });

  it('the head moves with the flange', () => {
    const all = envelopesOf(arm, head);
    expect(all.filter((capsule) => capsule.link === 7).map((capsule) => capsule.name)).toEqual(['head', 'bracket']);
  });
});
