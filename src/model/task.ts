// The one progress and cancel token that goes through all long work.

/** Says how far a piece of work is; `fraction` in 0 .. 1, `what` a short phrase such as "tracing rays". */
export type Progress = (what: string, fraction: number) => void;

/**
 * Handed to every stage. A stage calls `pause` at least every 20 ms of work; it reports progress, gives other work a
 * turn when due, and throws `Cancelled` once the person has cancelled.
 */
export interface Task {
  /** Throws `Cancelled` when cancelled; costs nothing worth counting otherwise. */
  check(): void;
  /** Reports progress, lets other work run if 20 ms have passed since it last did, then checks. */
  pause(what: string, fraction: number): Promise<void>;
  /** Aborts with the run; long outside work (an import worker) listens to it. */
  readonly signal: AbortSignalLike;
}

/** The part of an AbortSignal that the kernel needs (it compiles without DOM and Node types). */
export interface AbortSignalLike {
  readonly aborted: boolean;
  addEventListener(type: 'abort', listener: () => void): void;
  removeEventListener(type: 'abort', listener: () => void): void;
}
