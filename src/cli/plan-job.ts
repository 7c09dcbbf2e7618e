// `plan` and `check`: a job file in, a summary out, and for `plan` the outputs in a folder.
import { renderOutputs } from '../output/render-outputs.ts';
import { isBlocked, summarise, summaryText } from '../output/summary.ts';
import { openJob } from './open-job.ts';
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
    const { jobFile, place, planner } = await openJob(options.job);
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
