// The state of the plan in words.
import type { PageState } from '../store/state.ts';

export type PlanState =
  | 'empty'
  | 'asking'
  | 'no-seam'
  | 'failed'
  | 'cancelled'
  | 'planning'
  | 'stale'
  | 'heat'
  | 'planned';

export function planState(state: PageState): PlanState {
  if (!Array.isArray(state.job.parts) || state.job.parts.length === 0) return 'empty';
  if (state.run === 'running' && !state.heatPending) return 'planning';
  if (state.questions.length > 0) return 'asking';
  if (state.run === 'failed') return 'failed';
  if (state.cancelled) return 'cancelled';
  if (state.heatPending) return 'heat';
  if (state.plan === null) return 'no-seam';
  return state.stale ? 'stale' : 'planned';
}

const WORDS: Readonly<Record<PlanState, string>> = {
  empty: 'Nothing open',
  asking: 'Waiting for an answer',
  'no-seam': 'No seam chosen',
  failed: 'Cannot be planned',
  cancelled: 'Cancelled',
  planning: 'Planning',
  stale: 'Not planned since the last change',
  heat: 'Planned, heat',
  planned: 'Planned',
};

/** One sentence for the header, and for those who hear the page. */
export const planWords = (state: PageState): string => WORDS[planState(state)];
