// Makes the token that goes through all long work; clock and turn-taking come from the place it runs in.
import { Cancelled } from '../model/input-error.ts';
import type { AbortSignalLike, Progress, Task } from '../model/task.ts';

export interface TaskSettings {
  /** Monotonic clock, ms. */
  readonly now: () => number;
  /** Lets other work run, then goes on. */
  readonly yieldTurn: () => Promise<void>;
  readonly signal: AbortSignalLike;
  readonly progress?: Progress;
}

/** Longest stretch of work without giving others a turn, ms. */
const TURN = 20;

export function createTask({ now, yieldTurn, signal, progress }: TaskSettings): Task {
  let last = now();
  const check = (): void => {
    if (signal.aborted) throw new Cancelled();
  };
  return {
    signal,
    check,
    async pause(what, fraction) {
      check();
      if (now() - last < TURN) return;
      progress?.(what, fraction);
      await yieldTurn();
      last = now();
      check();
    },
  };
}
