// One track: words and ticks on the left, lines with limits and hatched stretches in the middle, values at the cursor on the right.
import { memo } from 'react';
import { trackAxis } from '../../output/picture/track-axis.ts';
import type { Track } from '../../output/picture/tracks.ts';
import type { SeamView } from '../../output/view/plan-view.ts';
import { bareUnit, fixedText, unitText } from '../chrome/unit-text.ts';
import { hatchOf } from './hatch-patterns.tsx';
import { lineShape } from './line-shape.ts';
import type { FindingBar } from './stretches.ts';
import { SeamGround } from './seam-ground.tsx';
import type { StripScale } from './strip-scale.ts';
import { limitLabels } from './limit-labels.ts';
import { TrackValues } from './track-values.tsx';

/** Air above and below the lines, px. */
const AIR = 7;

/** Air above where limits are named, px. */
const NAMED = 15;

/** A tick's number keeps off the neighbouring track by this, px. */
const INSET = 10;

/** From this height on there is room for words in two lines, px. */
const TALL = 76;

interface TrackPlotProps {
  readonly track: Track;
  readonly seam: SeamView;
  readonly x: StripScale;
  readonly height: number;
  readonly bars: readonly FindingBar[];
  /** The same track of the pinned plan. */
  readonly ghost: Track | undefined;
  readonly ghostSeam: SeamView | undefined;
}

export const TrackPlot = memo(function TrackPlot({ track, seam, x, height, bars, ghost, ghostSeam }: TrackPlotProps) {
  const width = x.range()[1];
  const also = ghost?.series.map(({ values }) => values) ?? [];
  const { scale, ticks, decimals, shown } = trackAxis(track, height - AIR, track.limits.length > 0 ? NAMED : AIR, also);
  const labels = limitLabels(track, scale, shown, height);
  const hatched = bars.filter(({ code }) => track.codes.includes(code));
  return (
    <div className={height < TALL ? 'track' : 'track tall'} style={{ height }}>
      <div className="track-words">
        <h3>{track.title}</h3>
        <span className="unit" title={unitText(track.unit)}>
          {height < TALL ? bareUnit(track.unit) : unitText(track.unit)}
        </span>
        {ticks.map((tick) => (
          <span
            key={tick}
            className="tick number"
            style={{ top: Math.min(height - INSET, Math.max(INSET, scale(tick))) }}
          >
            {fixedText(tick, decimals)}
          </span>
        ))}
      </div>
      <svg className="track-plot" width={width} height={height} aria-hidden="true">
        <SeamGround seam={seam} x={x} height={height} />
        {hatched.map(({ from, to, severity, index }) => (
          <rect
            key={`${index} ${from}`}
            x={x(from)}
            width={Math.max(2, x(to) - x(from))}
            height={height}
            fill={hatchOf(severity)}
          />
        ))}
        {ticks.map((tick) => (
          <line
            key={tick}
            className={tick === 0 && track.anchor === 0 ? 'zero' : 'grid'}
            x2={width}
            y1={crisp(scale(tick))}
            y2={crisp(scale(tick))}
          />
        ))}
        {shown.map(({ name, value }) => (
          <line key={name} className="limit" x2={width} y1={crisp(scale(value))} y2={crisp(scale(value))} />
        ))}
        {ghost?.series.map(({ name, values }) => (
          <path
            key={name}
            className="ghost"
            d={ghostSeam === undefined ? '' : lineShape(ghostSeam.s, values, x, scale)}
          />
        ))}
        {track.series.map(({ name, values, dashed }) => (
          <path key={name} className={dashed ? 'series dashed' : 'series'} d={lineShape(seam.s, values, x, scale)} />
        ))}
        {labels.map(({ name, text, right, y, far }) => (
          <text key={name} className={far ? 'limit-name far' : 'limit-name'} x={width - right} y={y}>
            {text}
          </text>
        ))}
      </svg>
      <TrackValues track={track} seam={seam} height={height} scale={scale} ghost={ghost} ghostSeam={ghostSeam} />
    </div>
  );
});

/** A line of one pixel lies on one. */
const crisp = (y: number): number => Math.round(y) + 0.5;
