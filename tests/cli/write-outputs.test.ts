// Outputs are written whole or not at all, whatever stands in the folder and whoever else writes there.
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { writeOutputs } from '../../src/cli/write-outputs.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'raythread-out-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const NAMES = ['waypoints.csv', 'program.csv', 'plan.json'];
const filesOf = (content: string) => NAMES.map((name) => ({ name, content }));
const never = new AbortController().signal;
const contents = (at: string) => NAMES.map((name) => readFileSync(join(at, name), 'utf8'));

describe('writeOutputs', () => {
  it('makes the folders that are missing, and replaces what is there', async () => {
    const deep = join(folder, 'a', 'b');
    await writeOutputs(deep, filesOf('old'), never);
    await writeOutputs(deep, filesOf('new'), never);
    expect(contents(deep)).toEqual(['new', 'new', 'new']);
    expect(readdirSync(deep).sort()).toEqual([...NAMES].sort());
  });

  it.each(NAMES)('leaves all as it was where a folder stands in place of %s', async (name) => {
    for (const other of NAMES) if (other !== name) writeFileSync(join(folder, other), 'old');
    mkdirSync(join(folder, name));
    await expect(writeOutputs(folder, filesOf('new'), never)).rejects.toThrow(/^out-unwritable: /);
    expect(readdirSync(folder).sort()).toEqual([...NAMES].sort());
    for (const other of NAMES) if (other !== name) expect(readFileSync(join(folder, other), 'utf8')).toBe('old');
  });

  it('removes the folders that it made when it is cancelled, unless something else lies there by then', async () => {
    const abort = new AbortController();
    abort.abort();
    const deep = join(folder, 'a', 'b');
    await expect(writeOutputs(deep, filesOf('new'), abort.signal)).rejects.toThrow('cancelled');
    expect(existsSync(join(folder, 'a'))).toBe(false);

    const late = new AbortController();
    const files = filesOf('new').map((file, k) => ({
      ...file,
      get content() {
        if (k === 2) {
          writeFileSync(join(deep, 'of-another-run.csv'), 'mine');
          late.abort();
        }
        return 'new';
      },
    }));
    await expect(writeOutputs(deep, files, late.signal)).rejects.toThrow('cancelled');
    expect(readdirSync(deep)).toEqual(['of-another-run.csv']);
  });

  it('never leaves a mixture of two runs', async () => {
    for (let round = 0; round < 15; round++) {
      await Promise.all(['one', 'two', 'three'].map((content) => writeOutputs(folder, filesOf(content), never)));
      expect(new Set(contents(folder)).size).toBe(1);
    }
    expect(readdirSync(folder).sort()).toEqual([...NAMES].sort());
  });

  it('takes a lock away that an ended run left behind, and waits for a fresh one until it is cancelled', async () => {
    const lock = join(folder, '.raythread.lock');
    writeFileSync(lock, '');
    utimesSync(lock, 1000, 1000);
    await writeOutputs(folder, filesOf('new'), never);
    expect(contents(folder)).toEqual(['new', 'new', 'new']);

    writeFileSync(lock, '');
    const abort = new AbortController();
    const waiting = writeOutputs(folder, filesOf('newer'), abort.signal);
    setTimeout(() => abort.abort(), 100);
    await expect(waiting).rejects.toThrow('cancelled');
    expect(contents(folder)).toEqual(['new', 'new', 'new']);
    expect(readdirSync(folder).filter((name) => name.endsWith('.part'))).toEqual([]);
  });
});
