// Evaluates placements on several cores of Node: each worker thread has a few placements at a time, the next go to whoever is
// free, and the answers are put in the order of the questions.
import { Worker } from 'node:worker_threads';
import { Cancelled } from '../model/input-error.ts';
import type { PlacementFigures } from '../model/placement.ts';
import type { AbortSignalLike } from '../model/task.ts';
import type { PlacementCell } from '../planner/evaluate-placement.ts';
import type { EvaluatePlacements } from '../planner/place-part.ts';
import type { PlacementAnswer, PlacementOrder } from './placement-worker.ts';

export interface PlacementPool {
  /** Hands the cell to all workers; once, before the first placement. */
  begin(cell: PlacementCell): void;
  /** Throws Cancelled once the signal aborts. */
  readonly evaluate: EvaluatePlacements;
  /** Ends all workers, in the middle of their work if need be. */
  close(): Promise<void>;
}

/** Placements handed over at once: many while many are left, so that workers seldom wait, one by one towards the end. */
const MOST_AT_ONCE = 16;
const SHARES = 8;

/** Starts `count` workers. The worker's file stands beside this one: `placement-worker.mjs` once built. */
export function createPlacementPool(count: number, signal: AbortSignalLike): PlacementPool {
  const checkout = import.meta.url.endsWith('.ts');
  const file = new URL(checkout ? './start-placement-worker.mjs' : './placement-worker.mjs', import.meta.url);
  const workers = Array.from({ length: count }, () => new Worker(file, { execArgv: [] }));
  let closing = false;
  // Rejects when a worker fails or the run is cancelled; kept, so that it is also seen by the next to wait.
  let fail: (error: unknown) => void = () => undefined;
  const failed = new Promise<never>((_, reject) => {
    fail = reject;
  });
  failed.catch(() => undefined);
  const stop = (): void => fail(new Cancelled());
  signal.addEventListener('abort', stop);
  if (signal.aborted) stop();
  for (const worker of workers) {
    worker.on('error', fail);
    worker.on('exit', () => {
      if (!closing) fail(new Error('a placement worker ended by itself'));
    });
  }

  const post = (worker: Worker, order: PlacementOrder): void => worker.postMessage(order);
  const ask = (worker: Worker, order: PlacementOrder): Promise<PlacementAnswer> =>
    Promise.race([
      failed,
      new Promise<PlacementAnswer>((resolve) => {
        worker.once('message', resolve);
        post(worker, order);
      }),
    ]);

  return {
    begin: (cell) => {
      for (const worker of workers) post(worker, { kind: 'cell', cell });
    },
    async evaluate(placements, fidelity, advance) {
      const figures = new Array<PlacementFigures>(placements.length);
      let next = 0;
      let done = 0;
      const serve = async (worker: Worker): Promise<void> => {
        while (next < placements.length) {
          const first = next;
          const left = placements.length - first;
          next += Math.min(Math.max(Math.floor(left / (SHARES * count)), 1), MOST_AT_ONCE);
          const part = placements.slice(first, next);
          const answers = await ask(worker, { kind: 'evaluate', placements: part, fidelity });
          answers.forEach((answer, k) => {
            figures[first + k] = answer;
          });
          done += part.length;
          await advance(done);
        }
      };
      await Promise.all(workers.map(serve));
      return figures;
    },
    async close() {
      closing = true;
      signal.removeEventListener('abort', stop);
      await Promise.all(workers.map((worker) => worker.terminate()));
    },
  };
}
