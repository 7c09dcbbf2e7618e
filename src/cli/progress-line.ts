// The token of one run on the command line, with progress as a line on standard error.
import { setImmediate } from 'node:timers/promises';
import type { Task } from '../model/task.ts';
import { createTask } from '../planner/task-runner.ts';
import type { Terminal } from './terminal.ts';

/** Least time between two lines of progress, ms. */
const INTERVAL = 100;

export interface TerminalTask {
  readonly task: Task;
  /** Clears the line of progress, if one stands there. */
  done(): void;
}

export function createTerminalTask(terminal: Terminal, always: boolean): TerminalTask {
  const shown = always || terminal.isTerminal;
  let last = 0;
  let stands = false;
  const task = createTask({
    now: () => performance.now(),
    yieldTurn: () => setImmediate(),
    signal: terminal.signal,
    progress: (what, fraction) => {
      if (!shown || performance.now() - last < INTERVAL) return;
      last = performance.now();
      const text = `${what} ${(fraction * 100).toFixed(0)} %`;
      terminal.err(terminal.isTerminal ? `\r\x1b[K${text}` : `${text}\n`);
      stands = true;
    },
  });
  return {
    task,
    done: () => {
      if (stands && terminal.isTerminal) terminal.err('\r\x1b[K');
      stands = false;
    },
  };
}
