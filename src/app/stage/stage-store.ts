// What the stage alone knows and its overlays show: measured points, whether its pictures are lost, whether it can draw at all.
import { useStore } from 'zustand';
import { createStore } from 'zustand/vanilla';
import type { MeasurePoint } from './measure.ts';

export interface StageOwn {
  readonly measured: readonly MeasurePoint[];
  readonly lost: boolean;
  readonly missing: boolean;
}

export const stageStore = createStore<StageOwn>(() => ({ measured: [], lost: false, missing: false }));

export function useStage<T>(selector: (state: StageOwn) => T): T {
  return useStore(stageStore, selector);
}
