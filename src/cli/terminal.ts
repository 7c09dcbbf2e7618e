// What one run of the command has to do with its surroundings: streams, a signal, an exit code.

/** The streams and the signal of one run. */
export interface Terminal {
  readonly out: (text: string) => void;
  readonly err: (text: string) => void;
  readonly isTerminal: boolean;
  readonly signal: AbortSignal;
}

export const EXIT = { done: 0, blocked: 1, usage: 2, input: 3, cancelled: 4, fault: 5 } as const;
