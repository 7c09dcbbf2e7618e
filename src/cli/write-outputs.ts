// Writes outputs so that nothing is ever half-written: all are staged beside their places, then renamed, the last one last.
import { mkdir, rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Cancelled, InputError } from '../model/input-error.ts';
import type { OutputFile } from '../output/render-outputs.ts';

/**
 * Writes `files` into `folder`, which is made when missing, in their order. Throws InputError `out-unwritable`, and
 * Cancelled when the signal aborts before the first rename; in both cases no staged file is left behind.
 */
export async function writeOutputs(folder: string, files: readonly OutputFile[], signal: AbortSignal): Promise<void> {
  const staged = files.map((file) => join(folder, `.${file.name}.${process.pid}.part`));
  try {
    const made = await mkdir(folder, { recursive: true });
    try {
      for (const [index, file] of files.entries()) {
        if (signal.aborted) throw new Cancelled();
        await writeFile(staged[index] as string, file.content);
      }
      if (signal.aborted) throw new Cancelled();
      for (const [index, file] of files.entries()) await rename(staged[index] as string, join(folder, file.name));
    } catch (error) {
      for (const path of staged) await rm(path, { force: true });
      if (made !== undefined) await rm(made, { recursive: true, force: true });
      throw error;
    }
  } catch (error) {
    if (error instanceof Error && 'code' in error) {
      const sentence = `the outputs cannot be written: ${String(error.code)}`;
      throw new InputError('out-unwritable', sentence, folder, 'choose a folder you may write to');
    }
    throw error;
  }
}
