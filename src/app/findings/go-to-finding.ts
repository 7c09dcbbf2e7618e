// Goes where a finding is: its seam, its row, and a look at it on the stage.
import type { PageState } from '../store/state.ts';
import { rowNear } from '../stage/row-at.ts';

/** `index` in the plan's findings; one that concerns the whole job is only stressed. */
export function goToFinding(state: PageState, index: number): void {
  const finding = state.plan?.findings[index];
  if (state.plan === null || finding === undefined) return;
  const seam = state.plan.seams.findIndex(({ name }) => name === finding.seam);
  const at = Number.isFinite(finding.at) ? finding.at : finding.from;
  if (seam < 0 || !Number.isFinite(at)) {
    state.set({ finding: index });
    return;
  }
  state.set({
    finding: index,
    seam,
    row: rowNear(state.plan.seams[seam].s, at),
    playing: false,
    viewRequest: { view: 'cursor', number: state.viewRequest.number + 1 },
  });
}
