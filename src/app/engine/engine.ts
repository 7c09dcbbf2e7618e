// The page's end of the plan worker: what is sent and when, and what happens when the worker falls over or hangs.
import type { FromWorker, Opened, PageError, PageFile, ToWorker } from '../../worker/page/protocol.ts';

export interface PlanOrder {
  readonly run: number;
  readonly jobText: string;
  readonly place: string;
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** Whether the page shows a scene: one is sent anew only if it changes. */
  readonly hasScene: boolean;
}

export type EngineNews =
  | { readonly kind: 'message'; readonly message: FromWorker }
  /** The worker was lost and another is there. */
  | { readonly kind: 'replaced'; readonly notice: string }
  /** The worker was lost again with the same job. */
  | { readonly kind: 'failed'; readonly error: PageError };

export interface Engine {
  /** Plans a job: the run before is let go as far as its first plan, for a moment, so that a moving slider shows something. */
  plan(order: PlanOrder): void;
  cancel(): void;
  exportFiles(request: number): void;
  /** Looks at chosen files; never rejects. */
  open(files: readonly PageFile[]): Promise<Opened>;
  /** One archive of the files; null where the worker was lost meanwhile. */
  pack(files: readonly PageFile[]): Promise<Uint8Array | null>;
}

/** The part of a Worker that the engine needs. */
export interface WorkerLike {
  postMessage(message: ToWorker): void;
  terminate(): void;
  onmessage: ((event: MessageEvent<FromWorker>) => void) | null;
  onerror: ((event: ErrorEvent) => void) | null;
}

/** Longest time that a superseded run may still take to its first plan, ms. */
const GRACE = 250;
/** A cancelled run that has not ended by then hangs: its worker is ended, ms. */
const HANGS = 1500;

const CRASHED: PageError = {
  code: 'worker-lost',
  sentence: 'planning this job ended the planner twice',
  place: '',
  hint: 'undo the last change, or save the job and tell us',
};

const UNREAD: PageError = {
  code: 'file-unreadable',
  sentence: 'reading the files ended the planner',
  place: '',
  hint: 'export the part again, with fewer bodies',
};

const startWorker = (): WorkerLike =>
  new Worker(new URL('../../worker/page/plan-worker.ts', import.meta.url), { type: 'module' });

export function createEngine(hear: (news: EngineNews) => void, start: () => WorkerLike = startWorker): Engine {
  let worker: WorkerLike | null = null;
  let sentFiles: ReadonlyMap<string, Uint8Array> | null = null;
  /** The run that the worker is at; `early`: it has not yet shown a plan. */
  let running: { readonly order: PlanOrder; readonly since: number; early: boolean } | null = null;
  let waiting: PlanOrder | null = null;
  let grace: ReturnType<typeof setTimeout> | undefined;
  let hangs: ReturnType<typeof setTimeout> | undefined;
  /** Job whose planning lost a worker last. */
  let lostWith = '';
  /** What waits for an answer, by request; called with null when the worker is gone. */
  const asked = new Map<number, (answer: FromWorker | null) => void>();
  let requests = 0;

  function theWorker(): WorkerLike {
    if (worker !== null) return worker;
    const made = start();
    made.onmessage = ({ data }) => take(data);
    made.onerror = (event) => {
      event.preventDefault();
      lost();
    };
    worker = made;
    return made;
  }

  function drop(): void {
    worker?.terminate();
    worker = null;
    sentFiles = null;
    running = null;
    clearTimeout(hangs);
    for (const answer of asked.values()) answer(null);
    asked.clear();
  }

  function ask(message: (request: number) => ToWorker): Promise<FromWorker | null> {
    requests += 1;
    const request = requests;
    return new Promise((resolve) => {
      asked.set(request, resolve);
      theWorker().postMessage(message(request));
    });
  }

  function lost(): void {
    const order = waiting ?? running?.order ?? null;
    drop();
    waiting = null;
    if (order === null) return;
    const again = lostWith === order.jobText;
    lostWith = order.jobText;
    if (again) {
      hear({ kind: 'failed', error: CRASHED });
    } else {
      hear({ kind: 'replaced', notice: 'The planner had to be started again. The job is as it was.' });
      send(order);
    }
  }

  function take(message: FromWorker): void {
    if (message.kind === 'opened' || message.kind === 'packed') {
      asked.get(message.request)?.(message);
      asked.delete(message.request);
      return;
    }
    const mine = 'run' in message && message.run === running?.order.run;
    if (mine && message.kind === 'plan' && running !== null) running.early = false;
    if (mine && message.kind === 'ended') {
      running = null;
      clearTimeout(hangs);
      if (message.how === 'planned') lostWith = '';
    }
    hear({ kind: 'message', message });
    if (waiting !== null && running?.early !== true) sendWaiting();
  }

  const hearCancelled = (run: number): void =>
    hear({ kind: 'message', message: { kind: 'ended', run, how: 'cancelled', error: null } });

  function sendWaiting(): void {
    clearTimeout(grace);
    const order = waiting;
    waiting = null;
    if (order !== null) send(order);
  }

  function send(order: PlanOrder): void {
    const to = theWorker();
    if (order.files !== sentFiles) {
      const files: PageFile[] = Array.from(order.files, ([name, bytes]) => ({ name, bytes }));
      to.postMessage({ kind: 'files', files });
      sentFiles = order.files;
    }
    clearTimeout(hangs);
    running = { order, since: Date.now(), early: true };
    const { run, jobText, place, hasScene } = order;
    to.postMessage({ kind: 'plan', run, jobText, place, hasScene });
  }

  return {
    plan(order) {
      const soFar = running === null ? 0 : Date.now() - running.since;
      waiting = order;
      clearTimeout(grace);
      if (running?.early !== true || running.order.files !== order.files || soFar >= GRACE) sendWaiting();
      else grace = setTimeout(sendWaiting, GRACE - soFar);
    },
    cancel() {
      clearTimeout(grace);
      const unsent = waiting;
      waiting = null;
      if (unsent !== null) hearCancelled(unsent.run);
      if (worker === null) return;
      worker.postMessage({ kind: 'cancel' });
      if (running === null) return;
      const { run } = running.order;
      clearTimeout(hangs);
      hangs = setTimeout(() => {
        drop();
        hearCancelled(run);
      }, HANGS);
    },
    exportFiles(request) {
      theWorker().postMessage({ kind: 'export', request });
    },
    async open(files) {
      const answer = await ask((request) => ({ kind: 'open', request, files }));
      return answer?.kind === 'opened' ? answer.opened : { how: 'refused', error: UNREAD };
    },
    async pack(files) {
      const answer = await ask((request) => ({ kind: 'pack', request, files }));
      return answer?.kind === 'packed' ? answer.bytes : null;
    },
  };
}
