// From the records of path and aim to poses in the arm's base frame.
import { describe, expect, it } from 'vitest';
import { flangePose, flangeToTool, toolPath } from '../../src/arm/tool-path.ts';
import { toMatrix } from '../../src/geometry/quaternion.ts';
import { invertRigid, movePoints, rigidFromAngles } from '../../src/geometry/rigid.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { Path } from '../../src/model/path.ts';

const half = Math.SQRT1_2;
/** Three stations on a closed seam of 30 mm, five rows: run-in, once round, one more. */
const aim = {
  tcp: Float64Array.of(1, 2, 3, 4, 5, 6, 7, 8, 9),
  frame: Float64Array.of(1, 0, 0, 0, half, half, 0, 0, -half, 0, -half, 0),
} as unknown as Aim;
const path = {
  closed: true,
  length: 30,
  corner: Float64Array.of(0, 0.5, 0),
  rows: { count: 5, s: Float64Array.of(-10, 0, 10, 20, 30), station: Uint32Array.of(2, 0, 1, 2, 0) },
} as unknown as Path;
const placement = { position: [100, 200, 300], rotation: [0.1, 0.2, 0.3] } as const;

describe('the tool path', () => {
  it('puts stations where the job places the part, row by row, with one sign of the quaternion', () => {
    const tool = toolPath(path, aim, placement);
    const place = rigidFromAngles(placement.position, placement.rotation);
    const moved = movePoints(place, aim.tcp);
    [2, 0, 1, 2, 0].forEach((station, i) => {
      for (let c = 0; c < 3; c++) expect(tool.position[3 * i + c]).toBeCloseTo(moved[3 * station + c], 12);
      const expected = new Float64Array(9);
      const found = new Float64Array(9);
      toMatrix(aim.frame, 4 * station, expected, 0);
      toMatrix(tool.frame, 4 * i, found, 0);
      for (let r = 0; r < 3; r++) {
        for (let c = 0; c < 3; c++) {
          const product = [0, 1, 2].reduce((sum, k) => sum + place.rotation[3 * r + k] * expected[3 * k + c], 0);
          expect(found[3 * r + c]).toBeCloseTo(product, 12);
        }
      }
      if (i > 0) {
        const d = [0, 1, 2, 3].reduce((sum, c) => sum + tool.frame[4 * i + c] * tool.frame[4 * i - 4 + c], 0);
        expect(d).toBeGreaterThanOrEqual(-1e-12);
      }
    });
    expect([...tool.breaks]).toEqual([0, 0, 1, 0, 0]);
    expect(tool.round).toEqual({ from: 1, to: 4 });
  });

  it('has no round on an open seam, nor where the round is not driven to its end', () => {
    expect(toolPath({ ...path, closed: false }, aim, placement).round).toBeNull();
    const short = { ...path, rows: { ...path.rows, count: 4 } };
    expect(toolPath(short, aim, placement).round).toBeNull();
  });

  it('the flange carries the tool: flange pose times flange-to-tool is the tool frame turned about its own z', () => {
    const head = { flangeToHead: { position: [10, 20, 30], rotation: [0.3, -0.2, 0.5] } } as const;
    const toTool = flangeToTool(head, 150);
    const pose = new Float64Array(12);
    flangePose(aim.tcp, 3, aim.frame, 4, 0.7, invertRigid(toTool), pose, 0);
    const tip = [0, 1, 2].map(
      (r) => pose[9 + r] + [0, 1, 2].reduce((sum, k) => sum + pose[3 * r + k] * toTool.translation[k], 0),
    );
    expect(tip[0]).toBeCloseTo(4, 10);
    expect(tip[1]).toBeCloseTo(5, 10);
    expect(tip[2]).toBeCloseTo(6, 10);
    const frame = new Float64Array(9);
    toMatrix(aim.frame, 4, frame, 0);
    for (let r = 0; r < 3; r++) {
      const column = (c: number): number =>
        [0, 1, 2].reduce((sum, k) => sum + pose[3 * r + k] * toTool.rotation[3 * k + c], 0);
      expect(column(0)).toBeCloseTo(Math.cos(0.7) * frame[3 * r] + Math.sin(0.7) * frame[3 * r + 1], 12);
      expect(column(1)).toBeCloseTo(Math.cos(0.7) * frame[3 * r + 1] - Math.sin(0.7) * frame[3 * r], 12);
      expect(column(2)).toBeCloseTo(frame[3 * r + 2], 12);
    }
    // The head point lies the standoff before the tip.
    const { translation } = rigidFromAngles(head.flangeToHead.position, head.flangeToHead.rotation);
    expect(Math.hypot(...[0, 1, 2].map((c) => toTool.translation[c] - translation[c]))).toBeCloseTo(150, 10);
  });
});
