// Which stages run again for which edit, and that a plan made twice is the same to the last bit.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import arms from '../../shared/data/arms.json' with { type: 'json' };
import heads from '../../shared/data/heads.json' with { type: 'json' };
import materials from '../../shared/data/materials.json' with { type: 'json' };
import optics from '../../shared/data/optics.json' with { type: 'json' };
import pairs from '../../shared/data/pairs.json' with { type: 'json' };
import { parseCatalogue } from '../../src/model/catalogue.ts';
import { Cancelled, InputError } from '../../src/model/input-error.ts';
import type { JobFile } from '../../src/model/job-file.ts';
import { parseJobFile } from '../../src/model/parse-job.ts';
import type { Task } from '../../src/model/task.ts';
import { renderOutputs } from '../../src/output/render-outputs.ts';
import type { Host } from '../../src/planner/host.ts';
import { createPlanner, type Planner } from '../../src/planner/planner.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';

const samples = fileURLToPath(new URL('../../sample-parts/', import.meta.url));
const NAME = 'dome-pair.job.json';
const jobFile = parseJobFile(readFileSync(`${samples}${NAME}`, 'utf8'), NAME);
const catalogue = parseCatalogue(optics, materials, arms, heads, pairs);
const quiet: Task = { check: () => undefined, pause: async () => undefined, signal: new AbortController().signal };

/** A host that counts its imports. */
function countingHost(): { host: Host; imports: () => number } {
  const node = createNodeHost(samples);
  let imports = 0;
  const host: Host = {
    ...node,
    importCad: (...order) => {
      imports++;
      return node.importCad(...order);
    },
  };
  return { host, imports: () => imports };
}

/** Runs of each stage between two looks. */
function watch(planner: Planner): () => Record<string, number> {
  let before = new Map(planner.runs);
  return () => {
    const since = [...planner.runs].map(([stage, runs]) => [stage, runs - (before.get(stage) ?? 0)] as const);
    before = new Map(planner.runs);
    return Object.fromEntries(since.filter(([, runs]) => runs > 0));
  };
}

const withSeam = (change: Partial<JobFile['seams'][number]>): JobFile => ({
  ...jobFile,
  seams: jobFile.seams.map((seam) => ({ ...seam, ...change })),
});

const standing = (position_mm: [number, number, number]) => ({ ...jobFile.placement, position_mm });

describe('the planner', () => {
  const { host, imports } = countingHost();
  const planner = createPlanner(host, catalogue);
  const plan = (file: JobFile) => planner.plan(file, NAME, quiet);
  let since: () => Record<string, number>;

  beforeAll(async () => {
    await plan(jobFile);
    since = watch(planner);
  });

  it('runs every stage once at first', () => {
    expect(Object.fromEntries(planner.runs)).toMatchObject({
      intake: 1,
      query: 2,
      seam: 1,
      path: 1,
      aim: 1,
      timing: 1,
      heat: 1,
      window: 1,
    });
    expect(imports()).toBe(1);
  });

  it.each<[string, JobFile, Record<string, number>]>([
    ['nothing', jobFile, {}],
    ['the title', { ...jobFile, title: 'another' }, {}],
    [
      'the line energy',
      { ...jobFile, process: { ...jobFile.process, line_energy_J_mm: 0.4 } },
      { timing: 1, heat: 1, window: 1 },
    ],
    ['the speed', { ...jobFile, process: { ...jobFile.process, speed_mm_s: 41 } }, { timing: 1, heat: 1, window: 1 }],
    ['the ramp', withSeam({ ramp_mm: 2 }), { timing: 1, heat: 1 }],
    [
      'a limit of the time law',
      { ...jobFile, limits: { ...jobFile.limits, head_speed_mm_s: 70 } },
      { timing: 1, heat: 1 },
    ],
    ['a limit that only checks read', { ...jobFile, limits: { ...jobFile.limits, layer_mm: 1 } }, {}],
    ['the standoff', { ...jobFile, head: { ...jobFile.head, standoff_mm: 140 } }, { aim: 1, timing: 1, heat: 1 }],
    ['the lead', { ...jobFile, head: { ...jobFile.head, lead_deg: 3 } }, { aim: 1, timing: 1, heat: 1, window: 1 }],
    ['the spacing', withSeam({ spacing_mm: 0.7 }), { path: 1, aim: 1, timing: 1, heat: 1, window: 1 }],
    ['the offset', withSeam({ offset_mm: 2.2 }), { seam: 1, path: 1, aim: 1, timing: 1, heat: 1, window: 1 }],
  ])('after a change of %s runs what depends on it, and no more', async (_, file, expected) => {
    await plan(jobFile);
    since();
    await plan(file);
    expect(since()).toEqual(expected);
    expect(imports()).toBe(1);
  });

  it.each<[string, JobFile['head'], JobFile['limits'], Record<string, number>]>([
    ['nothing', {} as JobFile['head'], {} as JobFile['limits'], {}],
    [
      'a limit along the beam',
      {} as JobFile['head'],
      { incidence_entry_deg: 9 } as JobFile['limits'],
      { relax: 1, timing: 1, heat: 1 },
    ],
    [
      'how far it may lean',
      { relax_deg: 4 } as JobFile['head'],
      {} as JobFile['limits'],
      { relax: 1, timing: 1, heat: 1, window: 1 },
    ],
    [
      'the standoff',
      { standoff_mm: 140 } as JobFile['head'],
      {} as JobFile['limits'],
      { aim: 1, relax: 1, timing: 1, heat: 1, 'nominal-timing': 1 },
    ],
  ])('with a relaxed axis, after a change of %s runs what depends on it', async (_, head, limits, expected) => {
    const relaxed = { ...jobFile, head: { ...jobFile.head, relax_deg: 5 } };
    await plan(relaxed);
    since();
    await plan({ ...relaxed, head: { ...relaxed.head, ...head }, limits: { ...relaxed.limits, ...limits } });
    expect(since()).toEqual(expected);
  });

  it.each<[string, Partial<JobFile>, Record<string, number>]>([
    ['the line energy', { process: { ...jobFile.process, line_energy_J_mm: 0.4 } }, { timing: 1, heat: 1, window: 1 }],
    ['the clearance', { limits: { ...jobFile.limits, clearance_mm: 20 } }, { room: 1 }],
    ['a margin that only checks read', { limits: { ...jobFile.limits, joint_margin_deg: 1 } }, {}],
    ['the placement', { placement: standing([560, 0, 60]) }, { posture: 1, room: 1, timing: 1, heat: 1 }],
    [
      'the speed',
      { process: { ...jobFile.process, speed_mm_s: 41 } },
      { posture: 1, room: 1, timing: 1, heat: 1, window: 1 },
    ],
    ['the arm', { arm: 'six-axis-1450' }, { posture: 1, room: 1, timing: 1, heat: 1 }],
    ['no arm', { arm: null }, { timing: 1, heat: 1 }],
  ])('with an arm, after a change of %s runs what depends on it, and no more', async (_, change, expected) => {
    const carried: JobFile = { ...jobFile, arm: 'six-axis-900', placement: standing([520, 0, 60]) };
    await plan(carried);
    since();
    await plan({ ...carried, ...change });
    expect(since()).toEqual(expected);
  });

  it('imports again when the deflection changes', async () => {
    await plan(jobFile);
    since();
    await plan({ ...jobFile, tessellation: { ...jobFile.tessellation, linear_mm: 0.02 } });
    expect(since()).toMatchObject({ intake: 1, query: 2, seam: 1, path: 1, aim: 1, timing: 1 });
  });

  it('gives the same bytes whether stages were kept or run anew', async () => {
    const kept = renderOutputs(await plan(jobFile));
    const anew = renderOutputs(await createPlanner(countingHost().host, catalogue).plan(jobFile, NAME, quiet));
    expect(anew.map((file) => file.name)).toEqual(kept.map((file) => file.name));
    anew.forEach((file, index) => {
      expect(Buffer.from(file.content).equals(Buffer.from(kept[index]?.content ?? '')), file.name).toBe(true);
    });
  });

  it('keeps what it has when a job is bad or cancelled', async () => {
    await plan(jobFile);
    since();
    await expect(plan({ ...jobFile, optics: 'moonlight' })).rejects.toBeInstanceOf(InputError);
    const cancelling: Task = { ...quiet, pause: () => Promise.reject(new Cancelled()) };
    await expect(planner.plan(withSeam({ spacing_mm: 0.6 }), NAME, cancelling)).rejects.toBeInstanceOf(Cancelled);
    await plan(jobFile);
    expect(since()).toEqual({});
  });
});
