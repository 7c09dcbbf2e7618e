// The process window: where between the borders the plan stands, and a way to move it there.
import { useMemo, useState } from 'react';
import type { Severity } from '../../model/finding.ts';
import type { ProcessWindow, WindowPlan } from '../../model/process-window.ts';
import { SeverityMark } from '../chrome/severity-mark.tsx';
import { fixedText } from '../chrome/unit-text.ts';
import { usePage } from '../store/page-store.ts';
import { useSize } from '../strip/use-size.ts';
import { roomsOf } from './room-text.ts';
import { WindowPlot } from './window-plot.tsx';
import { windowScale } from './window-scale.ts';
import './window.css';

/** Room for the axes, px. */
const MARGIN = { left: 40, right: 44, top: 22, bottom: 36 } as const;

export function WindowPanel() {
  const window = useLastWindow();
  const pending = usePage((state) => state.heatPending || state.run === 'running');
  const stale = usePage((state) => state.stale || state.heatPending);
  const [box, { width }] = useSize();
  const inner = Math.max(120, width - 32 - MARGIN.left - MARGIN.right);
  const scale = useMemo(
    () => (window === null ? null : windowScale(window, inner, Math.round(Math.min(360, inner * 1.05)))),
    [window, inner],
  );
  return (
    <div className="window" ref={box}>
      {window === null || scale === null ? (
        <p className="findings-none">
          {pending
            ? 'The window comes with the heat.'
            : 'There is no window yet: it needs a plan, the polymer of both parts and how the lower one absorbs.'}
        </p>
      ) : (
        <div className={stale ? 'stale' : ''}>
          <p className="window-words">Click, or use the arrow keys, to set speed and line energy.</p>
          <WindowPlot window={window} scale={scale} margin={MARGIN} />
          <WindowFigures plan={window.plan} />
        </div>
      )}
    </div>
  );
}

/** The window of the seam shown; while a new one is computed the one before, so that it can be worked in without a break. */
function useLastWindow(): ProcessWindow | null {
  const name = usePage(({ plan, seam }) => plan?.seams[seam]?.name);
  const window = usePage(({ plan, seam }) => plan?.seams[seam]?.window ?? null);
  const pending = usePage((state) => state.heatPending || state.run === 'running');
  const [last, setLast] = useState<{ name: string | undefined; window: ProcessWindow | null }>({ name, window });
  if (window !== null && last.window !== window) setLast({ name, window });
  return window ?? (pending && last.name === name ? last.window : null);
}

interface Figure {
  readonly name: string;
  readonly value: string;
  readonly unit?: string;
  readonly severity?: Severity | null;
}

function WindowFigures({ plan }: { readonly plan: WindowPlan }) {
  const rooms = roomsOf(plan);
  const stands: readonly Figure[] = [
    { name: 'Speed', value: fixedText(plan.speed, 1), unit: 'mm/s' },
    { name: 'Line energy at the joint', value: fixedText(plan.lineEnergy, 3), unit: 'J/mm' },
    { name: 'Line energy that leaves the head', value: fixedText(plan.incident, 3), unit: 'J/mm' },
    {
      name: `Width that melts, wanted ${fixedText(plan.wanted, 2)}`,
      value: fixedText(plan.width, 2),
      unit: 'mm',
      severity: rooms[0].severity,
    },
    { name: 'Peak in the bond plane', value: fixedText(plan.peak, 0), unit: '°C' },
    { name: 'Hottest below it', value: fixedText(plan.hottest, 0), unit: '°C', severity: rooms[1].severity },
  ];
  return (
    <>
      <Figures rows={stands} />
      <h2 className="figures-title">Room of the line energy</h2>
      <Figures rows={rooms.map(({ name, text, severity }) => ({ name, value: text, severity }))} />
    </>
  );
}

function Figures({ rows }: { readonly rows: readonly Figure[] }) {
  return (
    <dl className="figures">
      {rows.map(({ name, value, unit, severity }) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd className={`number ${severity ?? ''}`}>
            {severity != null && <SeverityMark severity={severity} alone />}
            {value} {unit !== undefined && <span className="unit">{unit}</span>}
          </dd>
        </div>
      ))}
    </dl>
  );
}
