// The whole stage on rings and lines made by formula: does the tool go where it should, and is what cannot be done named.
import { describe, expect, it } from 'vitest';
import { chainOf, forward, framesSize, poseError } from '../../src/arm/chain-kinematics.ts';
import { secondAtKnot, valueOnSpan } from '../../src/arm/channel-spline.ts';
import { type PostureResult, type PostureSettings, solvePosture } from '../../src/arm/solve-posture.ts';
import { flangePose, flangeToTool, type ToolPath } from '../../src/arm/tool-path.ts';
import { margins } from '../../src/arm/margins.ts';
import { fromAxes, multiply } from '../../src/geometry/quaternion.ts';
import { invertRigid, movePoints, rigidFromAngles, rigidQuaternion } from '../../src/geometry/rigid.ts';
import type { Arm, OrthoParallel, SerialChain } from '../../src/model/arm.ts';
import type { Head } from '../../src/model/head.ts';
import { armOf, axesOf, benchmark, geometric, P3, P4 } from './sample-arms.ts';
import { idleTask, pathOf, wavyRing } from './synthetic-path.ts';

const DEG = Math.PI / 180;
const head: Head = {
  id: 'head',
  title: 'Head of a test',
  flangeToHead: { position: [60, 0, 90], rotation: [0, 40 * DEG, 0] },
  mass: 3,
  envelope: [],
  umbilical: null,
};
const ranges = [
  [-170, 170],
  [-100, 135],
  [-70, 250],
  [-200, 200],
  [-125, 125],
  [-400, 400],
];
const arm = armOf(geometric(P3), {
  axes: axesOf(6).map((axis, j) => ({ ...axis, min: ranges[j][0] * DEG, max: ranges[j][1] * DEG })),
  home: [0, 0, 90 * DEG, 0, 60 * DEG, 0],
});
const settings: PostureSettings = { turn: 'constant', turns: 36, turnRate: 0.2, speed: 50, standoff: 150 };
const ring = wavyRing([900, 0, 500], 80, 8, 0.2);
/** One round of 240 rows, ten before it and ten after. */
const closedRing = (): ToolPath => {
  const step = (2 * Math.PI) / 240;
  const path = pathOf(ring, -10 * step, 2 * Math.PI + 10 * step, 261, { from: 10, to: 250 });
  const s = path.s.map((x) => x - path.s[10]);
  return { ...path, s };
};

/** Largest distance (mm) and angle (rad) between the tool and its path over the rows. */
function strays(of: Arm, path: ToolPath, { posture }: PostureResult): number[] {
  const chain = chainOf(of);
  const frames = new Float64Array(framesSize(chain));
  const toolToFlange = invertRigid(flangeToTool(head, settings.standoff));
  const pose = new Float64Array(12);
  const error = new Float64Array(6);
  const worst = [0, 0];
  for (let i = 0; i < path.count; i++) {
    if (Number.isNaN(posture.turn[i])) continue;
    flangePose(path.position, 3 * i, path.frame, 4 * i, posture.turn[i], toolToFlange, pose, 0);
    forward(chain, posture.angle, posture.axes * i, frames);
    poseError(frames, 12 * posture.axes, pose, 0, error);
    worst[0] = Math.max(worst[0], Math.hypot(error[0], error[1], error[2]));
    worst[1] = Math.max(worst[1], Math.hypot(error[3], error[4], error[5]));
  }
  return worst;
}

const solve = (path: ToolPath, changes: Partial<PostureSettings> = {}, of: Arm = arm, by: Head = head) =>
  solvePosture(of, by, path, { ...settings, ...changes }, idleTask);

describe('a closed ring within reach', () => {
  it.each(['constant', 'free'] as const)(
    'turn %s: stands over every row, closes, within limits, smooth',
    async (turn) => {
      const path = closedRing();
      const result = await solve(path, { turn });
      const { posture, joints } = result;
      expect(posture.blocked).toEqual([]);
      expect(posture.closure).toBe('same');
      const [distance, angle] = strays(arm, path, result);
      expect(distance).toBeLessThan(1e-6);
      expect(angle).toBeLessThan(1e-9);
      for (let j = 0; j < 6; j++) {
        for (let i = 0; i < path.count; i++) {
          expect(posture.angle[6 * i + j]).toBeGreaterThanOrEqual(arm.axes[j].min - 1e-9);
          expect(posture.angle[6 * i + j]).toBeLessThanOrEqual(arm.axes[j].max + 1e-9);
        }
        expect(Math.abs(posture.angle[6 * 250 + j] - posture.angle[6 * 10 + j])).toBeLessThan(1e-7);
      }
      expect(joints.largestDistance).toBeLessThanOrEqual(0.02);
      expect(joints.largestAngle).toBeLessThanOrEqual(0.02 * DEG);
      // C2: the second derivative at each inner knot is the same from both sides.
      const { spline } = joints.pieces[0];
      const ahead = new Float64Array(6);
      for (let k = 1; k + 1 < spline.knot.length; k++) {
        secondAtKnot(spline, k, ahead, 0);
        const head = { ...spline, knot: spline.knot.slice(0, k + 1) };
        const behind = new Float64Array(6);
        secondAtKnot(head, k, behind, 0);
        for (let j = 0; j < 6; j++) expect(Math.abs(ahead[j] - behind[j])).toBeLessThan(1e-9);
      }
    },
  );

  it('derivatives are those of the angles: central differences of the spline agree', async () => {
    const { posture, joints } = await solve(closedRing());
    const { spline, knotOfRow, run } = joints.pieces[0];
    const before = new Float64Array(6);
    const after = new Float64Array(6);
    for (let i = 20; i < 240; i += 20) {
      const k = knotOfRow[i - run.from];
      const h = 1e-4;
      valueOnSpan(spline, k - 1, 1 - h / (spline.knot[k] - spline.knot[k - 1]), before, 0);
      valueOnSpan(spline, k, h / (spline.knot[k + 1] - spline.knot[k]), after, 0);
      for (let j = 0; j < 6; j++) {
        const at = posture.angle[6 * i + j];
        expect((after[j] - before[j]) / (2 * h)).toBeCloseTo(posture.angleD1[6 * i + j], 8);
        expect((after[j] - 2 * at + before[j]) / h ** 2).toBeCloseTo(posture.angleD2[6 * i + j], 5);
      }
    }
  });

  it('stands the same wherever the turns of the frames begin, and on the way back', async () => {
    const path = closedRing();
    const plain = await solve(path);
    const shifted: ToolPath = { ...path, frame: turned(path, 7 * 10 * DEG) };
    const other = await solve(shifted);
    const reversed = await solve(backward(path));
    for (let i = 0; i < path.count; i++) {
      for (let j = 0; j < 6; j++) {
        // The refined turn is found to 0.005 degrees either way.
        expect(Math.abs(other.posture.angle[6 * i + j] - plain.posture.angle[6 * i + j])).toBeLessThan(2e-3);
        expect(
          Math.abs(reversed.posture.angle[6 * (path.count - 1 - i) + j] - plain.posture.angle[6 * i + j]),
        ).toBeLessThan(2e-3);
      }
    }
  });

  it('stands the same when arm and part are moved together', async () => {
    const path = closedRing();
    const plain = await solve(path);
    const base = { position: [300, -200, 150], rotation: [0.4, -0.7, 2.1] } as const;
    const move = rigidFromAngles(base.position, base.rotation);
    const quaternion = rigidQuaternion(move);
    const frame = new Float64Array(path.frame.length);
    for (let k = 0; k < frame.length; k += 4) multiply(quaternion, 0, path.frame, k, frame, k);
    const moved = await solve({ ...path, position: movePoints(move, path.position), frame }, {}, { ...arm, base });
    for (let k = 0; k < plain.posture.angle.length; k++) {
      // The refined turn is found by comparing costs, whose rounding decides between turns 1e-4 apart.
      expect(Math.abs(moved.posture.angle[k] - plain.posture.angle[k])).toBeLessThan(1e-3);
    }
    const fixed = await solve(path, { turn: 0.3 });
    const both = await solve(
      { ...path, position: movePoints(move, path.position), frame },
      { turn: 0.3 },
      { ...arm, base },
    );
    for (let k = 0; k < fixed.posture.angle.length; k++) {
      expect(Math.abs(both.posture.angle[k] - fixed.posture.angle[k])).toBeLessThan(1e-9);
    }
    const here = await margins(arm, head, fixed.posture.angle, idleTask);
    const there = await margins({ ...arm, base }, head, both.posture.angle, idleTask);
    for (let i = 0; i < path.count; i++) {
      expect(there.reach[i]).toBeCloseTo(here.reach[i], 6);
      expect(there.singularity[i]).toBeCloseTo(here.singularity[i], 9);
    }
  });

  it('keeps a fixed turn to the last digit', async () => {
    const { posture } = await solve(closedRing(), { turn: 0.3 });
    expect(posture.turn.every((x) => x === 0.3)).toBe(true);
  });
});

describe('what the arm cannot do', () => {
  it('a ring half beyond reach: the stretch is named, with the millimetres that are missing, the rest stands', async () => {
    const path = pathOf(wavyRing([1450, 0, 500], 250, 8, 0.2), 0, 2 * Math.PI, 200);
    const result = await solve(path);
    const reach = result.posture.blocked.filter((stretch) => stretch.why === 'out-of-reach');
    expect(reach.length).toBeGreaterThan(0);
    expect(Math.max(...reach.map((stretch) => stretch.excess))).toBeGreaterThan(50);
    const lost = result.posture.turn.filter(Number.isNaN).length;
    expect(lost).toBe(result.posture.blocked.reduce((sum, { firstRow, lastRow }) => sum + lastRow - firstRow + 1, 0));
    expect(lost).toBeLessThan(150);
    expect(strays(arm, path, result)[0]).toBeLessThan(1e-6);
    for (const { firstRow, lastRow, from, to } of result.posture.blocked) {
      expect([from, to]).toEqual([path.s[firstRow], path.s[lastRow]]);
    }
  });

  it('a narrow axis: the limit is named by its axis', async () => {
    const narrow = {
      ...arm,
      axes: arm.axes.map((axis, j) => (j === 0 ? { ...axis, min: -3 * DEG, max: 3 * DEG } : axis)),
    };
    const { posture } = await solve(closedRing(), {}, narrow);
    expect(posture.blocked.length).toBeGreaterThan(0);
    expect(posture.blocked.every(({ why, axis }) => why === 'joint-limit' && axis === 0)).toBe(true);
    expect(Math.max(...posture.blocked.map(({ excess }) => excess))).toBeLessThan(10 * DEG);
  });

  it('limits of zero width: nothing stands, and an axis is named', async () => {
    const rigid = { ...arm, axes: arm.axes.map((axis) => ({ ...axis, min: 0.1, max: 0.1 })) };
    const { posture } = await solve(closedRing(), {}, rigid);
    expect(posture.turn.every(Number.isNaN)).toBe(true);
    expect(posture.closure).toBe('other');
    expect(posture.blocked.every(({ why, axis }) => why === 'joint-limit' && axis >= 0)).toBe(true);
  });

  it('an umbilical that is too short for a head that goes round', async () => {
    // Frames that follow travel: the last axis has to make one whole turn.
    const path = followTravel(closedRing());
    const free = await solve(path, { turn: 0 });
    expect(free.posture.closure).toBe('turns');
    expect([...free.posture.closureTurns].map(Math.abs)).toEqual([0, 0, 0, 0, 0, 1]);
    const tied: Head = { ...head, umbilical: { neutral: 0, limit: 100 * DEG } };
    const { posture } = await solve(path, { turn: 0 }, arm, tied);
    expect(posture.blocked.some(({ why, axis }) => why === 'joint-limit' && axis === 5)).toBe(true);
  });
});

describe('a free turn', () => {
  it('lets frames that follow travel go round under a short umbilical, evenly and without bunching', async () => {
    const tied: Head = { ...head, umbilical: { neutral: 0, limit: 100 * DEG } };
    const path = followTravel(closedRing());
    const result = await solve(path, { turn: 'free' }, arm, tied);
    const { posture } = result;
    expect(posture.blocked).toEqual([]);
    expect(posture.closure).toBe('same');
    expect(strays(arm, path, result)[0]).toBeLessThan(1e-6);
    // The tool turns back against its frames: one whole turn over the round.
    expect(Math.abs(posture.turn[250] - posture.turn[10])).toBeCloseTo(2 * Math.PI, 9);
    for (let i = 0; i < path.count; i++)
      expect(Math.abs(posture.angle[6 * i + 5])).toBeLessThanOrEqual(100 * DEG + 1e-9);
    const length = path.s[250] - path.s[10];
    const rate = Math.max(
      ...path.s.slice(1).map((s, i) => Math.abs(posture.turn[i + 1] - posture.turn[i]) / (s - path.s[i])),
    );
    expect(rate).toBeLessThan((2 * 2 * Math.PI) / length);
  });
});

describe('other arms', () => {
  it('a shoulder offset', async () => {
    const small = armOf(P4, { axes: axesOf(6, 3.1) });
    const path = pathOf(wavyRing([300, 100, 150], 40, 5, 0.1), 0, 2 * Math.PI, 200, { from: 0, to: 199 });
    const result = await solve(path, { standoff: 60 }, small, {
      ...head,
      flangeToHead: { position: [20, 0, 30], rotation: [0, 0.3, 0] },
    });
    expect(result.posture.blocked).toEqual([]);
    expect(result.posture.closure).toBe('same');
  });

  it('a general chain by the numeric solver', async () => {
    const chain = armOf(benchmark, { axes: axesOf(6, 3) });
    const path = pathOf(wavyRing([450, 150, -150], 40, 5, 0.1), 0, 2 * Math.PI, 120, { from: 0, to: 119 });
    const plainHead: Head = { ...head, flangeToHead: { position: [0, 0, 60], rotation: [0, 0, 0] } };
    const result = await solvePosture(chain, plainHead, path, { ...settings, turns: 12, standoff: 40 }, idleTask);
    expect(result.posture.blocked).toEqual([]);
    expect(result.posture.closure).toBe('same');
    expect(result.joints.largestDistance).toBeLessThanOrEqual(0.02);
  });

  it('the numeric solver blocks the rows that the closed form blocks, also where the path comes into reach on the way', async () => {
    const far = (u: number) => ({ p: [2030 - 5 * u, 100, 500], axis: [Math.SQRT1_2, 0, -Math.SQRT1_2] });
    const path = pathOf(far, 0, 100, 75);
    const turn = { turn: 'constant' as const, turns: 6 };
    const closed = await solve(path, turn);
    const numeric = await solve(path, turn, { ...arm, model: asChain(geometric(P3)) });
    const lost = (result: PostureResult): number[] =>
      [...result.posture.turn].flatMap((t, i) => (Number.isNaN(t) ? [i] : []));
    expect(lost(closed).length).toBeGreaterThan(3);
    expect(lost(closed).length).toBeLessThan(60);
    expect(lost(closed).length % 32).not.toBe(0);
    expect(lost(numeric)).toEqual(lost(closed));
    expect(numeric.posture.blocked[0].why).toBe(closed.posture.blocked[0].why);
  });

  it('goes through a straight wrist without turning axis 4', async () => {
    // The flange looks straight ahead in the middle of a sweep of its axis in one plane: axis 5 changes its sign.
    const bare: Head = { ...head, flangeToHead: { position: [0, 0, 0], rotation: [0, 0, 0] } };
    const path = pathOf((u) => ({ p: [900, 0, 445 + 300], axis: [Math.cos(u), 0, Math.sin(u)] }), -0.9, 0.9, 361);
    const spaced = { ...path, s: path.s.map((_, i) => 0.5 * i), frame: uprightFrames(361) };
    const result = await solve(spaced, { standoff: 0, turn: 0 }, arm, bare);
    expect(result.posture.blocked).toEqual([]);
    const four = result.posture.angle.filter((_, k) => k % 6 === 3);
    const five = result.posture.angle.filter((_, k) => k % 6 === 4);
    expect(Math.max(...four) - Math.min(...four)).toBeLessThan(1e-6);
    expect(Math.min(...five) * Math.max(...five)).toBeLessThan(0);
  });
});

/** The same geometry told as a chain. */
function asChain({ a1, a2, b, c1, c2, c3, c4 }: OrthoParallel): SerialChain {
  const at = (x: number, y: number, z: number): number[] => [1, 0, 0, 0, 1, 0, 0, 0, 1, x, y, z];
  const places = [at(0, 0, 0), at(a1, b, c1), at(0, 0, c2), at(a2, 0, c3), at(0, 0, 0), at(0, 0, 0)];
  const joints = places.map((origin, j) => ({
    origin,
    axis: j % 3 === 0 || j === 5 ? ([0, 0, 1] as const) : ([0, 1, 0] as const),
  }));
  return { kind: 'chain', joints, flange: at(0, 0, c4) };
}

/** Frames turned about their own z axis. */
function turned(path: ToolPath, by: number): Float64Array {
  const frame = new Float64Array(path.frame.length);
  const [c, s] = [Math.cos(by / 2), Math.sin(by / 2)];
  for (let k = 0; k < frame.length; k += 4) {
    const [w, x, y, z] = path.frame.subarray(k, k + 4);
    frame.set([c * w - s * z, c * x + s * y, c * y - s * x, c * z + s * w], k);
  }
  return frame;
}

function backward(path: ToolPath): ToolPath {
  const m = path.count;
  const flip = (values: Float64Array, width: number): Float64Array =>
    values.map((_, k) => values[width * (m - 1 - Math.floor(k / width)) + (k % width)]);
  const round = path.round && { from: m - 1 - path.round.to, to: m - 1 - path.round.from };
  return {
    ...path,
    s: flip(path.s, 1).map((x) => path.s[m - 1] - x),
    position: flip(path.position, 3),
    frame: flip(path.frame, 4),
    round,
  };
}

/** The ring's frames with x along travel. */
function followTravel(path: ToolPath): ToolPath {
  const frame = new Float64Array(path.frame.length);
  for (let i = 0; i < path.count; i++) {
    const by = Math.PI / 2 + ((i - 10) * 2 * Math.PI) / 240;
    const one = turned({ ...path, frame: path.frame.slice(4 * i, 4 * i + 4) }, -by);
    frame.set(one, 4 * i);
  }
  return { ...path, frame };
}

/** Frames of a beam that sweeps in the x z plane, y kept. */
function uprightFrames(m: number): Float64Array {
  const frame = new Float64Array(4 * m);
  for (let i = 0; i < m; i++) {
    const u = -0.9 + (1.8 * i) / (m - 1);
    const z = Float64Array.of(Math.cos(u), 0, Math.sin(u));
    const y = Float64Array.of(0, 1, 0);
    const x = Float64Array.of(z[2], 0, -z[0]);
    fromAxes(x, 0, y, 0, z, 0, frame, 4 * i);
  }
  return frame;
}
