// `calibrate`: a file of weld trials in, the materials that explain them out.
import { basename, dirname, join } from 'node:path';
import { parseTrialFile } from '../model/trial-file.ts';
import { describeTrial, trialText } from '../output/trial-text.ts';
import { calibrateTrials, plannedCase, straightCase } from '../planner/calibrate-trials.ts';
import { createNodeHost } from '../worker/node-host.ts';
import { readCatalogue } from '../worker/catalogue.ts';
import { openJob, readInputText } from './open-job.ts';
import { printable } from './printable.ts';
import { createTerminalTask } from './progress-line.ts';
import { EXIT, type Terminal } from './terminal.ts';

export interface CalibrateOptions {
  readonly trial: string;
  readonly json: boolean;
  readonly progress: boolean;
}

/** Fits the trials of the file and prints what they say. Returns the exit code. */
export async function calibrateTrial(options: CalibrateOptions, terminal: Terminal): Promise<number> {
  const { task, done } = createTerminalTask(terminal, options.progress);
  try {
    const place = basename(options.trial);
    const file = parseTrialFile(await readInputText(options.trial, 'trial'), place);
    const { on } = file;
    const folder = dirname(options.trial);
    const planned = async (name: string) => {
      // Refuses a job outside the trial's folder.
      await createNodeHost(folder).readFile(name);
      const { jobFile, place: job, planner } = await openJob(join(folder, name));
      return planner.plan(jobFile, job, task);
    };
    const of =
      'job' in on
        ? plannedCase(await planned(on.job), on.seam, place)
        : await straightCase(on, readCatalogue(), place, task);
    const description = describeTrial(await calibrateTrials(of, file, place, task), file, place);
    done();
    terminal.out(options.json ? `${JSON.stringify(description)}\n` : `${printable(trialText(description), true)}\n`);
    return EXIT.done;
  } finally {
    done();
  }
}
