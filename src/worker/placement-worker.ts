// The worker thread that evaluates placements in Node: takes the cell once, then orders one by one, and answers each
// with the figures of its placements.
import { parentPort } from 'node:worker_threads';
import type { Fidelity, Placement, PlacementFigures } from '../model/placement.ts';
import type { Task } from '../model/task.ts';
import {
  createPlacementEvaluator,
  type PlacementCell,
  type PlacementEvaluator,
} from '../planner/evaluate-placement.ts';

export type PlacementOrder =
  | { readonly kind: 'cell'; readonly cell: PlacementCell }
  | { readonly kind: 'evaluate'; readonly placements: readonly Placement[]; readonly fidelity: Fidelity };

export type PlacementAnswer = readonly PlacementFigures[];

/** Nobody asks this thread to stop: it is ended from outside. */
const busy: Task = {
  check: () => undefined,
  pause: async () => undefined,
  signal: new AbortController().signal,
};

let evaluator: PlacementEvaluator | undefined;

parentPort?.on('message', async (order: PlacementOrder) => {
  if (order.kind === 'cell') {
    evaluator = createPlacementEvaluator(order.cell);
    return;
  }
  if (evaluator === undefined) throw new Error('a placement came before its cell');
  const figures: PlacementFigures[] = [];
  for (const placement of order.placements) figures.push(await evaluator(placement, order.fidelity, busy));
  parentPort?.postMessage(figures satisfies PlacementAnswer);
});
