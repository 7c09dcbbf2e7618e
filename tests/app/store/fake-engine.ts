// An engine that does nothing but write down what it is asked, and says what a test has it say.
import type { Engine, EngineNews, PlanOrder } from '../../../src/app/engine/engine.ts';
import { createPageStore, type PageStore } from '../../../src/app/store/create-page-store.ts';
import type { PlanView, SceneView } from '../../../src/output/view/plan-view.ts';
import type { FromWorker, Opened, PageFile } from '../../../src/worker/page/protocol.ts';

export interface FakePage {
  readonly store: PageStore;
  readonly orders: PlanOrder[];
  readonly opened: (readonly PageFile[])[];
  /** What the next opening comes to. */
  answer: Opened;
  cancels: number;
  exports: number[];
  /** ms */
  clock: number;
  say(message: FromWorker): void;
  hear(news: EngineNews): void;
}

export function fakePage(): FakePage {
  let hear: (news: EngineNews) => void = () => undefined;
  const engine: Engine = {
    plan: (order) => void page.orders.push(order),
    cancel: () => {
      page.cancels += 1;
    },
    exportFiles: (request) => void page.exports.push(request),
    open: async (files) => {
      page.opened.push(files);
      return page.answer;
    },
    pack: async () => null,
  };
  const page: FakePage = {
    store: createPageStore({
      createEngine: (listen) => {
        hear = listen;
        return engine;
      },
      now: () => page.clock,
    }),
    orders: [],
    opened: [],
    answer: { how: 'cancelled' },
    cancels: 0,
    exports: [],
    clock: 0,
    say: (message) => hear({ kind: 'message', message }),
    hear: (news) => hear(news),
  };
  return page;
}

/** A scene of bodies without triangles. */
export const sceneOf = (bodies: readonly (readonly [file: string, names: readonly string[]])[]): SceneView => ({
  centre: [0, 0, 0],
  low: [0, 0, 0],
  high: [0, 0, 0],
  coarse: false,
  notes: [],
  bodies: bodies.flatMap(([file, names]) =>
    names.map((name, index) => ({
      key: `${file}#${index}`,
      file,
      name,
      index,
      position: new Float32Array(),
      triangle: new Uint32Array(),
      faceOfTriangle: new Uint32Array(),
      edges: [],
    })),
  ),
});

/** A plan without seams. */
export const planOf = (title: string, complete: boolean): PlanView => ({
  version: '0',
  centre: [0, 0, 0],
  summary: { title, seams: [], findings: [], blocked: false },
  findings: [],
  seams: [],
  complete,
});
