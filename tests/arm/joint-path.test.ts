// The joint path between the rows: put to the test at places that it was not fitted at, coarse rows and corners included.
import { describe, expect, it } from 'vitest';
import { forward } from '../../src/arm/chain-kinematics.ts';
import { valueOnSpan } from '../../src/arm/channel-spline.ts';
import { followPath } from '../../src/arm/follow-path.ts';
import { derivativesAtRows, jointPath } from '../../src/arm/joint-path.ts';
import { kinematicsOf } from '../../src/arm/kinematics.ts';
import { solvePosture, toolToFlangeOf } from '../../src/arm/solve-posture.ts';
import type { ToolPath } from '../../src/arm/tool-path.ts';
import type { Arm } from '../../src/model/arm.ts';
import { parseArms } from '../../src/model/arm-file.ts';
import type { Head } from '../../src/model/head.ts';
import { parseHeads } from '../../src/model/head-file.ts';
import armsJson from '../../shared/data/arms.json' with { type: 'json' };
import headsJson from '../../shared/data/heads.json' with { type: 'json' };
import { idleTask, pathOf, wavyRing } from './synthetic-path.ts';

const arm = parseArms(armsJson).get('six-axis-900') as Arm;
const head = parseHeads(headsJson).get('angled-head') as Head;
const kinematics = kinematicsOf(arm, head.umbilical);
const toolToFlange = toolToFlangeOf(head, 150);
const ring = wavyRing([520, 0, 200], 60, 8, 0.15);

/** Rows of a path, followed at a fixed turn, and the joint path through them. */
async function pathThrough(path: ToolPath, allowed: number) {
  const start = await solvePosture(
    arm,
    head,
    path,
    { turn: 0, turns: 1, turnRate: 0, speed: 50, standoff: 150 },
    idleTask,
  );
  const turn = new Float64Array(path.count);
  const runs = [{ from: 0, to: path.count - 1 }];
  const angle = followPath(kinematics, path, toolToFlange, turn, runs, start.posture.angle, 1);
  if (angle === null) throw new Error('the test needs a path that the arm can follow');
  const settings = { toolToFlange, distance: allowed, angle: 1 };
  return { angle, joints: await jointPath(kinematics, path, turn, angle, runs, settings, idleTask) };
}

/** Largest distance of the tool centre point from the ring's own formula, at quarter points of all spans. */
function largestFrom(joints: Awaited<ReturnType<typeof jointPath>>, distance: (p: number[]) => number): number {
  const q = new Float64Array(6);
  const { frames } = kinematics.space;
  const { rotation: r, translation: t } = toolToFlange;
  const tip = [0, 1, 2].map((c) => -(r[c] * t[0] + r[3 + c] * t[1] + r[6 + c] * t[2]));
  let largest = 0;
  for (const { spline } of joints.pieces) {
    for (let k = 0; k + 1 < spline.knot.length; k++) {
      for (const u of [0.25, 0.5, 0.75]) {
        valueOnSpan(spline, k, u, q, 0);
        forward(kinematics.chain, q, 0, frames);
        const p = [0, 1, 2].map(
          (c) => frames[81 + c] + [0, 1, 2].reduce((sum, i) => sum + frames[72 + 3 * c + i] * tip[i], 0),
        );
        largest = Math.max(largest, distance(p));
      }
    }
  }
  return largest;
}

/** Distance from the ring, by a search over its parameter. */
const fromRing = (p: number[]): number => {
  const at = (u: number): number => Math.hypot(...ring(u).p.map((x, c) => x - p[c]));
  let u = Math.atan2(p[1], p[0] - 520);
  for (let width = 0.1; width > 1e-9; width /= 2) {
    for (const candidate of [u - width, u + width]) if (at(candidate) < at(u)) u = candidate;
  }
  return at(u);
};

describe('the joint path', () => {
  it('fine rows: keeps to the true ring far within what is allowed, with no knot of its own', async () => {
    const { joints } = await pathThrough(pathOf(ring, 0, 3, 300), 0.02);
    expect(joints.inserted).toBe(0);
    expect(largestFrom(joints, fromRing)).toBeLessThan(1e-4);
  });

  it('coarse rows: puts knots in until the tool keeps to its path', async () => {
    const rows = pathOf(ring, 0, 3, 9);
    const loose = await pathThrough(rows, 1e9);
    expect(loose.joints.inserted).toBe(0);
    expect(loose.joints.largestDistance).toBeGreaterThan(1e-3);
    const tight = await pathThrough(rows, 1e-5);
    expect(tight.joints.inserted).toBeGreaterThan(0);
    expect(tight.joints.largestDistance).toBeLessThanOrEqual(1e-5);
    // Rows stay knots, with the angles they had.
    const { spline, knotOfRow } = tight.joints.pieces[0];
    rows.s.forEach((s, i) => {
      expect(spline.knot[knotOfRow[i]]).toBe(s);
      for (let j = 0; j < 6; j++) expect(spline.value[6 * knotOfRow[i] + j]).toBe(tight.angle[6 * i + j]);
    });
  });

  it('halving the rows divides the stray by about sixteen', async () => {
    const stray = async (m: number): Promise<number> =>
      (await pathThrough(pathOf(ring, 0, 3, m), 1e9)).joints.largestDistance;
    const [coarse, fine] = [await stray(33), await stray(65)];
    expect(coarse / fine).toBeGreaterThan(10);
  });

  it('a corner: two pieces that share the row, each following its own side; the row has the derivatives of the later one', async () => {
    // Along x, then along y.
    const corner = (u: number) => ({ p: [500 + Math.min(u, 0), Math.max(u, 0), 200], axis: [0, 0, -1] });
    const m = 81;
    const path = pathOf(corner, -20, 20, m);
    path.breaks[40] = 1;
    const { joints } = await pathThrough(path, 0.02);
    expect(joints.pieces.map(({ run }) => run)).toEqual([
      { from: 0, to: 40 },
      { from: 40, to: 80 },
    ]);
    const fromCorner = (p: number[]): number =>
      Math.min(Math.hypot(p[1], p[2] - 200), Math.hypot(p[0] - 500, p[2] - 200));
    expect(largestFrom(joints, fromCorner)).toBeLessThan(1e-6);
    const { first } = derivativesAtRows(joints, m, 6);
    const after = joints.pieces[1].spline.slope.slice(0, 6);
    expect(Array.from(first.slice(240, 246))).toEqual(Array.from(after));
    // Without the break the spline overshoots.
    const smooth = await pathThrough({ ...path, breaks: new Uint8Array(m) }, 1e9);
    expect(largestFrom(smooth.joints, fromCorner)).toBeGreaterThan(1e-3);
  });
});
