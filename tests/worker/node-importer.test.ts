import { expect, test } from 'vitest';
import { Cancelled } from '../../src/model/input-error.ts';
import { createNodeImporter } from '../../src/worker/node-importer.ts';
import { outsideFile } from '../intake/support.ts';

const settings = { linear: 0.01, angular: 0.1 };

/** Handles that keep this process alive, by kind. */
const workers = (): number => process.getActiveResourcesInfo().filter((kind) => kind === 'MessagePort').length;

test('an abort ends the worker at once, and the next import works', async () => {
  const importCad = createNodeImporter();
  const before = workers();
  const abort = new AbortController();
  // At a nanometre this file takes far longer than a test may.
  const running = importCad(
    outsideFile('cax-if/sg1-c5-214.stp'),
    'step',
    { linear: 1e-6, angular: 0.001 },
    abort.signal,
  );
  let during = 0;
  setTimeout(() => {
    during = workers();
    abort.abort();
  }, 600);
  await expect(running).rejects.toBeInstanceOf(Cancelled);
  expect(during).toBeGreaterThan(before);
  expect(workers()).toBe(before);
  const next = await importCad(
    outsideFile('simple-basic-cube/cube.stp'),
    'step',
    settings,
    new AbortController().signal,
  );
  expect(next).toMatchObject({ ok: true, bodies: [{ name: 'cube' }] });
});

test('an import that takes longer than the limit is ended and says so', async () => {
  const importCad = createNodeImporter(0.5);
  const result = await importCad(
    outsideFile('cax-if/sg1-c5-214.stp'),
    'step',
    { linear: 1e-6, angular: 0.001 },
    new AbortController().signal,
  );
  expect(result).toEqual({ ok: false, reason: 'no result within 0.5 s, the import was ended' });
});

test('a signal that is aborted already starts nothing', async () => {
  const abort = new AbortController();
  abort.abort();
  const running = createNodeImporter()(outsideFile('simple-basic-cube/cube.stp'), 'step', settings, abort.signal);
  await expect(running).rejects.toBeInstanceOf(Cancelled);
});

test('the bytes of the caller stay his', async () => {
  const bytes = outsideFile('simple-basic-cube/cube.stp');
  await createNodeImporter()(bytes, 'step', settings, new AbortController().signal);
  expect(bytes.length).toBeGreaterThan(8000);
});
