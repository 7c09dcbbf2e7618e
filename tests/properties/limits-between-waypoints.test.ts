// Limits between waypoints, on the sample jobs' own data: each job is planned twice, the second time with ten stations for
// one. Speeds come from the first plan, and what head and spot do between its waypoints from the second.
import { expect, test } from 'vitest';
import type { JobFile } from '../../src/model/job-file.ts';
import type { Limits } from '../../src/model/job.ts';
import type { SeamPlan } from '../../src/planner/plan.ts';
import { planSample } from '../planner/plan-sample.ts';

const FINER = 10;

/** Figure to reach: exceeded by no more than 0.1 %. */
const EXCESS = 1.001;

/**
 * Within 1 mm of a place where a line runs into an arc, what is measured with has an error of its own: differences of the
 * finer plan reach across the joints of both borders there. 1.8 % was measured at one station; looked at with 40 stations
 * for one that place is within 0.05 %.
 */
const EXCESS_AT_JUMPS = 1.02;

interface Used {
  away: number;
  atJumps: number;
}

/** Largest share used of each limit at the fine plan's stations, under the coarse plan's speeds (v^2 linear between rows). */
function sharesUsed(coarse: SeamPlan, fine: SeamPlan, limits: Limits): Record<string, Used> {
  const { rows } = coarse.path;
  const { speed } = coarse.timing;
  const { aim, path } = fine;
  const used: Record<string, Used> = {};
  const jump = jumpsOf(path.curvature);
  for (let i = 0; i + 1 < rows.count; i++) {
    const [x0, x1] = [speed[i] ** 2, speed[i + 1] ** 2];
    const u = (x1 - x0) / (2 * (rows.s[i + 1] - rows.s[i]));
    for (let k = 0; k <= FINER; k++) {
      const station = (rows.station[i] * FINER + k) % path.count;
      const x = x0 + ((x1 - x0) * k) / FINER;
      const size = (a: Float64Array, b: Float64Array, f: number, g: number): number =>
        Math.hypot(...[0, 1, 2].map((c) => f * a[3 * station + c] + g * b[3 * station + c]));
      const shares = {
        spotAcceleration: Math.abs(u) / limits.spotAcceleration,
        normalAcceleration: (path.curvature[station] * x) / limits.normalAcceleration,
        headSpeed: size(aim.headD1, aim.headD2, Math.sqrt(x), 0) / limits.headSpeed,
        headTurn: size(aim.turnD1, aim.turnD2, Math.sqrt(x), 0) / limits.headTurn,
        headAcceleration: size(aim.headD1, aim.headD2, u, x) / limits.headAcceleration,
        headTurnAcceleration: size(aim.turnD1, aim.turnD2, u, x) / limits.headTurnAcceleration,
      };
      const where = jump[station] ? 'atJumps' : 'away';
      for (const [name, share] of Object.entries(shares)) {
        used[name] ??= { away: 0, atJumps: 0 };
        used[name][where] = Math.max(used[name][where], share);
      }
    }
  }
  return used;
}

/** 1 within 1 mm (20 fine stations) of a change of curvature by more than 0.002 / mm over two fine stations, 0.1 mm. */
function jumpsOf(curvature: Float64Array): Uint8Array {
  const n = curvature.length;
  const near = new Uint8Array(n);
  curvature.forEach((value, i) => {
    if (Math.abs(curvature[(i + 2) % n] - value) < 0.002) return;
    for (let k = -20; k <= 22; k++) near[(i + k + n) % n] = 1;
  });
  return near;
}

const changed = (spacing: number, limits: JobFile['limits']) => (file: JobFile) => ({
  ...file,
  limits,
  seams: file.seams.map((seam) => ({ ...seam, spacing_mm: spacing })),
});

const defaults = async (name: string): Promise<JobFile['limits']> => (await planSample(name)).jobFile.limits;

// What head and spot do between waypoints does not depend on the limits: each job is planned finely once.
const fines = new Map<string, Promise<SeamPlan>>();

function fineSeam(name: string, limits: JobFile['limits'], spacing: number): Promise<SeamPlan> {
  const known = fines.get(name) ?? planSample(name, changed(spacing, limits)).then(({ seams }) => seams[0]);
  fines.set(name, known);
  return known;
}

async function use(name: string, change: Partial<JobFile['limits']>): Promise<Record<string, Used>> {
  const limits = await defaults(name);
  const plan = await planSample(name, changed(0.5, { ...limits, ...change }));
  const [coarse] = plan.seams;
  const fine = await fineSeam(name, limits, coarse.path.length / coarse.path.count / FINER);
  expect(fine.path.count).toBe(FINER * coarse.path.count);
  return sharesUsed(coarse, fine, plan.job.limits);
}

test.each(['stadium', 'dome-pair', 'crossing-cylinders', 'wave-pod', 'tide-pod', 'saddle-rim'])(
  '%s as its job is',
  async (name) => {
    for (const share of Object.values(await use(name, {}))) {
      expect(share.away).toBeLessThan(EXCESS);
      expect(share.atJumps).toBeLessThan(EXCESS);
    }
  },
  120_000,
);

// Tight limits, so that each is what holds the speed somewhere. Fitted surfaces are left out: differences over 0.05 mm
// show their jitter of some 0.003 deg, 150 mm above, and not the head's way.
const TIGHT = [
  ['headSpeed', { head_speed_mm_s: 90 }],
  ['headAcceleration', { head_acceleration_mm_s2: 150 }],
  ['headTurn', { head_turn_deg_s: 20 }],
  ['headTurnAcceleration', { head_turn_deg_s2: 40 }],
  ['normalAcceleration', { normal_acceleration_mm_s2: 30 }],
] as const;

test.each(
  ['dome-pair', 'crossing-cylinders', 'wave-pod'].flatMap((name) =>
    TIGHT.map(([limit, change]) => [name, limit, change] as const),
  ),
)(
  '%s under a tight limit: %s',
  async (name, limit, change) => {
    const used = await use(name, change);
    for (const share of Object.values(used)) {
      expect(share.away).toBeLessThan(EXCESS);
      expect(share.atJumps).toBeLessThan(EXCESS_AT_JUMPS);
    }
    expect(Math.max(used[limit].away, used[limit].atJumps)).toBeGreaterThan(0.95);
  },
  120_000,
);

test('flat lines and arcs, between whose waypoints the curvature jumps', async () => {
  const used = await use('stadium', { normal_acceleration_mm_s2: 30 });
  expect(used.normalAcceleration.away).toBeLessThan(EXCESS);
  expect(used.normalAcceleration.atJumps).toBeLessThan(EXCESS);
  expect(used.normalAcceleration.away).toBeGreaterThan(0.99);
});
