// What every command on a job begins with: its file read, and a planner for its folder with the catalogues that come along.
import { readFile } from 'node:fs/promises';
import { basename, dirname } from 'node:path';
import { InputError } from '../model/input-error.ts';
import type { JobFile } from '../model/job-file.ts';
import { parseJobFile } from '../model/parse-job.ts';
import { createPlanner, type Planner } from '../planner/planner.ts';
import { readCatalogue } from '../worker/catalogue.ts';
import { createNodeHost } from '../worker/node-host.ts';

export interface OpenJob {
  readonly jobFile: JobFile;
  /** The file's name, for errors. */
  readonly place: string;
  readonly planner: Planner;
}

/** Throws InputError `job-*`. */
export async function openJob(path: string): Promise<OpenJob> {
  const place = basename(path);
  const jobFile = parseJobFile(await readInputText(path, 'job'), place);
  const planner = createPlanner(createNodeHost(dirname(path)), readCatalogue());
  return { jobFile, place, planner };
}

/** Text of a job or a trial file; throws InputError `*-missing`, `*-unreadable`, `*-encoding`. */
export async function readInputText(path: string, kind: 'job' | 'trial'): Promise<string> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    const missing = code === 'ENOENT' || code === 'ENOTDIR';
    const sentence = missing ? `the ${kind} file does not exist` : `the ${kind} file cannot be read: ${code}`;
    throw new InputError(`${kind}-${missing ? 'missing' : 'unreadable'}`, sentence, path, 'check the path');
  }
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new InputError(`${kind}-encoding`, `the ${kind} file is not UTF-8 text`, path, 'save it as UTF-8');
  }
}
