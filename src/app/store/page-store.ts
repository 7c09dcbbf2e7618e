// The store that the page lives on, and the hook that components read it with.
import { useStore } from 'zustand';
import { createEngine } from '../engine/engine.ts';
import { createPageStore } from './create-page-store.ts';
import type { PageState } from './state.ts';

export const pageStore = createPageStore({ createEngine, now: () => performance.now() });

/** What `selector` picks of the page's state; it must give the same object for the same state. */
export function usePage<T>(selector: (state: PageState) => T): T {
  return useStore(pageStore, selector);
}
