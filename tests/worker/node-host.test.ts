import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { createNodeHost } from '../../src/worker/node-host.ts';

const root = mkdtempSync(join(tmpdir(), 'raythread-host-'));
const job = join(root, 'job');
mkdirSync(join(job, 'parts'), { recursive: true });
writeFileSync(join(job, 'parts', 'lid.step'), 'abc');
writeFileSync(join(root, 'secret.step'), 'no');
symlinkSync(join(job, 'parts', 'lid.step'), join(job, 'inside.step'));
symlinkSync(join(root, 'secret.step'), join(job, 'outside.step'));
symlinkSync(root, join(job, 'up'));
afterAll(() => rmSync(root, { recursive: true }));
const host = createNodeHost(job);

test('reads files of the job folder, also through a link inside it', async () => {
  expect(await host.readFile('parts/lid.step')).toEqual(Uint8Array.from([97, 98, 99]));
  expect(await host.readFile('./parts/../inside.step')).toEqual(Uint8Array.from([97, 98, 99]));
});

test.each([
  ['../secret.step', 'file-outside'],
  ['../not-there.step', 'file-outside'],
  ['outside.step', 'file-outside'],
  ['up/secret.step', 'file-outside'],
  [join(root, 'secret.step'), 'file-outside'],
  ['not-there.step', 'file-missing'],
  ['parts/lid.step/more', 'file-missing'],
  ['parts', 'file-unreadable'],
  ['.', 'file-unreadable'],
  ['a\0b', 'file-unreadable'],
])('%s is refused: %s', async (path, code) => {
  await expect(host.readFile(path)).rejects.toMatchObject({ name: 'InputError', code, place: path });
});

test('SHA-256 of "abc"', async () => {
  // Source: FIPS 180-2, appendix B.1 (from memory).
  const abc = await host.readFile('parts/lid.step');
  expect(await host.sha256(abc)).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad');
});
