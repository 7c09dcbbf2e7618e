// The sample jobs planned end to end, from STEP at the default deflection, against the closed forms that the parts were
// modelled from (sample-parts/README.md) and against the energy balance P transmitted / v of the table that is written.
import Papa from 'papaparse';
import { beforeAll, describe, expect, test } from 'vitest';
import type { Plan, SeamPlan } from '../../src/planner/plan.ts';
import { renderOutputs } from '../../src/output/render-outputs.ts';
import { planSample } from '../planner/plan-sample.ts';

type Vector = readonly [number, number, number];

const unit = (x: number, y: number, z: number): Vector => {
  const l = Math.hypot(x, y, z);
  return [x / l, y / l, z / l];
};

/** What a sample's seam must be: normal and distance from the joint's surface, and bounds for them (deg, mm). */
interface Joint {
  readonly name: string;
  readonly normal: (p: Vector) => Vector;
  readonly off: (p: Vector) => number;
  readonly degrees: number;
}

const waveCircle = ([x, , z]: Vector): Vector => {
  const far = Math.hypot(x, z - 310);
  return [(330 * x) / far, 0, 310 + (330 * (z - 310)) / far];
};
const tideSlope = (x: number, y: number): readonly [number, number] => [
  x / 400 + (1.2 / 32) * Math.cos(x / 32) * Math.cos(y / 36),
  -y / 95 - (1.2 / 36) * Math.sin(x / 32) * Math.sin(y / 36) + 0.06,
];

// Source: normals of plane, cylinder, sphere, torus (do Carmo 1976, sec. 3-3), of a graph z(x, y) and of a ruled surface by
// the cross product of its partial derivatives. Figures to reach: 0.02 deg on analytic faces, 0.1 deg on free-form ones.
const JOINTS: readonly Joint[] = [
  { name: 'disc', normal: () => [0, 0, 1], off: (p) => p[2] - 6, degrees: 0.02 },
  { name: 'stadium', normal: () => [0, 0, 1], off: (p) => p[2] - 8, degrees: 0.02 },
  {
    name: 'crossing-cylinders',
    normal: ([, y, z]) => unit(0, y, z),
    off: ([, y, z]) => Math.hypot(y, z) - 40,
    degrees: 0.02,
  },
  { name: 'dome-pair', normal: (p) => unit(...p), off: (p) => Math.hypot(...p) - 60, degrees: 0.02 },
  {
    name: 'torus-ring',
    normal: ([x, y, z]) => {
      const r = Math.hypot(x, y);
      return unit((x / r) * (r - 50), (y / r) * (r - 50), z);
    },
    off: ([x, y, z]) => Math.hypot(Math.hypot(x, y) - 50, z) - 20,
    degrees: 0.02,
  },
  {
    name: 'wave-pod',
    normal: (p) => {
      const c = waveCircle(p);
      return unit(p[0] - c[0], p[1] - c[1], p[2] - c[2]);
    },
    off: (p) => {
      const c = waveCircle(p);
      return Math.hypot(p[0] - c[0], p[1] - c[1], p[2] - c[2]) - 80;
    },
    degrees: 0.02,
  },
  {
    name: 'saddle-rim',
    normal: ([x, y]) => {
      const [r, u] = [Math.hypot(x, y), Math.atan2(y, x)];
      const rise = (16 * Math.sin(2 * u)) / r;
      return unit(-rise * Math.sin(u), rise * Math.cos(u), 1);
    },
    off: ([x, y, z]) => z - 8 * Math.cos(2 * Math.atan2(y, x)),
    degrees: 0.1,
  },
  {
    name: 'tide-pod',
    normal: ([x, y]) => {
      const [a, b] = tideSlope(x, y);
      return unit(-a, -b, 1);
    },
    off: ([x, y, z]) => z - (42 + (x * x) / 800 - (y * y) / 190 + 1.2 * Math.sin(x / 32) * Math.cos(y / 36) + 0.06 * y),
    degrees: 0.1,
  },
];

const degreesBetween = (a: Vector, b: Vector): number => {
  const cross = Math.hypot(a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]);
  return (Math.atan2(cross, a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) * 180) / Math.PI;
};
const at = (values: Float64Array, i: number): Vector => [values[3 * i], values[3 * i + 1], values[3 * i + 2]];

describe.each(JOINTS)('$name', ({ name, normal, off, degrees }) => {
  let plan: Plan;
  let seam: SeamPlan;
  beforeAll(async () => {
    plan = await planSample(name);
    seam = plan.seams[0];
  }, 120_000);

  test(`stations lie on the joint, and their normals are its own within ${degrees} deg`, () => {
    const { path } = seam;
    let [turned, away] = [0, 0];
    for (let i = 0; i < path.count; i++) {
      turned = Math.max(turned, degreesBetween(at(path.normal, i), normal(at(path.position, i))));
      away = Math.max(away, Math.abs(off(at(path.position, i))));
    }
    expect(path.count).toBeGreaterThan(250);
    expect(turned).toBeLessThan(degrees);
    expect(away).toBeLessThan(1e-3);
  });

  test('a lid 2.0 mm thick is passed once, straight on, within 2 um', () => {
    const { path, aim } = seam;
    let off = 0;
    for (let i = 0; i < path.count; i++) off = Math.max(off, Math.abs(aim.layer[i] - 2));
    expect(off).toBeLessThan(2e-3);
    expect([...aim.walls].every((walls) => walls === 1)).toBe(true);
    expect([...aim.gap].every((gap) => gap === 0)).toBe(true);
  });

  // Source: energy balance of a moving source, line energy = power that arrives / speed. Figure to reach: 0.1 %.
  test("line energy from the table's own columns, outside ramps, is what the job asks for within 0.1 %", () => {
    const file = renderOutputs(plan).find((output) => output.name === 'waypoints.csv');
    const { data } = Papa.parse<Record<string, string>>(String(file?.content ?? ''), {
      header: true,
      skipEmptyLines: true,
    });
    const on = data.filter((row) => row.beam === '1');
    const [{ ramp, process }, first, last] = [seam.job, Number(on[0].s_mm), Number(on[on.length - 1].s_mm)];
    const inside = on.filter((row) => Number(row.s_mm) - first >= ramp && last - Number(row.s_mm) >= ramp);
    let worst = 0;
    for (const row of inside) {
      const energy = (Number(row.power_W) * Number(row.transmitted)) / Number(row.speed_mm_s);
      worst = Math.max(worst, Math.abs(energy / process.lineEnergy - 1));
    }
    expect(inside.length).toBeGreaterThan(250);
    expect(worst).toBeLessThan(1e-3);
  });
});
