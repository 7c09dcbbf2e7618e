// The strip: quantities of one seam over its length, stacked on one axis, with one cursor through all of them.
import { useCallback, useMemo, useState } from 'react';
import { usePage } from '../store/page-store.ts';
import { StripBar } from './strip-bar.tsx';
import { placeLanes } from './lanes.ts';
import { Cursor, CursorHead } from './strip-cursor.tsx';
import { axesHeight, FindingLanes, LengthAxis, TimeAxis } from './strip-axes.tsx';
import { stripScale, trackRoom, WORDS, LABELS } from './strip-scale.ts';
import { stripTracks } from './strip-tracks.ts';
import { findingBars } from './stretches.ts';
import { TrackPlot } from './track-plot.tsx';
import { HatchPatterns } from './hatch-patterns.tsx';
import { useSize } from './use-size.ts';
import './strip.css';
import './track.css';

export function Strip() {
  const seam = usePage(({ plan, seam: index }) => plan?.seams[index]);
  return (
    <section className="strip" aria-label="Seam strip">
      <StripBar />
      {seam === undefined ? <EmptyStrip /> : <Tracks key={seam.name} />}
    </section>
  );
}

function EmptyStrip() {
  const running = usePage((state) => state.run === 'running');
  return (
    <p className="strip-empty">
      {running
        ? 'The strip comes with the plan.'
        : 'Here the seam will lie unrolled: layer, incidence, speed, power and what else holds along its length.'}
    </p>
  );
}

function Tracks() {
  const seam = usePage(({ plan, seam: index }) => plan?.seams[index]);
  const findings = usePage(({ plan }) => plan?.findings);
  const extra = usePage((state) => state.extraTracks);
  const stale = usePage((state) => state.stale);
  const pending = usePage((state) => state.heatPending);
  const pinned = usePage(({ pinned: plan }) => plan?.seams.find(({ name }) => name === seam?.name));
  const [box, { width, height }] = useSize();
  const tracks = useMemo(() => (seam === undefined ? [] : stripTracks(seam, extra, pending)), [seam, extra, pending]);
  const ghosts = useMemo(() => (pinned === undefined ? [] : stripTracks(pinned, extra)), [pinned, extra]);
  const bars = useMemo(
    () => (seam === undefined || findings === undefined ? [] : findingBars(findings, seam)),
    [seam, findings],
  );
  const x = useMemo(() => stripScale(seam ?? { s: new Float64Array(2) }, width - WORDS - LABELS), [seam, width]);
  const lanes = useMemo(() => placeLanes(bars, x), [bars, x]);
  const axes = axesHeight(lanes.count);
  const { tall, whole, spare } = trackRoom(height - axes, tracks.length);
  const [first, setFirst] = useState(0);
  const goBelow = useCallback(() => box.current?.scrollBy({ top: tall * whole }), [box, tall, whole]);
  if (seam === undefined) return null;
  return (
    <div
      className={`strip-scroll${stale ? ' stale' : ''}`}
      ref={box}
      style={{ scrollPaddingTop: axes - 26 + spare }}
      onScroll={({ currentTarget }) => setFirst(Math.round(currentTarget.scrollTop / tall))}
    >
      <HatchPatterns />
      <div className="strip-content">
        <div className="strip-top">
          <TimeAxis seam={seam} x={x} />
          <FindingLanes lanes={lanes} x={x} spare={spare} />
          <CursorHead seam={seam} x={x} />
        </div>
        {tracks.map((track) => (
          <TrackPlot
            key={track.title}
            track={track}
            seam={seam}
            x={x}
            height={tall}
            bars={bars}
            ghost={ghosts.find(({ title }) => title === track.title)}
            ghostSeam={pinned}
          />
        ))}
        <LengthAxis seam={seam} x={x} below={Math.max(0, tracks.length - first - whole)} onBelow={goBelow} />
        <Cursor seam={seam} x={x} />
      </div>
    </div>
  );
}
