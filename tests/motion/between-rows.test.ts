// Limits between rows, judged by exact functions on a grid ten times finer: the saddle rim of the reference sheet with its
// head 150 mm out along the radial normals, and a head path with steps of curvature where lines run into arcs.
import { describe, expect, it } from 'vitest';
import type { MotionLimits } from '../../src/model/timing.ts';
import { solveSpeed } from '../../src/motion/solve-speed.ts';
import { straightLimits } from './motion-limits.ts';

const FINER = 10;

/** Values on the fine grid: arc length, y' and y'' of head and turn, 3 each a point. */
interface Fine {
  readonly s: Float64Array;
  readonly headD1: Float64Array;
  readonly headD2: Float64Array;
  readonly turnD1: Float64Array;
  readonly turnD2: Float64Array;
}

/** Every tenth point of the fine grid as rows, driven under limits of which several bind. */
function rowsOf(fine: Fine, changes: Partial<MotionLimits>): MotionLimits {
  const pick = (values: Float64Array) => values.filter((_, k) => Math.floor(k / 3) % FINER === 0);
  const s = fine.s.filter((_, i) => i % FINER === 0);
  return {
    ...straightLimits(s.length, 1),
    s,
    headD1: pick(fine.headD1),
    headD2: pick(fine.headD2),
    turnD1: pick(fine.turnD1),
    turnD2: pick(fine.turnD2),
    ...changes,
  };
}

/** Largest share used of each limit on the fine grid. */
function sharesUsed(fine: Fine, limits: MotionLimits, speed: Float64Array) {
  const used = { headSpeed: 0, headAcceleration: 0, headTurn: 0, headTurnAcceleration: 0 };
  const size = (a: Float64Array, b: Float64Array, i: number, u: number, x: number) =>
    Math.hypot(...[0, 1, 2].map((k) => a[3 * i + k] * u + b[3 * i + k] * x));
  for (let i = 0; i < fine.s.length - 1; i++) {
    const row = Math.floor(i / FINER);
    const [from, to] = [limits.s[row], limits.s[row + 1]];
    const [x0, x1] = [speed[row] ** 2, speed[row + 1] ** 2];
    const u = (x1 - x0) / (2 * (to - from));
    const x = Math.max(0, x0 + ((x1 - x0) * (fine.s[i] - from)) / (to - from));
    const v = Math.sqrt(x);
    used.headSpeed = Math.max(used.headSpeed, size(fine.headD1, fine.headD2, i, v, 0) / limits.headSpeed);
    used.headTurn = Math.max(used.headTurn, size(fine.turnD1, fine.turnD2, i, v, 0) / limits.headTurn);
    const pull = size(fine.headD1, fine.headD2, i, u, x) / limits.headAcceleration;
    const twist = size(fine.turnD1, fine.turnD2, i, u, x) / limits.headTurnAcceleration;
    used.headAcceleration = Math.max(used.headAcceleration, pull);
    used.headTurnAcceleration = Math.max(used.headTurnAcceleration, twist);
  }
  return used;
}

/** Saddle rim z = A cos 2 phi on a cylinder of radius R, head L out along the radius; derivatives by arc length in closed form. */
function saddle(rows: number): Fine {
  const [R, A, L] = [40, 8, 150];
  const n = (rows - 1) * FINER + 1;
  const g = (phi: number) => Math.sqrt(R * R + 4 * A * A * Math.sin(2 * phi) ** 2);
  const fine = {
    s: new Float64Array(n),
    headD1: new Float64Array(3 * n),
    headD2: new Float64Array(3 * n),
    turnD1: new Float64Array(3 * n),
    turnD2: new Float64Array(3 * n),
  };
  const step = (2 * Math.PI) / (n - 1);
  for (let i = 0; i < n; i++) {
    const phi = i * step;
    const [size, change] = [g(phi), (4 * A * A * Math.sin(4 * phi)) / g(phi)];
    // Simpson's rule over each step.
    if (i > 0) fine.s[i] = fine.s[i - 1] + (step / 6) * (g(phi - step) + 4 * g(phi - step / 2) + size);
    const first = [-(R + L) * Math.sin(phi), (R + L) * Math.cos(phi), -2 * A * Math.sin(2 * phi)];
    const second = [-(R + L) * Math.cos(phi), -(R + L) * Math.sin(phi), -4 * A * Math.cos(2 * phi)];
    for (let k = 0; k < 3; k++) {
      fine.headD1[3 * i + k] = first[k] / size;
      fine.headD2[3 * i + k] = second[k] / size ** 2 - (first[k] * change) / size ** 3;
    }
    fine.turnD1[3 * i + 2] = 1 / size;
    fine.turnD2[3 * i + 2] = -change / size ** 3;
  }
  return fine;
}

/** A head that goes straight, round arcs of 20 mm by turns, and straight again; 10 mm each. */
function arcs(rows: number): Fine {
  const n = (rows - 1) * FINER + 1;
  const fine = {
    s: Float64Array.from({ length: n }, (_, i) => (60 * i) / (n - 1)),
    headD1: new Float64Array(3 * n),
    headD2: new Float64Array(3 * n),
    turnD1: new Float64Array(3 * n),
    turnD2: new Float64Array(3 * n),
  };
  fine.s.forEach((s, i) => {
    const [bend, on] = [Math.floor(s / 10 + 1e-9), s % 20 >= 10 - 1e-9];
    const angle = (Math.floor(bend / 2) * 10 + (on ? s - bend * 10 : 0)) / 20;
    const curvature = on ? 1 / 20 : 0;
    fine.headD1.set([Math.cos(angle), Math.sin(angle), 0], 3 * i);
    fine.headD2.set([-curvature * Math.sin(angle), curvature * Math.cos(angle), 0], 3 * i);
  });
  return fine;
}

describe('limits between rows', () => {
  it.each([
    { headSpeed: 180 },
    { headAcceleration: 500 },
    { headTurn: 1 },
    { headTurnAcceleration: 0.3 },
    { headSpeed: 190, headAcceleration: 700, headTurn: 1.1, headTurnAcceleration: 0.5 },
  ])('are kept within 0.1 %% on the saddle rim at about 0.5 mm under %o', async (changes) => {
    const fine = saddle(523);
    const limits = rowsOf(fine, changes);
    const { speed } = await solveSpeed(limits);
    const used = sharesUsed(fine, limits, speed);
    for (const share of Object.values(used)) expect(share).toBeLessThan(1.001);
    // And each limit that was tightened is really reached.
    for (const name of Object.keys(changes).slice(0, 1)) expect(used[name as keyof typeof used]).toBeGreaterThan(0.99);
  });

  it('are kept where lines run into arcs', async () => {
    const fine = arcs(601);
    const limits = rowsOf(fine, { headAcceleration: 60 });
    const { speed } = await solveSpeed(limits);
    expect(sharesUsed(fine, limits, speed).headAcceleration).toBeLessThan(1.001);
    // Round the arcs v = sqrt(A r), less what the acceleration along the way takes.
    const middle = limits.s.findIndex((s) => s >= 15);
    expect(speed[middle]).toBeCloseTo(Math.sqrt(60 * 20), 2);
  });
});
