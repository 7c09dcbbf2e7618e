// What stands beside the stage, one at a time: findings, process window, edges, differences; on a narrow page the job sheet too.
import { type KeyboardEvent, useEffect } from 'react';
import { ComparePanel } from '../findings/compare-panel.tsx';
import { EdgeList } from '../findings/edge-list.tsx';
import { FindingsPanel } from '../findings/findings-panel.tsx';
import { JobSheet } from '../sheet/job-sheet.tsx';
import { pageStore, usePage } from '../store/page-store.ts';
import type { PageState } from '../store/state.ts';
import { WindowPanel } from '../window-chart/window-panel.tsx';

type Side = PageState['side'];

const TITLES: Readonly<Record<Side, string>> = {
  job: 'Job',
  findings: 'Findings',
  window: 'Window',
  edges: 'Edges',
  compare: 'Changes',
};

export function SideColumn({ withSheet }: { readonly withSheet: boolean }) {
  const wanted = usePage((state) => state.side);
  const pinned = usePage((state) => state.pinned !== null);
  const sides: readonly Side[] = [
    ...(withSheet ? (['job'] as const) : []),
    'findings',
    'window',
    'edges',
    ...(pinned ? (['compare'] as const) : []),
  ];
  const asked = usePage((state) => state.questions.length > 0);
  useEffect(() => {
    if (asked && withSheet) pageStore.getState().set({ side: 'job' });
  }, [asked, withSheet]);
  const side = sides.includes(wanted) ? wanted : sides[0];
  return (
    <section className="side" aria-label="Beside the stage">
      <div
        className="tabs"
        role="tablist"
        aria-label="Beside the stage"
        onKeyDown={(event) => moveTab(event, sides, side)}
      >
        {sides.map((name) => (
          <button
            key={name}
            type="button"
            role="tab"
            id={`tab-${name}`}
            aria-selected={name === side}
            aria-controls="side-panel"
            tabIndex={name === side ? 0 : -1}
            className="tab"
            onClick={() => pageStore.getState().set({ side: name })}
          >
            {TITLES[name]}
            {name === 'findings' && <FindingCount />}
          </button>
        ))}
      </div>
      <div
        className={`side-panel of-${side}`}
        role="tabpanel"
        id="side-panel"
        aria-labelledby={`tab-${side}`}
        tabIndex={side === 'job' ? -1 : 0}
      >
        <SideContent side={side} />
      </div>
    </section>
  );
}

function SideContent({ side }: { readonly side: Side }) {
  if (side === 'job') return <JobSheet />;
  if (side === 'window') return <WindowPanel />;
  if (side === 'edges') return <EdgeList />;
  return side === 'compare' ? <ComparePanel /> : <FindingsPanel />;
}

function FindingCount() {
  const count = usePage(({ plan }) => plan?.findings.length);
  return count === undefined ? null : <span className="quiet number"> {count}</span>;
}

function moveTab(event: KeyboardEvent, sides: readonly Side[], side: Side): void {
  const way = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
  if (way === 0) return;
  event.preventDefault();
  const next = sides[(sides.indexOf(side) + way + sides.length) % sides.length];
  pageStore.getState().set({ side: next });
  document.getElementById(`tab-${next}`)?.focus();
}
