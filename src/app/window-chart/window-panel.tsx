// The process window: where between the borders the plan stands, and a way to move it there.
import { useMemo, useState } from 'react';
import type { ProcessWindow, WindowPlan } from '../../model/process-window.ts';
import { fixedText } from '../chrome/unit-text.ts';
import { usePage } from '../store/page-store.ts';
import { useSize } from '../strip/use-size.ts';
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

const percent = (share: number): string => (Number.isFinite(share) ? `${fixedText(100 * share, 0)} %` : 'not reached');

function WindowFigures({ plan }: { readonly plan: WindowPlan }) {
  const rows: readonly (readonly [string, string, string])[] = [
    ['Speed', fixedText(plan.speed, 1), 'mm/s'],
    ['Line energy at the joint', fixedText(plan.lineEnergy, 3), 'J/mm'],
    ['Line energy that leaves the head', fixedText(plan.incident, 3), 'J/mm'],
    ['Width above the weld onset', fixedText(plan.width, 2), 'mm'],
    ['Width wanted', fixedText(plan.wanted, 2), 'mm'],
    ['Peak in the bond plane', fixedText(plan.peak, 0), '°C'],
    ['Hottest below it', fixedText(plan.hottest, 0), '°C'],
    ['Above melting', percent(plan.overMelting), ''],
    ['Below spoiling', percent(plan.underSpoiling), ''],
    ['Below the source', percent(plan.underPower), ''],
  ];
  return (
    <dl className="figures">
      {rows.map(([name, value, unit]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd className="number">
            {value} <span className="unit">{unit}</span>
          </dd>
        </div>
      ))}
    </dl>
  );
}
