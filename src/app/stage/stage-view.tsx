// The stage in the page: a place for its canvas, and what stands over it.
import './stage.css';
import { useEffect, useRef } from 'react';
import { pageStore, usePage } from '../store/page-store.ts';
import { connectStage } from './connect-stage.ts';
import { Legend } from './legend.tsx';
import { MeasureReadout } from './measure-readout.tsx';
import { useStage } from './stage-store.ts';

export function StageView() {
  const host = useRef<HTMLDivElement>(null);
  const missing = useStage((state) => state.missing);
  const lost = useStage((state) => state.lost);
  useEffect(() => (host.current === null ? undefined : connectStage(host.current, pageStore)), []);
  return (
    <section className="stage" aria-label="Stage">
      <div className="stage-host" ref={host} />
      {missing ? (
        <NoGraphics />
      ) : (
        <>
          <Hint />
          <MeasureReadout />
          <Legend />
        </>
      )}
      {lost && <p className="stage-lost">The graphics were interrupted. The picture comes back by itself.</p>}
    </section>
  );
}

function NoGraphics() {
  return (
    <div className="stage-missing">
      <h2>No picture here</h2>
      <p>
        This browser gives the page no WebGL 2, so parts and seam cannot be drawn. Everything else works: the list of
        edges picks a seam, the strip below shows what the plan says along it, and exports are the same.
      </p>
      <p className="quiet">Look for "hardware acceleration" in the browser's settings.</p>
    </div>
  );
}

const HINTS = {
  look: '',
  'pick-edge':
    'Click an edge of the absorbing body: it becomes the seam, with its smooth neighbours. Alt and click: the band under the pointer.',
  measure: 'Click two points on the parts.',
  probe: 'Move along the seam: the number under the pointer, and the cursor with it.',
} as const;

function Hint() {
  const text = usePage(({ tool, scene }) => (scene === null ? '' : HINTS[tool]));
  return text === '' ? null : (
    <p className="stage-hint" data-over-stage="true">
      {text}
    </p>
  );
}
