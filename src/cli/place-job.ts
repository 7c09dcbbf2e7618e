// `place`: where the part should stand before the arm, searched on all cores.
import { availableParallelism } from 'node:os';
import { InputError } from '../model/input-error.ts';
import { describePlacement, describeRanking, renderPlacements } from '../output/placements.ts';
import { placementLines, placementTable } from '../output/placements-text.ts';
import { placementCell } from '../planner/evaluate-placement.ts';
import { placePart } from '../planner/place-part.ts';
import { placementGrid } from '../planner/placement-grid.ts';
import { createPlacementPool } from '../worker/placement-pool.ts';
import { openJob } from './open-job.ts';
import { printable } from './printable.ts';
import { createTerminalTask } from './progress-line.ts';
import { EXIT, type Terminal } from './terminal.ts';
import { alignedTable } from './text-table.ts';
import { writeOutputs } from './write-outputs.ts';

export interface PlaceOptions {
  readonly job: string;
  /** Empty where nothing is to be written. */
  readonly out: string;
  /** 0 for one on each core. */
  readonly workers: number;
  readonly json: boolean;
  readonly progress: boolean;
}

/** Searches the placements of the job, prints the ranking and writes it. Exit code 1 where every placement is blocked. */
export async function placeJob(options: PlaceOptions, terminal: Terminal): Promise<number> {
  const { task, done } = createTerminalTask(terminal, options.progress);
  const { jobFile, place, planner } = await openJob(options.job);
  const { job, inputs } = await planner.read(jobFile, place);
  const { carrier, search } = job;
  if (carrier === null) {
    throw new InputError('place-no-arm', 'there is no arm to place the part for', `${place}#/arm`, 'name an arm');
  }
  if (search === null) {
    throw new InputError(
      'place-no-search',
      'the job does not say where the part may stand',
      `${place}#/search`,
      'add "search" with "position_mm" as three ranges',
    );
  }
  const grid = placementGrid(search, place);
  // The workers start while the part is read.
  const pool = createPlacementPool(options.workers || availableParallelism(), terminal.signal);
  try {
    const still = await planner.plan({ ...jobFile, arm: null }, place, task);
    pool.begin(placementCell(still, carrier));
    const ranking = await placePart(grid, pool.evaluate, task);
    const files = renderPlacements({ version: still.version, inputs: [...still.inputs, ...inputs], job, ranking });
    if (options.out !== '') await writeOutputs(options.out, files, terminal.signal);
    done();
    const written = options.out === '' ? [] : files.map((file) => file.name);
    if (options.json) {
      const best = ranking.ranked.slice(0, ranking.planned).map(describePlacement);
      terminal.out(`${JSON.stringify({ title: job.title, ...describeRanking(ranking), best, written })}\n`);
    } else {
      const axes = carrier.arm.axes.map((axis) => axis.name);
      const { head, rows } = placementTable(ranking, axes);
      const { opening, closing } = placementLines(ranking, axes);
      const wrote = written.length === 0 ? [] : ['', `Wrote ${written.join(', ')} to ${options.out}`];
      const title = job.title === '' ? 'Placements' : job.title;
      const lines = [title, opening, '', ...alignedTable(head, rows), ...closing, ...wrote];
      terminal.out(`${printable(lines.join('\n'), true)}\n`);
    }
    return ranking.fits === 0 ? EXIT.blocked : EXIT.done;
  } finally {
    done();
    await pool.close();
  }
}
