// What the plan has to say about itself: what, where, how much against which limit, what to try.
import { useState } from 'react';
import { SeverityMark } from '../chrome/severity-mark.tsx';
import { sentenceText } from '../chrome/unit-text.ts';
import { listAt, processPointer } from '../sheet/job-reading.ts';
import { goToField } from '../sheet/go-to-field.ts';
import { seamName } from '../sheet/sections/seam-section.tsx';
import { pageStore, usePage } from '../store/page-store.ts';
import { amountText, findingTitle, type ListedFinding, listFindings, placeText } from './finding-words.ts';
import { goToFinding } from './go-to-finding.ts';
import { remedyPieces } from './remedy-words.ts';
import './findings.css';

export function FindingsPanel() {
  const findings = usePage(({ plan }) => plan?.findings);
  const seams = usePage(({ plan }) => plan?.seams);
  const stale = usePage((state) => state.stale);
  const pending = usePage((state) => state.heatPending);
  const [only, setOnly] = useState<string | null>(null);
  if (findings === undefined || seams === undefined) return <NoFindings />;
  const named = seams.some(({ name }) => name === only) ? only : null;
  const listed = listFindings(findings, named);
  return (
    <div className={`findings${stale ? ' stale' : ''}`}>
      {pending && !stale && <p className="findings-stale">So far: what heat has to say is still to come.</p>}
      {stale && <p className="findings-stale">Of the job before the last change.</p>}
      {seams.length > 1 && (
        <label className="findings-filter">
          <span className="quiet">Of</span>
          <select className="select" value={named ?? ''} onChange={({ target }) => setOnly(target.value || null)}>
            <option value="">all seams</option>
            {seams.map(({ name }) => (
              <option key={name} value={name}>
                seam {name}
              </option>
            ))}
          </select>
        </label>
      )}
      {listed.length === 0 ? (
        <p className="findings-none">
          Nothing to say: no limit is broken, nothing had to be guessed. A plan is a calculation, not a release.
        </p>
      ) : (
        <ol>
          {listed.map((item) => (
            <FindingItem key={`${item.index} ${item.finding.code}`} item={item} />
          ))}
        </ol>
      )}
    </div>
  );
}

function NoFindings() {
  const running = usePage((state) => state.run === 'running');
  return (
    <p className="findings-none">
      {running ? 'Findings come with the plan.' : 'Findings come with the plan: choose a seam to have one made.'}
    </p>
  );
}

function FindingItem({ item: { finding, index } }: { readonly item: ListedFinding }) {
  const chosen = usePage((state) => state.finding === index);
  const amount = amountText(finding);
  return (
    <li className={chosen ? 'finding-item chosen' : 'finding-item'}>
      <button
        type="button"
        className={`finding ${finding.severity}`}
        aria-pressed={chosen}
        onClick={() => goToFinding(pageStore.getState(), index)}
      >
        <span className="finding-head">
          <SeverityMark severity={finding.severity} />
          <strong>{findingTitle(finding)}</strong>
          <span className="finding-word">{finding.severity}</span>
        </span>
        <span className="finding-place">
          <span className="number">{placeText(finding)}</span>
          {amount !== null && (
            <span className="number finding-amount">
              <strong>{amount.value}</strong>
              {amount.limit !== null && <span className="quiet"> limit {amount.limit}</span>}
            </span>
          )}
        </span>
        <Where finding={finding} />
        <span className="finding-sentence">{sentenceText(finding.sentence)}</span>
      </button>
      {finding.remedy !== '' && <Remedy finding={finding} />}
    </li>
  );
}

/** What to try; a field that it names is a way to that field. */
function Remedy({ finding: { remedy, seam } }: { readonly finding: ListedFinding['finding'] }) {
  const at = usePage(({ job }) => {
    const place = listAt(job, '/seams').findIndex((_, k) => seamName(job, k) === seam);
    return Math.max(0, place);
  });
  return (
    <p className="finding-remedy">
      <span className="quiet">Try: </span>
      {remedyPieces(remedy, at).map((piece) =>
        typeof piece === 'string' ? (
          piece
        ) : (
          <button
            key={piece.pointer}
            type="button"
            className="link"
            title={`Go to ${piece.label} in the job sheet`}
            onClick={() => goToField(ownPlace(piece.pointer, at))}
          >
            {piece.label}
          </button>
        ),
      )}
    </p>
  );
}

/** A seam's own process value stands at the seam. */
function ownPlace(pointer: string, seam: number): string {
  const key = /^\/process\/(.+)$/.exec(pointer)?.[1];
  return key === undefined ? pointer : processPointer(pageStore.getState().job, seam, key);
}

/** Where along the seam, as a line. */
function Where({ finding: { seam, from, to, at } }: { readonly finding: ListedFinding['finding'] }) {
  const length = usePage(({ plan }) => plan?.seams.find(({ name }) => name === seam)?.length);
  if (length === undefined || !Number.isFinite(from)) return null;
  const share = (s: number): number => Math.min(1, Math.max(0, s / length));
  const left = share(from);
  return (
    <span className="where" aria-hidden="true">
      <span style={{ left: `${100 * left}%`, width: `${100 * Math.max(0.006, share(to) - left)}%` }} />
      {to > length && <span style={{ left: 0, width: `${100 * share(to - length)}%` }} />}
      {Number.isFinite(at) && <i style={{ left: `${100 * share(at)}%` }} />}
    </span>
  );
}
