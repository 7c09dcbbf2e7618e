// A seam from its path to its heat in one call, with plain aim and limits; and paths that come back on themselves.
import { computeHeat } from '../../src/heat/compute-heat.ts';
import type { HeatSettings } from '../../src/heat/row-passes.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { EnergyDemand } from '../../src/model/energy-demand.ts';
import type { Heat } from '../../src/model/heat.ts';
import type { JobSeam } from '../../src/model/job.ts';
import { PHASES, type Path } from '../../src/model/path.ts';
import type { Task } from '../../src/model/task.ts';
import type { Timing } from '../../src/model/timing.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { LIMITS as MOTION, OPTICS, plainAim, SEAM } from '../motion/plain-seam.ts';
import { LIMITS, medium } from './known-media.ts';

export const SETTINGS: HeatSettings = { profile: 'gaussian', medium: medium(10), limits: LIMITS };

export interface HeatCase {
  readonly path: Path;
  readonly aim: Aim;
  readonly timing: Timing;
  readonly heat: Heat;
}

export async function heatOf(
  path: Path,
  changes: {
    readonly aim?: Partial<Aim>;
    readonly process?: Partial<JobSeam['process']>;
    readonly settings?: Partial<HeatSettings>;
    readonly timing?: (timing: Timing) => Timing;
    readonly ramp?: number;
    readonly task?: Task;
    readonly demand?: EnergyDemand;
  } = {},
): Promise<HeatCase> {
  const aim = { ...plainAim(path), ...changes.aim };
  const process = { ...SEAM.process, ...changes.process };
  const optics = { ...OPTICS, powerMin: 0, powerMax: 1000 };
  const plain = await timeSeam(
    path,
    aim,
    { process, ramp: changes.ramp ?? 3 },
    optics,
    MOTION,
    undefined,
    null,
    changes.demand,
  );
  const timing = changes.timing?.(plain) ?? plain;
  const heat = await computeHeat(path, aim, timing, { ...SETTINGS, ...changes.settings }, changes.task);
  return { path, aim, timing, heat };
}

/** An open path through points in a plane, normals up, as an open seam without run-in, from rows at even spacing. */
function planePath(points: readonly (readonly [number, number])[]): Path {
  const n = points.length;
  const s = new Float64Array(n);
  for (let i = 1; i < n; i++) {
    s[i] = s[i - 1] + Math.hypot(points[i][0] - points[i - 1][0], points[i][1] - points[i - 1][1]);
  }
  const tangent = new Float64Array(3 * n);
  for (let i = 0; i < n; i++) {
    const [a, b] = [points[Math.max(0, i - 1)], points[Math.min(n - 1, i + 1)]];
    const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
    tangent.set([(b[0] - a[0]) / length, (b[1] - a[1]) / length, 0], 3 * i);
  }
  // b = n x t = (-ty, tx, 0); k_g by differences.
  const bend = Float64Array.from({ length: n }, (_, i) => {
    const [p, q] = [3 * Math.max(0, i - 1), 3 * Math.min(n - 1, i + 1)];
    const turn = tangent[p] * tangent[q + 1] - tangent[p + 1] * tangent[q];
    return turn / (s[Math.min(n - 1, i + 1)] - s[Math.max(0, i - 1)]);
  });
  return {
    closed: false,
    length: s[n - 1],
    count: n,
    s,
    onSeam: new Uint8Array(n).fill(1),
    position: Float64Array.from({ length: 3 * n }, (_, k) => (k % 3 === 2 ? 0 : points[Math.floor(k / 3)][k % 3])),
    tangent,
    normal: Float64Array.from({ length: 3 * n }, (_, k) => (k % 3 === 2 ? 1 : 0)),
    curvature: bend.map(Math.abs),
    normalCurvature: new Float64Array(n),
    geodesicCurvature: bend,
    geodesicTorsion: new Float64Array(n),
    corner: new Float64Array(n),
    face: new Uint32Array(n),
    rows: {
      count: n,
      s: s.slice(),
      station: Uint32Array.from(s, (_, i) => i),
      phase: new Uint8Array(n).fill(PHASES.indexOf('weld')),
    },
  };
}

/** Two straight legs of `leg` mm, `apart` mm from each other, with a half circle between them. */
export function hairpin(leg: number, apart: number, spacing = 0.5): Path {
  const radius = apart / 2;
  const points: [number, number][] = [];
  const turn = Math.PI * radius;
  const total = 2 * leg + turn;
  const count = Math.round(total / spacing);
  for (let i = 0; i <= count; i++) {
    const at = (i * total) / count;
    if (at < leg) points.push([at, 0]);
    else if (at > leg + turn) points.push([2 * leg + turn - at, apart]);
    else {
      const angle = (at - leg) / radius - Math.PI / 2;
      points.push([leg + radius * Math.cos(angle), radius + radius * Math.sin(angle)]);
    }
  }
  return planePath(points);
}
