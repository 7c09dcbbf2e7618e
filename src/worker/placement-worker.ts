// The worker thread that evaluates placements in Node: takes the cell once, then orders one by one, and answers each.
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
  | { readonly kind: 'evaluate'; readonly placement: Placement; readonly fidelity: Fidelity };

export type PlacementAnswer = PlacementFigures;

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
  const answer: PlacementAnswer = await evaluator(order.placement, order.fidelity, busy);
  parentPort?.postMessage(answer);
});
