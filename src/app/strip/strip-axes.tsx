// What stands above and below the tracks: time, the findings in lanes, arc length with the names of the phases.
import { memo } from 'react';
import type { SeamView } from '../../output/view/plan-view.ts';
import { goToFinding } from '../findings/go-to-finding.ts';
import { SeverityMark } from '../chrome/severity-mark.tsx';
import { fixedText } from '../chrome/unit-text.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { findingTitle } from '../findings/finding-words.ts';
import { type FindingBar, lanesOf, phaseStretches } from './stretches.ts';
import type { StripScale } from './strip-scale.ts';
import { timeTicks } from './time-ticks.ts';

interface AxisProps {
  readonly seam: SeamView;
  readonly x: StripScale;
}

/** Room for one number on an axis, px. */
const NUMBER = 56;

export const TimeAxis = memo(function TimeAxis({ seam, x }: AxisProps) {
  const width = x.range()[1];
  const total = seam.time[seam.count - 1];
  return (
    <div className="axis time-axis">
      <span className="axis-words">
        Time <span className="unit">s</span>
      </span>
      <div className="axis-scale" style={{ width }}>
        {timeTicks(seam.s, seam.time, width / NUMBER).map(({ s, text }) => (
          <span key={text} className="axis-tick number" style={{ left: x(s) }}>
            {text}
          </span>
        ))}
      </div>
      <span className="axis-end number">{Number.isFinite(total) && `${fixedText(total, 2)} s in all`}</span>
    </div>
  );
});

export const LengthAxis = memo(function LengthAxis({ seam, x }: AxisProps) {
  const width = x.range()[1];
  return (
    <div className="axis length-axis">
      <span className="axis-words">
        Length <span className="unit">mm</span>
      </span>
      <div className="axis-scale" style={{ width }}>
        {x.ticks(Math.max(2, Math.floor(width / NUMBER))).map((tick) => (
          <span key={tick} className="axis-tick number" style={{ left: x(tick) }}>
            {fixedText(tick, 0)}
          </span>
        ))}
        {phaseStretches(seam)
          .filter(({ phase }) => phase !== 'weld')
          .map(({ phase, from, to }) => (
            <span
              key={phase}
              className={`phase-name ${phase}`}
              title={phase === 'overlap' ? 'welded twice' : `${phase}, beam off`}
              style={{ left: x(from), width: Math.max(1, x(to) - x(from)) }}
            />
          ))}
      </div>
      <span className="axis-end number">
        {fixedText(seam.length, 2)} mm, {seam.closed ? 'closed' : 'open'}
      </span>
    </div>
  );
});

interface FindingLanesProps {
  readonly bars: readonly FindingBar[];
  readonly x: StripScale;
}

/** Room for the mark of a bar, px, and lanes drawn at most. */
const MARK = 18;
const MOST_LANES = 2;

export const FindingLanes = memo(function FindingLanes({ bars, x }: FindingLanesProps) {
  const places = bars.map(({ from, to }) => ({ from: x(from), to: x(to) }));
  const lanes = lanesOf(places, MARK);
  const count = Math.min(MOST_LANES, 1 + Math.max(-1, ...lanes));
  const more = lanes.filter((lane) => lane >= MOST_LANES).length;
  return (
    <div className="lanes" style={{ height: Math.max(1, count) * 16 }}>
      <span className="axis-words">Findings</span>
      <div className="axis-scale" style={{ width: x.range()[1] }}>
        {bars.map(
          (bar, k) =>
            lanes[k] < MOST_LANES && (
              <Bar
                key={`${bar.index} ${bar.from}`}
                bar={bar}
                left={places[k].from}
                width={places[k].to - places[k].from}
                lane={lanes[k]}
              />
            ),
        )}
      </div>
      <span className="axis-end">{bars.length === 0 ? 'none on this seam' : more > 0 ? `and ${more} more` : ''}</span>
    </div>
  );
});

interface BarProps {
  readonly bar: FindingBar;
  readonly left: number;
  readonly width: number;
  readonly lane: number;
}

/** A way for the pointer; by keys findings are reached in their list. */
function Bar({ bar: { index, severity }, left, width, lane }: BarProps) {
  const title = usePage(({ plan }) => {
    const finding = plan?.findings[index];
    return finding === undefined ? '' : `${findingTitle(finding)}: ${finding.severity}`;
  });
  return (
    <button
      type="button"
      tabIndex={-1}
      aria-hidden="true"
      className={`bar ${severity}`}
      title={title}
      style={{ left, top: 16 * lane, width: Math.max(2, width) }}
      onClick={() => goToFinding(pageStore.getState(), index)}
    >
      <SeverityMark severity={severity} />
    </button>
  );
}
