// Writes outputs so that nothing is ever half-written: all are staged beside their places, then renamed, the last one last.
import { randomUUID } from 'node:crypto';
import { lstat, mkdir, open, rename, rm, rmdir, stat, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { setTimeout } from 'node:timers/promises';
import { Cancelled, InputError } from '../model/input-error.ts';
import type { OutputFile } from '../output/render-outputs.ts';

/** Held while files are renamed, so that two runs into one folder never leave a mixture. */
const LOCK = '.raythread.lock';
/** Renaming takes milliseconds: a lock older than this was left behind, ms. */
const STALE = 5000;
const RETRY = 20;

/**
 * Writes `files` into `folder`, which is made when missing, in their order. The last file tells that the others are whole:
 * an old one is removed before the first rename. Throws InputError `out-unwritable`, and Cancelled when the signal aborts
 * before the first rename; in both cases what was there is left as it was, and no staged file is left behind.
 */
export async function writeOutputs(folder: string, files: readonly OutputFile[], signal: AbortSignal): Promise<void> {
  const run = randomUUID();
  const targets = files.map((file) => join(folder, file.name));
  const staged = files.map((file) => join(folder, `.${file.name}.${run}.part`));
  try {
    const made = await mkdir(folder, { recursive: true });
    try {
      for (const target of targets) await refuseFolder(target);
      for (const [index, file] of files.entries()) {
        if (signal.aborted) throw new Cancelled();
        await writeFile(staged[index] as string, file.content);
      }
      await locked(join(folder, LOCK), signal, async () => {
        await rm(targets.at(-1) as string, { force: true });
        for (const [index, target] of targets.entries()) await rename(staged[index] as string, target);
      });
    } catch (error) {
      for (const path of staged) await rm(path, { force: true });
      if (made !== undefined) await removeEmpty(resolve(folder), resolve(made));
      throw error;
    }
  } catch (error) {
    if (error instanceof Error && 'code' in error && !(error instanceof InputError)) {
      const sentence = `the outputs cannot be written: ${String(error.code)}`;
      throw new InputError('out-unwritable', sentence, folder, 'choose a folder you may write to');
    }
    throw error;
  }
}

/** A folder in a file's place would stop the renaming halfway. */
async function refuseFolder(target: string): Promise<void> {
  const there = await lstat(target).catch(() => undefined);
  if (there?.isDirectory()) {
    const sentence = 'a folder stands where a file is to be written';
    throw new InputError('out-unwritable', sentence, target, 'move it away, or choose another folder');
  }
}

/** Runs `work` while no other run holds the lock. */
async function locked(path: string, signal: AbortSignal, work: () => Promise<void>): Promise<void> {
  for (;;) {
    if (signal.aborted) throw new Cancelled();
    try {
      await (await open(path, 'wx')).close();
      break;
    } catch (error) {
      if (!(error instanceof Error && 'code' in error && error.code === 'EEXIST')) throw error;
      const held = await stat(path).catch(() => undefined);
      if (held !== undefined && Date.now() - held.mtimeMs > STALE) await rm(path, { force: true });
      else await setTimeout(RETRY);
    }
  }
  try {
    await work();
  } finally {
    await rm(path, { force: true });
  }
}

/** Removes `folder` and its parents up to `last`, as far as they are empty. */
async function removeEmpty(folder: string, last: string): Promise<void> {
  for (let path = folder; ; path = dirname(path)) {
    const removed = await rmdir(path).then(
      () => true,
      () => false,
    );
    if (!removed || path === last || path === dirname(path)) return;
  }
}
