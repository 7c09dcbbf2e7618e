// The worker's whole way from messages to messages: the same code as in the browser, in Node's surroundings.
import { beforeAll, describe, expect, it, vi } from 'vitest';
import { renderOutputs } from '../../../src/output/render-outputs.ts';
import { planSample } from '../../planner/plan-sample.ts';
import { sampleFile, sampleText, startService } from './service.ts';

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 });

const NAME = 'disc.job.json';
const TEXT = sampleText(NAME);
const changed = (change: (job: Record<string, unknown>) => void): string => {
  const job = JSON.parse(TEXT) as Record<string, unknown>;
  change(job);
  return JSON.stringify(job);
};

describe('the plan service', () => {
  const service = startService();
  let run = 0;
  const plan = (jobText: string, hasScene = true) => {
    run += 1;
    return service.take({ kind: 'plan', run, jobText, place: NAME, hasScene });
  };

  beforeAll(async () => {
    await service.take({ kind: 'files', files: [sampleFile('disc.step')] });
  });

  it('shows the scene, the plan before its heat, the whole plan, and ends', async () => {
    await plan(TEXT, false);
    const news = service.news();
    const kinds = news.map((message) => message.kind);
    expect(kinds.slice(-4)).toEqual(['scene', 'plan', 'plan', 'ended']);
    // The coarse scene comes first unless the fine one was quicker.
    const scenes = news.flatMap((message) => (message.kind === 'scene' ? [message.scene] : []));
    expect(scenes.at(-1)?.coarse).toBe(false);
    expect(
      scenes
        .at(-1)
        ?.bodies.map(({ name }) => name)
        .sort(),
    ).toEqual(['disc', 'lid']);
    for (const scene of scenes.slice(0, -1)) expect(scene.coarse).toBe(true);
    const plans = news.flatMap((message) => (message.kind === 'plan' ? [message.view] : []));
    expect(plans.map(({ complete }) => complete)).toEqual([false, true]);
    expect(plans[1].centre).toEqual(scenes.at(-1)?.centre);
    expect(news.at(-1)).toMatchObject({ kind: 'ended', run: 1, how: 'planned', error: null });
  });

  it('writes the same bytes as the command line', async () => {
    await service.take({ kind: 'export', request: run });
    const [exported] = service.news();
    if (exported?.kind !== 'exported' || exported.files === null) throw new Error('nothing was exported');
    const expected = renderOutputs(await planSample('disc'));
    expect(exported.files.map(({ name }) => name)).toEqual(expected.map(({ name }) => name));
    expected.forEach(({ content }, k) => {
      const bytes = Buffer.from(exported.files?.[k].bytes ?? []);
      expect(bytes.equals(Buffer.from(content as string))).toBe(true);
    });
    await service.take({ kind: 'export', request: run + 1 });
    expect(service.news()).toEqual([{ kind: 'exported', request: run + 1, files: null }]);
  });

  it('sends the scene only where it changed, or where the page has none', async () => {
    const faster = changed((job) => {
      job.process = { speed_mm_s: 40, line_energy_J_mm: 0.35 };
    });
    await plan(faster);
    expect(service.news().map(({ kind }) => kind)).toEqual(['plan', 'plan', 'ended']);
    await plan(faster, false);
    expect(service.news().map(({ kind }) => kind)).toContain('scene');
  });

  it('imports the parts alone of a job without a seam, even where parts lack what a plan needs', async () => {
    await plan(
      changed((job) => {
        job.seams = [];
        job.parts = [{ file: 'disc.step' }, { file: 'clamp.stl' }];
        delete job.process;
      }),
      false,
    );
    expect(service.news().at(-1)).toMatchObject({ kind: 'ended', how: 'imported' });
  });

  it('refuses a bad job with its place, a missing file with its name, and goes on', async () => {
    await plan(changed((job) => Object.assign(job, { speeed: 1 })));
    expect(service.news().at(-1)).toMatchObject({ how: 'refused', error: { code: 'job-key-unknown', place: NAME } });
    await plan(
      changed((job) => {
        job.parts = [{ file: 'gone.step', role: 'absorbing' }];
      }),
    );
    expect(service.news().at(-1)).toMatchObject({
      how: 'refused',
      error: { code: 'file-missing', place: 'gone.step' },
    });
    await plan(TEXT);
    expect(service.news().at(-1)).toMatchObject({ how: 'planned' });
    expect(service.faults).toEqual([]);
  });

  it('lets go of a run that is overtaken, and of one that is cancelled', async () => {
    const at = (speed: number) =>
      changed((job) => {
        job.process = { speed_mm_s: speed, line_energy_J_mm: 0.35 };
      });
    let second: Promise<void> | null = null;
    service.onTurn(() => {
      second ??= plan(at(61));
    });
    await plan(at(60));
    const first = run - 1;
    await second;
    service.onTurn(() => undefined);
    const ends = service.news().flatMap((message) => (message.kind === 'ended' ? [message] : []));
    expect(ends.map(({ run: of, how }) => [of, how])).toEqual([
      [first, 'cancelled'],
      [first + 1, 'planned'],
    ]);
    service.onTurn(() => void service.take({ kind: 'cancel' }));
    await plan(at(62));
    expect(service.news().at(-1)).toMatchObject({ how: 'cancelled' });
  });
});
