// A job whose arm is described in a URDF file of its folder: the file is an input of the plan, the postures are numeric.
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import armsJson from '../../shared/data/arms.json' with { type: 'json' };
import heads from '../../shared/data/heads.json' with { type: 'json' };
import materials from '../../shared/data/materials.json' with { type: 'json' };
import optics from '../../shared/data/optics.json' with { type: 'json' };
import { chainOf, forward, framesSize } from '../../src/arm/chain-kinematics.ts';
import { parseArms } from '../../src/model/arm-file.ts';
import type { Arm, OrthoParallel } from '../../src/model/arm.ts';
import { parseCatalogue } from '../../src/model/catalogue.ts';
import { parseJobFile } from '../../src/model/parse-job.ts';
import type { Plan } from '../../src/planner/plan.ts';
import { createPlanner } from '../../src/planner/planner.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';
import { quietTask } from '../intake/support.ts';

vi.setConfig({ testTimeout: 240_000, hookTimeout: 240_000 });

const SAMPLES = fileURLToPath(new URL('../../sample-parts/', import.meta.url));
const arm = parseArms(armsJson).get('six-axis-900') as Arm;

/** The catalogue's arm as a robot description, in metres and radians. */
function urdfText(): string {
  const { a1, a2, b, c1, c2, c3, c4 } = arm.model as OrthoParallel;
  const joints = [
    [[0, 0, 0], '0 0 1'],
    [[a1, b, c1], '0 1 0'],
    [[0, 0, c2], '0 1 0'],
    [[a2, 0, c3], '0 0 1'],
    [[0, 0, 0], '0 1 0'],
    [[0, 0, 0], '0 0 1'],
  ] as const;
  const body = joints.map(([xyz, axis], j) => {
    const { min, max, speed } = arm.axes[j];
    return `<joint name="j${j + 1}" type="revolute"><origin xyz="${xyz.map((x) => x / 1000).join(' ')}"/>
<parent link="l${j}"/><child link="l${j + 1}"/><axis xyz="${axis}"/><limit lower="${min}" upper="${max}" velocity="${speed}"/></joint>`;
  });
  const links = [0, 1, 2, 3, 4, 5, 6, 7].map((j) => `<link name="l${j}"/>`);
  return `<robot name="gr\u00fcn">${links.join('')}${body.join('')}<joint name="end" type="fixed">
<origin xyz="0 0 ${c4 / 1000}"/><parent link="l6"/><child link="l7"/></joint></robot>`;
}

const job = (file: string) => ({
  ...JSON.parse(readFileSync(join(SAMPLES, 'disc.job.json'), 'utf8')),
  placement: { position_mm: [520, 0, 100] },
  arm: {
    model: { kind: 'urdf', file },
    acceleration_deg_s2: [1000, 1000, 1000, 2000, 2000, 3000],
    payload_kg: 8,
    envelope: [],
    home_deg: [0, -20, 110, 0, 60, 0],
  },
});

let folder = '';
const plan = (file: string, change: object = {}): Promise<Plan> => {
  const catalogue = parseCatalogue(optics, materials, armsJson, heads);
  const jobFile = parseJobFile(JSON.stringify({ ...job(file), ...change }), 'disc.job.json');
  return createPlanner(createNodeHost(folder), catalogue).plan(jobFile, 'disc.job.json', quietTask());
};

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'raythread-'));
  cpSync(join(SAMPLES, 'disc.step'), join(folder, 'disc.step'));
  writeFileSync(join(folder, 'arm.urdf'), urdfText());
  writeFileSync(join(folder, 'latin.urdf'), Buffer.from(urdfText(), 'latin1'));
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('an arm out of a URDF file', () => {
  it('drives the seam, says that it was solved numerically, and stands among the inputs', async () => {
    const made = await plan('arm.urdf', { head: { standoff_mm: 150, axis: 'joint-normal', turn: 10 } });
    expect(made.findings.filter(({ severity }) => severity === 'blocks')).toEqual([]);
    expect(made.inputs.map(({ file }) => file)).toEqual(['disc.step', 'arm.urdf']);
    const note = made.findings.find(({ code }) => code === 'arm-numeric');
    expect(note?.sentence).toContain('meet in one point');
    // The closed-form arm that the file was written from, driven by the same joints, puts its flange at the same distances.
    const { stand } = made.seams[0].carried ?? {};
    const angle = stand?.posture.angle as Float64Array;
    const chain = chainOf(arm);
    const frames = new Float64Array(framesSize(chain));
    const { aim, path } = made.seams[0];
    const flange = (row: number): number[] => {
      forward(chain, angle, 6 * row, frames);
      return Array.from(frames.slice(72 + 9, 72 + 12));
    };
    const rows = [0, 50, 100, 200, 400];
    // The disc is flat and the turn is fixed: the flange travels with the tool, without turning.
    const tool = (row: number): number[] => {
      const k = 3 * path.rows.station[row];
      return Array.from(aim.tcp.slice(k, k + 3));
    };
    for (const row of rows) {
      const moved = flange(row).map((x, c) => x - flange(0)[c]);
      const wanted = tool(row).map((x, c) => x - tool(0)[c]);
      for (let c = 0; c < 3; c++) expect(moved[c]).toBeCloseTo(wanted[c], 3);
    }
  });

  it.each([
    ['gone.urdf', 'file-missing'],
    ['../arm.urdf', 'file-outside'],
    ['latin.urdf', 'urdf-encoding'],
    ['disc.step', 'xml'],
  ])('%s is one clear error', async (file, code) => {
    await expect(plan(file)).rejects.toMatchObject({ name: 'InputError', code });
  });
});
