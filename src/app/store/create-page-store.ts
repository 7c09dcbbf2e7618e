// The page's one store: slices by topic, undo over job and files, and the engine that plans whenever these change.
import { type TemporalState, temporal } from 'zundo';
import { createStore, type StoreApi } from 'zustand/vanilla';
import type { Engine, EngineNews } from '../engine/engine.ts';
import { createFilesSlice } from './files-slice.ts';
import { createJobSlice, sameUndoable, type Undoable, undoable } from './job-slice.ts';
import { createPlanning } from './plan-slice.ts';
import type { PageState } from './state.ts';
import { createViewSlice } from './view-slice.ts';

/** Steps that can be undone. */
const STEPS = 300;

export interface PageStoreSettings {
  /** Makes the engine; called once, when the first job is planned. */
  readonly createEngine: (hear: (news: EngineNews) => void) => Engine;
  /** Monotonic, ms. */
  readonly now: () => number;
}

/** `temporal` is the history: `temporal.getState().clear()` forgets it. */
export type PageStore = StoreApi<PageState> & { readonly temporal: StoreApi<TemporalState<Undoable>> };

/** A store with nothing open. */
export function createPageStore({ createEngine, now }: PageStoreSettings): PageStore {
  let made: Engine | null = null;
  const engine = (): Engine => {
    made ??= createEngine(planning.hear);
    return made;
  };
  const tools = {
    set: (patch: Partial<PageState>) => store.setState(patch),
    get: () => store.getState(),
    history: () => store.temporal.getState(),
  };
  const planning = createPlanning({ ...tools, engine });
  const store: PageStore = createStore<PageState>()(
    temporal(
      () => ({
        ...createJobSlice({ ...tools, now }),
        ...planning.slice,
        ...createViewSlice(tools.set),
        ...createFilesSlice({ ...tools, engine }),
      }),
      { partialize: undoable, equality: sameUndoable, limit: STEPS },
    ),
  );
  store.subscribe((state, before) => {
    if (state.job !== before.job || state.files !== before.files) planning.request();
  });
  store.temporal.subscribe(({ pastStates, futureStates }) => {
    const [canUndo, canRedo] = [pastStates.length > 0, futureStates.length > 0];
    const state = store.getState();
    if (state.canUndo !== canUndo || state.canRedo !== canRedo) store.setState({ canUndo, canRedo });
  });
  return store;
}
