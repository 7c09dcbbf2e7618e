import { describe, expect, it } from 'vitest';
import type { JobDraft } from '../../../src/app/store/state.ts';
import { fakePage, planOf, sceneOf } from './fake-engine.ts';

const JOB: JobDraft = {
  format: 'raythread-job/1',
  title: 'pod',
  parts: [{ file: 'pod.step', body: 'tub', role: 'absorbing' }],
  seams: [{ name: 'rim' }],
  process: { speed_mm_s: 50, line_energy_J_mm: 0.35 },
};
const FILES = new Map([['pod.step', Uint8Array.of(1, 2, 3)]]);

function withJob() {
  const page = fakePage();
  page.store.getState().openJob('pod.job.json', JOB, FILES);
  page.store.temporal.getState().clear();
  return page;
}

const speed = ({ job }: { job: JobDraft }) => (job.process as { speed_mm_s: number }).speed_mm_s;

describe('edits of the job', () => {
  it('can be undone and redone, and say whether they can', () => {
    const { store } = withJob();
    expect(store.getState()).toMatchObject({ canUndo: false, canRedo: false });
    store.getState().edit('/process/speed_mm_s', 60);
    expect(store.getState()).toMatchObject({ canUndo: true, canRedo: false });
    store.getState().undo();
    expect(store.getState().job).toEqual(JOB);
    expect(store.getState()).toMatchObject({ canUndo: false, canRedo: true });
    store.getState().redo();
    expect(speed(store.getState())).toBe(60);
  });

  it('undo as one where they come under one name within a second', () => {
    const page = withJob();
    for (const [at, value] of [
      [0, 51],
      [900, 52],
      [1800, 53],
      [4000, 54],
    ] as const) {
      page.clock = at;
      page.store.getState().edit('/process/speed_mm_s', value, 'speed');
    }
    page.store.getState().undo();
    expect(speed(page.store.getState())).toBe(53);
    page.store.getState().undo();
    expect(speed(page.store.getState())).toBe(50);
    expect(page.store.getState().canUndo).toBe(false);
  });

  it('do not merge into what an undo took back, nor under another name', () => {
    const { store } = withJob();
    store.getState().edit('/process/speed_mm_s', 51, 'speed');
    store.getState().undo();
    store.getState().edit('/process/speed_mm_s', 52, 'speed');
    store.getState().edit('/process/line_energy_J_mm', 0.4, 'energy');
    store.getState().undo();
    expect(speed(store.getState())).toBe(52);
    store.getState().undo();
    expect(speed(store.getState())).toBe(50);
  });

  it('that change nothing are no step, and neither is where the person looks', () => {
    const { store, orders } = withJob();
    const before = orders.length;
    store.getState().edit('/process/speed_mm_s', 50);
    store.getState().set({ row: 12, theme: 'dark' });
    expect(store.getState().canUndo).toBe(false);
    expect(orders).toHaveLength(before);
  });

  it('bring files back along with the job', () => {
    const { store } = withJob();
    store.getState().addFiles(new Map([['clamp.step', Uint8Array.of(9)]]));
    expect([...store.getState().files.keys()]).toEqual(['pod.step', 'clamp.step']);
    store.getState().undo();
    expect(store.getState().files).toBe(FILES);
    expect(store.getState().job).toEqual(JOB);
  });
});

describe('files that are added', () => {
  it('become parts with what their names suggest, marked as guesses until they are set', () => {
    const { store } = withJob();
    store.getState().addFiles(new Map([['front cover.step', Uint8Array.of(1)]]));
    const parts = store.getState().job.parts as JobDraft[];
    expect(parts[1]).toEqual({ file: 'front cover.step', role: 'transmissive', material: 'pc-clear' });
    expect(store.getState().guessed).toEqual(['/parts/1/role', '/parts/1/material']);
    store.getState().edit('/parts/1/role', 'tooling');
    expect(store.getState().guessed).toEqual(['/parts/1/material']);
  });

  it('ask for what no name says: the role of a part, the unit of a mesh', () => {
    const { store } = withJob();
    store.getState().addFiles(new Map([['x7.stl', Uint8Array.of(1)]]));
    expect(store.getState().questions).toEqual([
      { kind: 'unit', about: 'x7.stl', pointer: '/parts/1/unit', choices: ['mm', 'cm', 'm', 'in'] },
      {
        kind: 'role',
        about: 'x7.stl',
        pointer: '/parts/1/role',
        choices: ['transmissive', 'absorbing', 'tooling', 'clear-clamp'],
      },
    ]);
    store.getState().edit('/parts/1/unit', 'in');
    store.getState().edit('/parts/1/role', 'tooling');
    expect(store.getState().questions).toEqual([]);
    store.getState().undo();
    expect(store.getState().questions).toHaveLength(1);
  });

  it('become one part a body once the bodies are known, in the same step', () => {
    const page = withJob();
    page.store.getState().addFiles(new Map([['duo.step', Uint8Array.of(1)]]));
    const run = page.orders.at(-1)?.run ?? 0;
    const scene = sceneOf([
      ['pod.step', ['tub']],
      ['duo.step', ['lid', 'housing', 'nut', 'nut']],
    ]);
    page.say({ kind: 'scene', run, scene });
    expect((page.store.getState().job.parts as JobDraft[]).slice(1)).toEqual([
      { file: 'duo.step', body: 'lid', role: 'transmissive', material: 'pc-clear' },
      { file: 'duo.step', body: 'housing', role: 'absorbing', material: 'pc-carbon-black' },
      { file: 'duo.step', body: '#2' },
      { file: 'duo.step', body: '#3' },
    ]);
    expect(page.store.getState().guessed).toContain('/parts/2/material');
    page.store.getState().undo();
    expect(page.store.getState().job).toEqual(JOB);
    expect(page.store.getState().canUndo).toBe(false);
  });

  it('are taken for the absorbing one where it is the only body left and another lets the light through', () => {
    const { store, orders, say } = fakePage();
    store.getState().addFiles(new Map([['disc.step', Uint8Array.of(1)]]));
    say({ kind: 'scene', run: orders.at(-1)?.run ?? 0, scene: sceneOf([['disc.step', ['lid', 'disc']]]) });
    expect(store.getState().job.parts).toEqual([
      { file: 'disc.step', body: 'lid', role: 'transmissive', material: 'pc-clear' },
      { file: 'disc.step', body: 'disc', role: 'absorbing', material: 'pc-carbon-black' },
    ]);
    expect(store.getState().guessed).toContain('/parts/1/role');
    expect(store.getState().questions).toEqual([]);
  });

  it('begin a job of their own on an untouched sample', () => {
    const { store } = fakePage();
    store.getState().openJob('pod.job.json', JOB, FILES, true);
    store.getState().addFiles(new Map([['box.step', Uint8Array.of(1)]]));
    expect(store.getState()).toMatchObject({
      jobName: 'box.job.json',
      untouchedSample: false,
      job: { title: 'box', seams: [], parts: [{ file: 'box.step', role: 'absorbing' }] },
    });
    expect([...store.getState().files.keys()]).toEqual(['box.step']);
  });

  it('keep guesses at their parts when a part before them goes', () => {
    const { store } = withJob();
    store.getState().addFiles(new Map([['cover.step', Uint8Array.of(1)]]));
    store.getState().edit('/parts/0', undefined);
    expect(store.getState().guessed).toEqual(['/parts/0/role', '/parts/0/material']);
    store.getState().undo();
    expect(store.getState().guessed).toEqual(['/parts/1/role', '/parts/1/material']);
  });
});

describe('what the worker says', () => {
  it('is shown: a plan before its heat, the complete one, and that a newer job is under way', () => {
    const page = withJob();
    const { store } = page;
    expect(store.getState()).toMatchObject({ run: 'running', stale: false, plan: null });
    page.say({ kind: 'plan', run: 1, view: planOf('a', false) });
    expect(store.getState()).toMatchObject({ heatPending: true, stale: false });
    page.say({ kind: 'plan', run: 1, view: planOf('a', true) });
    page.say({ kind: 'ended', run: 1, how: 'planned', error: null });
    expect(store.getState()).toMatchObject({ run: 'idle', heatPending: false, stale: false });
    store.getState().edit('/process/speed_mm_s', 60);
    expect(store.getState()).toMatchObject({ run: 'running', stale: true });
    page.say({ kind: 'plan', run: 2, view: planOf('b', false) });
    expect(store.getState().stale).toBe(false);
  });

  it('of a run that was overtaken is shown as not of this job, and its end is not an end', () => {
    const page = withJob();
    page.store.getState().edit('/process/speed_mm_s', 60);
    page.say({ kind: 'plan', run: 1, view: planOf('a', false) });
    page.say({ kind: 'ended', run: 1, how: 'cancelled', error: null });
    expect(page.store.getState()).toMatchObject({ run: 'running', stale: true, plan: { summary: { title: 'a' } } });
    page.say({ kind: 'plan', run: 2, view: planOf('b', false) });
    page.say({ kind: 'plan', run: 1, view: planOf('a', true) });
    expect(page.store.getState()).toMatchObject({ stale: false, plan: { summary: { title: 'b' } } });
  });

  it('of another job is not shown', () => {
    const page = withJob();
    page.store.getState().openJob('other.job.json', { ...JOB, title: 'other' }, new Map(FILES));
    page.say({ kind: 'scene', run: 1, scene: sceneOf([['pod.step', ['tub']]]) });
    page.say({ kind: 'plan', run: 1, view: planOf('pod', true) });
    expect(page.store.getState()).toMatchObject({ scene: null, plan: null });
    expect(page.orders.at(-1)?.hasScene).toBe(false);
  });

  it('against a job leaves the plan that was there', () => {
    const page = withJob();
    page.say({ kind: 'plan', run: 1, view: planOf('a', true) });
    page.say({ kind: 'ended', run: 1, how: 'planned', error: null });
    page.store.getState().edit('/process/speed_mm_s', 'fast');
    const error = { code: 'job-value', sentence: 'no number', place: 'x', hint: 'y' };
    page.say({ kind: 'ended', run: 2, how: 'refused', error });
    expect(page.store.getState()).toMatchObject({
      run: 'failed',
      error,
      stale: true,
      plan: { summary: { title: 'a' } },
    });
    page.store.getState().undo();
    expect(page.store.getState()).toMatchObject({ run: 'running', error: null });
  });

  it('of a run that was cancelled is that it was, until the next one', () => {
    const page = withJob();
    page.say({ kind: 'plan', run: 1, view: planOf('a', false) });
    page.store.getState().cancel();
    page.say({ kind: 'ended', run: 1, how: 'cancelled', error: null });
    expect(page.cancels).toBe(1);
    expect(page.store.getState()).toMatchObject({ run: 'idle', heatPending: false, cancelled: true });
    page.store.getState().planAgain();
    expect(page.store.getState()).toMatchObject({ run: 'running', cancelled: false });
  });

  it('of a lost worker is said once, with the job kept', () => {
    const page = withJob();
    page.hear({ kind: 'replaced', notice: 'started again' });
    expect(page.store.getState()).toMatchObject({ notice: 'started again', job: JOB });
    page.store.getState().dismiss();
    expect(page.store.getState().notice).toBeNull();
  });
});

describe('outputs', () => {
  it('are asked for when the dialog opens, and again when the plan has changed under it', () => {
    const page = withJob();
    page.say({ kind: 'plan', run: 1, view: planOf('a', false) });
    page.store.getState().openExport();
    expect(page.exports).toEqual([]);
    page.say({ kind: 'plan', run: 1, view: planOf('a', true) });
    page.say({ kind: 'ended', run: 1, how: 'planned', error: null });
    expect(page.exports).toEqual([1]);
    page.say({ kind: 'exported', request: 1, files: [{ name: 'waypoints.csv', bytes: Uint8Array.of(1) }] });
    expect(page.store.getState().outputs).toHaveLength(1);
    page.store.getState().edit('/process/speed_mm_s', 60);
    expect(page.store.getState().outputs).toBeNull();
  });
});

describe('files that are opened', () => {
  const file = (name: string) => new File([Uint8Array.of(1)], name);

  it('and cannot be read leave everything as it was', async () => {
    const page = withJob();
    page.say({ kind: 'ended', run: 1, how: 'imported', error: null });
    const error = { code: 'step-unreadable', sentence: 's', place: 'bad.step', hint: 'h' };
    page.answer = { how: 'refused', error };
    await page.store.getState().openFiles([file('bad.step')]);
    const { job, files, openError, run, canUndo } = page.store.getState();
    expect({ job, files, openError, run, canUndo }).toEqual({
      job: JOB,
      files: FILES,
      openError: error,
      run: 'idle',
      canUndo: false,
    });
  });

  it('are looked at together with a job that lacked them', async () => {
    const page = withJob();
    const error = { code: 'files-missing', sentence: 's', place: 'a.job.json', hint: 'h' };
    page.answer = { how: 'refused', error };
    await page.store.getState().openFiles([file('a.job.json')]);
    page.answer = { how: 'job', name: 'a.job.json', jobText: '{"title":"a","parts":[]}', files: [] };
    await page.store.getState().openFiles([file('b.step')]);
    expect(page.opened.at(-1)?.map((one) => one.name)).toEqual(['a.job.json', 'b.step']);
    expect(page.store.getState()).toMatchObject({ jobName: 'a.job.json', job: { title: 'a' }, openError: null });
  });
});
