// The command `calibrate` on the sample's trials, and what it refuses.
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { runCommand } from '../../src/cli/run-command.ts';

const sample = fileURLToPath(new URL('../../sample-parts/wave-pod.trial.json', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'raythread-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function run(...words: string[]) {
  let [out, err] = ['', ''];
  const code = await runCommand(words, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    isTerminal: false,
    signal: new AbortController().signal,
  });
  return { code, out, err };
}

test('fits the trials on a seam of a job', async () => {
  const { code, out } = await run('calibrate', sample, '--json');
  expect(code).toBe(0);
  const said = JSON.parse(out);
  // What the trials were made with, and rounded from: 8 per mm, 82 %.
  expect(Math.abs(said.absorption_1_mm / 8 - 1)).toBeLessThan(0.1);
  expect(Math.abs(said.delivered / 0.82 - 1)).toBeLessThan(0.05);
  expect(said.residual_pct).toBeGreaterThan(0.05);
  expect(said.residual_pct).toBeLessThan(1);
  expect(said.trials).toHaveLength(4);
  expect(said.materials['pc-carbon-black'].absorption_1_mm.value).toBe(said.absorption_1_mm);
}, 60_000);

describe('refuses in one line, exit code 3', () => {
  const trial = { format: 'raythread-trial/1', on: { absorber: 'pc-carbon-black' } };
  const driven = { power_W: 10, speed_mm_s: 50 };
  test.each([
    ['trial-key-missing', { ...trial }],
    ['trial-value', { ...trial, trials: [] }],
    ['trial-value', { ...trial, trials: [driven] }],
    ['trial-value', { ...trial, trials: [{ ...driven, width_mm: -1 }] }],
    ['trial-value', { ...trial, trials: [{ ...driven, power_W: 0, onset: true }] }],
    ['trial-key-unknown', { ...trial, trials: [{ ...driven, width_mm: 1 }], more: 1 }],
    ['file-outside', { ...trial, on: { job: '../wave-pod.job.json' }, trials: [{ ...driven, width_mm: 1 }] }],
    ['trial-width', { ...trial, trials: [{ ...driven, width_mm: 9 }] }],
  ])('%s', async (error, content) => {
    const path = join(folder, 'a.trial.json');
    writeFileSync(path, JSON.stringify(content));
    const { code, out, err } = await run('calibrate', path);
    expect([code, out]).toEqual([3, '']);
    expect(err).toMatch(new RegExp(`^${error}: [^\n]*\n$`));
  });

  test('a file that is not there, and one that is no JSON', async () => {
    expect((await run('calibrate', join(folder, 'none.json'))).err).toMatch(/^trial-missing: /);
    writeFileSync(join(folder, 'b.json'), '{"format": ');
    expect((await run('calibrate', join(folder, 'b.json'))).err).toMatch(/^trial-json: /);
    expect((await run('calibrate')).code).toBe(2);
    expect((await run('calibrate', 'a', '--out', 'b')).code).toBe(2);
  });
});
