// How the plan stands: planned, being planned with how far and a way to stop, or stale; with what it comes to.
import type { Severity } from '../../model/finding.ts';
import { SEVERITIES } from '../findings/finding-words.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { planState, planWords } from './plan-words.ts';
import { SeverityMark } from './severity-mark.tsx';

export function RunState() {
  const state = usePage(planState);
  const words = usePage(planWords);
  const what = usePage((page) => (page.plan === null ? page.what : ''));
  const percent = usePage(({ fraction }) => Math.floor(100 * fraction));
  const busy = state === 'planning' || state === 'heat';
  return (
    <div className="run-state">
      <span className={`state-words ${state}`}>
        {words}
        {busy && <span className="number"> {percent} %</span>}
      </span>
      {busy && <span className="run-what quiet">{what}</span>}
      {busy && (
        <button type="button" className="button small framed" onClick={() => pageStore.getState().cancel()}>
          Cancel
        </button>
      )}
      {(state === 'stale' || state === 'failed' || state === 'cancelled') && (
        <button type="button" className="button small framed" onClick={() => pageStore.getState().planAgain()}>
          Plan again
        </button>
      )}
      <Counts />
      <output className="unseen" aria-live="polite">
        {busy ? 'Planning' : words}
      </output>
    </div>
  );
}

/** Findings counted, and the cycle time; a press shows the findings. */
function Counts() {
  const findings = usePage(({ plan }) => plan?.findings);
  const cycle = usePage(({ plan }) => plan?.summary.seams.reduce((sum, seam) => sum + seam.cycle_s.total, 0));
  const stale = usePage((state) => state.stale);
  const pending = usePage((state) => state.heatPending);
  if (findings === undefined || cycle === undefined) return null;
  return (
    <div className={`counts${stale ? ' stale' : ''}`}>
      <button type="button" className="button small" onClick={() => pageStore.getState().set({ side: 'findings' })}>
        {SEVERITIES.map((severity) => (
          <span key={severity} className={`count ${countOf(findings, severity) === 0 ? 'none' : severity}`}>
            <SeverityMark severity={severity} />
            {countOf(findings, severity)} <span className="count-word">{severity}</span>
          </span>
        ))}
        {pending && <span className="quiet">so far</span>}
      </button>
      {Number.isFinite(cycle) && (
        <span className="cycle">
          cycle <strong className="number">{cycle.toFixed(2)}</strong> <span className="unit">s</span>
        </span>
      )}
    </div>
  );
}

const countOf = (findings: readonly { readonly severity: Severity }[], severity: Severity): number =>
  findings.filter((finding) => finding.severity === severity).length;

/** A line under the header that fills as the run goes on. */
export function RunLine() {
  const busy = usePage((page) => page.run === 'running');
  const fraction = usePage((page) => page.fraction);
  return (
    <div className="run-line" aria-hidden="true">
      {busy && <span style={{ transform: `scaleX(${fraction})` }} />}
    </div>
  );
}
