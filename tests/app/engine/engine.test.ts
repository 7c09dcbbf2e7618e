import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { createEngine, type EngineNews, type PlanOrder, type WorkerLike } from '../../../src/app/engine/engine.ts';
import type { FromWorker, ToWorker } from '../../../src/worker/page/protocol.ts';
import { planOf } from '../store/fake-engine.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

interface FakeWorker extends WorkerLike {
  readonly sent: ToWorker[];
  ended: boolean;
}

function engineOf() {
  const workers: FakeWorker[] = [];
  const news: EngineNews[] = [];
  const engine = createEngine(
    (said) => news.push(said),
    () => {
      const worker: FakeWorker = {
        sent: [],
        ended: false,
        postMessage: (message) => void worker.sent.push(message),
        terminate: () => {
          worker.ended = true;
        },
        onmessage: null,
        onerror: null,
      };
      workers.push(worker);
      return worker;
    },
  );
  const say = (data: FromWorker) => workers.at(-1)?.onmessage?.({ data } as MessageEvent<FromWorker>);
  const crash = () => workers.at(-1)?.onerror?.({ preventDefault: () => undefined } as ErrorEvent);
  const runs = () => workers.at(-1)?.sent.flatMap((message) => (message.kind === 'plan' ? [message.run] : []));
  return { engine, workers, news, say, crash, runs };
}

const files = new Map([['a.step', Uint8Array.of(1)]]);
const order = (run: number, jobText = `job ${run}`): PlanOrder => ({
  run,
  jobText,
  place: 'a',
  files,
  hasScene: false,
});

describe('the engine', () => {
  it('sends files once, and again when they change', () => {
    const { engine, workers } = engineOf();
    engine.plan(order(1));
    vi.advanceTimersByTime(300);
    engine.plan(order(2));
    vi.advanceTimersByTime(300);
    engine.plan({ ...order(3), files: new Map(files) });
    expect(workers[0].sent.map(({ kind }) => kind)).toEqual(['files', 'plan', 'plan', 'files', 'plan']);
  });

  it('lets a run get to its first plan while a slider moves, and then takes the newest job', () => {
    const { engine, runs, say } = engineOf();
    engine.plan(order(1));
    for (let run = 2; run < 6; run++) {
      vi.advanceTimersByTime(16);
      engine.plan(order(run));
    }
    expect(runs()).toEqual([1]);
    say({ kind: 'plan', run: 1, view: planOf('', false) });
    expect(runs()).toEqual([1, 5]);
  });

  it('does not wait for a first plan that takes long, nor for heat', () => {
    const { engine, runs, say } = engineOf();
    engine.plan(order(1));
    vi.advanceTimersByTime(100);
    engine.plan(order(2));
    vi.advanceTimersByTime(149);
    expect(runs()).toEqual([1]);
    vi.advanceTimersByTime(1);
    expect(runs()).toEqual([1, 2]);
    say({ kind: 'plan', run: 2, view: planOf('', false) });
    engine.plan(order(3));
    expect(runs()).toEqual([1, 2, 3]);
  });

  it('replaces a worker that fell over, plans again, and gives up on a job that fells a second one', () => {
    const { engine, workers, news, crash } = engineOf();
    engine.plan(order(1));
    crash();
    expect(workers[0].ended).toBe(true);
    expect(news.map(({ kind }) => kind)).toEqual(['replaced']);
    expect(workers[1].sent.map(({ kind }) => kind)).toEqual(['files', 'plan']);
    crash();
    expect(news.at(-1)).toMatchObject({ kind: 'failed', error: { code: 'worker-lost' } });
    engine.plan(order(2, 'another'));
    expect(workers).toHaveLength(3);
    expect(workers[2].sent.map(({ kind }) => kind)).toEqual(['files', 'plan']);
  });

  it('ends the worker of a run that does not answer a cancel, and not that of one that does', () => {
    const { engine, workers, news, say } = engineOf();
    engine.plan(order(1));
    engine.cancel();
    say({ kind: 'ended', run: 1, how: 'cancelled', error: null });
    vi.advanceTimersByTime(5000);
    expect(workers[0].ended).toBe(false);
    engine.plan(order(2));
    engine.cancel();
    vi.advanceTimersByTime(5000);
    expect(workers[0].ended).toBe(true);
    expect(news.at(-1)).toMatchObject({ message: { kind: 'ended', run: 2, how: 'cancelled' } });
  });

  it('forgets a job that waits when it is cancelled, and says that it has', () => {
    const { engine, runs, news } = engineOf();
    engine.plan(order(1));
    engine.plan(order(2));
    engine.cancel();
    expect(news.at(-1)).toMatchObject({ message: { kind: 'ended', run: 2, how: 'cancelled' } });
    vi.advanceTimersByTime(1000);
    expect(runs()).toEqual([1]);
  });

  it('answers what was asked of a worker that is lost', async () => {
    const { engine, crash } = engineOf();
    const opened = engine.open([{ name: 'a.step', bytes: Uint8Array.of(1) }]);
    const packed = engine.pack([]);
    crash();
    expect(await opened).toMatchObject({ how: 'refused', error: { code: 'file-unreadable' } });
    expect(await packed).toBeNull();
  });
});
