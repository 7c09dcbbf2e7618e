// Selections by contact, by digitised points and by fingerprint, from the job file to the outputs.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import arms from '../../shared/data/arms.json' with { type: 'json' };
import heads from '../../shared/data/heads.json' with { type: 'json' };
import materials from '../../shared/data/materials.json' with { type: 'json' };
import optics from '../../shared/data/optics.json' with { type: 'json' };
import pairs from '../../shared/data/pairs.json' with { type: 'json' };
import { parseCatalogue } from '../../src/model/catalogue.ts';
import { parseJobFile } from '../../src/model/parse-job.ts';
import { planJson } from '../../src/output/plan-json.ts';
import { createPlanner, type Planner } from '../../src/planner/planner.ts';
import type { Plan } from '../../src/planner/plan.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';
import { quietTask } from '../intake/support.ts';

const NAME = 'dome-pair.job.json';
const samples = fileURLToPath(new URL('../../sample-parts/', import.meta.url));
const whole = JSON.parse(readFileSync(`${samples}${NAME}`, 'utf8'));
// Without a material the absorbing part has no heat to compute, which is most of the time of a plan.
const job = {
  ...whole,
  parts: whole.parts.map(({ material, ...part }: { material: string; role: string }) =>
    part.role === 'absorbing' ? part : { ...part, material },
  ),
};

// Source: the seam is the circle of latitude 40 degrees from the pole on the sphere of radius 60.
const POLAR = (40 * Math.PI) / 180;
const LENGTH = 120 * Math.PI * Math.sin(POLAR);

const files = new Map<string, string>();
let planner: Planner;
beforeAll(() => {
  const node = createNodeHost(samples);
  const host = {
    ...node,
    readFile: async (path: string) => {
      const text = files.get(path);
      return text === undefined ? node.readFile(path) : new TextEncoder().encode(text);
    },
  };
  planner = createPlanner(host, parseCatalogue(optics, materials, arms, heads, pairs));
});

function plan(seam: object): Promise<Plan> {
  const text = JSON.stringify({ ...job, seams: [{ name: 'rim', spacing_mm: 2, ...seam }] });
  return planner.plan(parseJobFile(text, NAME), NAME, quietTask());
}

const codes = ({ findings }: Plan): string[] => findings.map(({ code }) => code);

/** Points on the circle, a little above the face, `noise` mm to and fro. */
function touched(n: number, noise = 0): string {
  const rows = Array.from({ length: n }, (_, i) => {
    const u = (2 * Math.PI * i) / n;
    const polar = POLAR + (noise * Math.sin(37 * i)) / 60;
    const r = 60.2 * Math.sin(polar);
    return [r * Math.cos(u), r * Math.sin(u), 60.2 * Math.cos(polar)].map((x) => x.toFixed(4)).join(',');
  });
  return ['x_mm,y_mm,z_mm', ...rows].join('\n');
}

describe('a seam by contact', () => {
  it('plans as the band does, and a plan made twice is the same to the last bit', async () => {
    const contact = await plan({ select: { contact: ['lid', 'dome'] } });
    const [seam] = contact.seams;
    expect(seam.seam.curve.length).toBeCloseTo(LENGTH, 3);
    expect(seam.seam.faceChoice).toBe('contact');
    const band = await plan({ select: job.seams[0].select });
    expect(codes(contact)).toEqual(codes(band));
    expect(seam.timing.cycle.total).toBeCloseTo(band.seams[0].timing.cycle.total, 3);
    const text = planJson(contact);
    expect(JSON.parse(text).seams[0]).toMatchObject({ face_choice: 'contact', selection: 'none', blends: [] });
    const again = createPlanner(createNodeHost(samples), parseCatalogue(optics, materials, arms, heads, pairs));
    const twice = await again.plan(contact.jobFile, NAME, quietTask());
    expect(planJson(twice)).toBe(text);
  });

  it('takes its tolerance from the limits, or from itself', async () => {
    const tolerance = async (limits: object, more: object): Promise<unknown> => {
      const text = JSON.stringify({ ...job, limits, seams: [{ select: { contact: ['lid', 'dome'], ...more } }] });
      return (await planner.read(parseJobFile(text, NAME), NAME)).job.seams[0].select;
    };
    expect(await tolerance({}, {})).toMatchObject({ tolerance: 0.1 });
    expect(await tolerance({ gap_mm: 0.02 }, {})).toMatchObject({ tolerance: 0.05 });
    expect(await tolerance({ gap_mm: 0, contact_mm: 0 }, {})).toMatchObject({ tolerance: 0.001 });
    expect(await tolerance({}, { tolerance_mm: 0.3, near_mm: [1, 2, 3] })).toMatchObject({
      tolerance: 0.3,
      near: [1, 2, 3],
    });
  });
});

describe('a seam by points', () => {
  const select = { points: 'touched.csv', body: 'dome' };

  it('plans, and the file is among the inputs', async () => {
    files.set('touched.csv', touched(120));
    const made = await plan({ select });
    expect(made.seams[0].seam.curve.closed).toBe(true);
    // Smoothed by up to 0.05 mm rms: a circle that is as much smaller.
    expect(Math.abs(made.seams[0].seam.curve.length / LENGTH - 1)).toBeLessThan(0.05 / 38);
    expect(made.inputs.at(-1)).toMatchObject({ file: 'touched.csv', bytes: touched(120).length });
    expect(codes(made)).not.toContain('fit-coarse');
  });

  it('is drawn again when the file changes, and only then', async () => {
    files.set('touched.csv', touched(120));
    await plan({ select });
    const before = planner.runs.get('seam');
    await plan({ select });
    expect(planner.runs.get('seam')).toBe(before);
    files.set('touched.csv', touched(121));
    await plan({ select });
    expect(planner.runs.get('seam')).toBe((before ?? 0) + 1);
  });

  it('noise beyond what is stated is told', async () => {
    files.set('touched.csv', touched(300, 0.3));
    expect(codes(await plan({ select: { ...select, smooth_mm: 0.21 } }))).not.toContain('fit-coarse');
    const points = touched(300).split('\n');
    const [x, y, z] = points[100].split(',').map(Number);
    points[100] = [x, y, z].map((v, i) => v + [0, 0, 1.2][i]).join(',');
    files.set('touched.csv', points.join('\n'));
    expect(codes(await plan({ select: { ...select, smooth_mm: 0.05 } }))).toContain('fit-coarse');
  });

  it.each([
    ['missing', 'nothing.csv', undefined, 'file-missing', 'nothing.csv'],
    ['outside the folder', '../touched.csv', undefined, 'file-outside', '../touched.csv'],
    ['a bad line', 'touched.csv', 'x_mm,y_mm,z_mm\n1,2,3\n1,2,oops\n', 'points-value', 'touched.csv:3'],
  ])('a file %s is an error', async (_name, points, text, code, place) => {
    if (text !== undefined) files.set(points, text);
    await expect(plan({ select: { ...select, points } })).rejects.toMatchObject({ name: 'InputError', code, place });
  });
});

describe('a fingerprint', () => {
  it('of plan.json, pasted into the job, finds the seam again; changed, it blocks', async () => {
    const first = await plan({ select: { band: { body: 'dome', near_mm: job.seams[0].select.band.near_mm } } });
    const { fingerprint } = JSON.parse(planJson(first)).seams[0];
    expect(fingerprint).toMatchObject({ closed: true, length_mm: expect.closeTo(LENGTH, 3) });
    const select = { band: { body: 'dome', near_mm: job.seams[0].select.band.near_mm } };
    const same = await plan({ select, fingerprint });
    expect(codes(same)).toEqual(codes(first));
    const astray = await plan({ select: { band: { ...select.band, near_mm: [0, 0, 900] } }, fingerprint });
    const found = astray.findings.find(({ code }) => code === 'selection-found');
    expect(found).toMatchObject({ severity: 'notes', seam: 'rim' });
    const changed = await plan({ select, fingerprint: { ...fingerprint, length_mm: fingerprint.length_mm + 0.5 } });
    expect(changed.findings.find(({ code }) => code === 'selection-changed')).toMatchObject({ severity: 'blocks' });
  });
});

describe('corners and ways', () => {
  it('rounded corners are noted, corners that stay are warned of; run-in and run-out have their own lengths', async () => {
    files.set(
      'touched.csv',
      [
        'x_mm,y_mm,z_mm',
        ...Array.from({ length: 30 }, (_, i) => {
          const u = -0.5 + i / 30;
          const [r, z] = [60 * Math.sin(POLAR), 60 * Math.cos(POLAR)];
          return [r * Math.cos(u), r * Math.sin(u), z].join(',');
        }),
      ].join('\n'),
    );
    const made = await plan({
      select: { points: 'touched.csv', body: 'dome' },
      run_in_mm: 12,
      run_out_mm: 3,
      corner_blend_mm: 0.2,
    });
    const { s } = made.seams[0].path.rows;
    expect(s[0]).toBeCloseTo(-12, 9);
    expect(s[s.length - 1]).toBeCloseTo(made.seams[0].path.length + 3, 9);
    expect(codes(made)).not.toContain('corner-kept');
    const closed = await plan({ select: job.seams[0].select, run_in_mm: 10, run_out_mm: 0 });
    const rows = closed.seams[0].path.rows.s;
    expect(rows[rows.length - 1]).toBeLessThanOrEqual(closed.seams[0].path.length + 8 + 1e-6);
  });
});
