// `plan` and `check`: a job file in, a summary out, and for `plan` the outputs in a folder.
import { readFile } from 'node:fs/promises';
import { basename, dirname } from 'node:path';
import materials from '../../shared/data/materials.json' with { type: 'json' };
import optics from '../../shared/data/optics.json' with { type: 'json' };
import pairs from '../../shared/data/pairs.json' with { type: 'json' };
import { parseCatalogue } from '../model/catalogue.ts';
import { InputError } from '../model/input-error.ts';
import { parseJobFile } from '../model/parse-job.ts';
import { renderOutputs } from '../output/render-outputs.ts';
import { isBlocked, summarise, summaryText } from '../output/summary.ts';
import { createPlanner } from '../planner/planner.ts';
import { createNodeHost } from '../worker/node-host.ts';
import { printable } from './printable.ts';
import { createTerminalTask } from './progress-line.ts';
import { EXIT, type Terminal } from './terminal.ts';
import { writeOutputs } from './write-outputs.ts';

export interface PlanOptions {
  readonly job: string;
  readonly json: boolean;
  readonly progress: boolean;
}

/** Plans the job file; writes into `folder` unless it is null. Returns the exit code. */
export async function planJob(options: PlanOptions, folder: string | null, terminal: Terminal): Promise<number> {
  const { task, done } = createTerminalTask(terminal, options.progress);
  try {
    const place = basename(options.job);
    const jobFile = parseJobFile(await readJobText(options.job), place);
    const planner = createPlanner(createNodeHost(dirname(options.job)), parseCatalogue(optics, materials, pairs));
    const plan = await planner.plan(jobFile, place, task);
    const files = folder === null ? [] : renderOutputs(plan);
    task.check();
    if (folder !== null) await writeOutputs(folder, files, terminal.signal);
    done();
    const written = files.map((file) => file.name);
    if (options.json) terminal.out(`${JSON.stringify({ ...summarise(plan), written })}\n`);
    else
      terminal.out(
        `${printable(summaryText(plan), true)}\n${folder === null ? '' : `\nWrote ${written.join(', ')} to ${folder}\n`}`,
      );
    return isBlocked(plan) ? EXIT.blocked : EXIT.done;
  } finally {
    done();
  }
}

async function readJobText(path: string): Promise<string> {
  let bytes: Uint8Array;
  try {
    bytes = await readFile(path);
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? String(error.code) : String(error);
    const missing = code === 'ENOENT' || code === 'ENOTDIR';
    const sentence = missing ? 'the job file does not exist' : `the job file cannot be read: ${code}`;
    throw new InputError(missing ? 'job-missing' : 'job-unreadable', sentence, path, 'check the path');
  }
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new InputError('job-encoding', 'the job file is not UTF-8 text', path, 'save it as UTF-8');
  }
}
