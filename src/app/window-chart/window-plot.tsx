// Borders over speed and line energy; a click sets both, arrow keys move them step by step.
import { type KeyboardEvent, type PointerEvent, useMemo, useRef } from 'react';
import type { ProcessWindow } from '../../model/process-window.ts';
import { spreadApart } from '../../output/picture/label.ts';
import { fixedText } from '../chrome/unit-text.ts';
import { numberAt, processPointer } from '../sheet/job-reading.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { WidthMap } from './width-map.tsx';
import { roundTicks, valuesAt, type WindowScale, windowBorders } from './window-scale.ts';

interface WindowPlotProps {
  readonly window: ProcessWindow;
  readonly scale: WindowScale;
  readonly margin: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
}

export function WindowPlot({ window, scale, margin }: WindowPlotProps) {
  const { width, height } = scale;
  const plot = useRef<HTMLDivElement>(null);
  const borders = useMemo(() => windowBorders(window, scale), [window, scale]);
  const speed = usePage(({ job, seam }) => numberAt(job, processPointer(job, seam, 'speed_mm_s')));
  const energy = usePage(({ job, seam }) => numberAt(job, processPointer(job, seam, 'line_energy_J_mm')));
  const goTo = (event: PointerEvent): void => {
    const box = plot.current?.getBoundingClientRect();
    if (box !== undefined) setBoth(valuesAt(scale, event.clientX - box.left, event.clientY - box.top));
  };
  const ends = spreadApart(
    borders.map(({ end }) => (Number.isFinite(end) ? end : 0)),
    15,
    8,
    height - 4,
  );
  return (
    <div className="window-frame" style={{ height: height + margin.top + margin.bottom }}>
      <div
        ref={plot}
        className="window-plot"
        role="slider"
        tabIndex={0}
        aria-label="Speed and line energy: left and right change the speed, up and down the line energy"
        aria-valuemin={scale.x.domain()[0]}
        aria-valuemax={scale.x.domain()[1]}
        aria-valuenow={speed ?? 0}
        aria-valuetext={`${fixedText(speed ?? Number.NaN, 1)} mm/s, ${fixedText(energy ?? Number.NaN, 3)} J/mm`}
        style={{ left: margin.left, top: margin.top, width, height }}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          goTo(event);
        }}
        onPointerMove={(event) => {
          if (event.currentTarget.hasPointerCapture(event.pointerId)) goTo(event);
        }}
        onKeyDown={(event) => moveByKey(event, speed, energy)}
      >
        <WidthMap window={window} scale={scale} />
        <svg width={width} height={height} aria-hidden="true">
          {borders.map(({ kind, path }) => (
            <g key={kind}>
              <path className="border-under" d={path} />
              <path className={`border ${kind}`} d={path} />
            </g>
          ))}
          <Mark className="stands" x={scale.x(window.plan.speed)} y={scale.y(window.plan.lineEnergy)} />
          {speed !== null && energy !== null && <Mark className="asked-for" x={scale.x(speed)} y={scale.y(energy)} />}
        </svg>
        {borders.map(({ kind, name, end }, k) =>
          Number.isFinite(end) ? (
            <span key={kind} className={`border-name ${kind}`} style={{ top: ends[k] }}>
              {name}
            </span>
          ) : null,
        )}
      </div>
      <Axes window={window} scale={scale} margin={margin} />
    </div>
  );
}

function Mark({ className, x, y }: { readonly className: string; readonly x: number; readonly y: number }) {
  return (
    <g className={className} transform={`translate(${x} ${y})`}>
      <circle className="mark-under" r="6" />
      <circle className="mark" r="6" />
    </g>
  );
}

function Axes({ window, scale: { x, y, width, height }, margin }: WindowPlotProps) {
  const incident = y.copy().domain(y.domain().map((energy) => energy / window.transmitted));
  return (
    <div className="window-axes" aria-hidden="true">
      <span className="axis-title" style={{ left: 0, top: 0 }}>
        J/mm at the joint
      </span>
      <span className="axis-title" style={{ right: 0, top: 0 }}>
        incident
      </span>
      {roundTicks(y.domain()).map((value) => (
        <span key={value} className="y-tick number" style={{ width: margin.left - 6, top: margin.top + y(value) }}>
          {value}
        </span>
      ))}
      {roundTicks(incident.domain()).map((value) => (
        <span
          key={value}
          className="y-tick right number"
          style={{ left: margin.left + width + 6, top: margin.top + incident(value) }}
        >
          {value}
        </span>
      ))}
      {roundTicks(x.domain()).map((value) => (
        <span
          key={value}
          className="x-tick number"
          style={{ left: margin.left + x(value), top: margin.top + height + 4 }}
        >
          {value}
        </span>
      ))}
      <span className="x-title" style={{ left: margin.left, width, top: margin.top + height + 20 }}>
        speed, mm/s
      </span>
    </div>
  );
}

function setBoth({ speed, energy }: { readonly speed: number; readonly energy: number }): void {
  const { job, seam, editAll } = pageStore.getState();
  editAll(
    [
      { pointer: processPointer(job, seam, 'speed_mm_s'), value: speed },
      { pointer: processPointer(job, seam, 'line_energy_J_mm'), value: energy },
    ],
    'process-window',
  );
}

/** A step is 2 %, with Shift 10 %. */
function moveByKey(event: KeyboardEvent, speed: number | null, energy: number | null): void {
  if (speed === null || energy === null) return;
  const ratio = event.shiftKey ? 1.1 : 1.02;
  const ways: Readonly<Record<string, readonly [number, number]>> = {
    ArrowRight: [ratio, 1],
    ArrowLeft: [1 / ratio, 1],
    ArrowUp: [1, ratio],
    ArrowDown: [1, 1 / ratio],
  };
  const way = ways[event.key];
  if (way === undefined) return;
  event.preventDefault();
  setBoth({ speed: Number((speed * way[0]).toPrecision(3)), energy: Number((energy * way[1]).toPrecision(3)) });
}
