// What stands above and below the tracks: time, the findings in lanes, arc length with the names of the phases.
import { memo } from 'react';
import type { SeamView } from '../../output/view/plan-view.ts';
import { goToFinding } from '../findings/go-to-finding.ts';
import { SeverityMark } from '../chrome/severity-mark.tsx';
import { fixedText } from '../chrome/unit-text.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { findingTitle } from '../findings/finding-words.ts';
import { LANE, type Lanes, type PlacedBar } from './lanes.ts';
import { phaseStretches } from './stretches.ts';
import type { StripScale } from './strip-scale.ts';
import { timeTicks } from './time-ticks.ts';

interface AxisProps {
  readonly seam: SeamView;
  readonly x: StripScale;
}

/** Room for one number on an axis, px. */
const NUMBER = 56;

/** A number that would reach over an end of the axis stands inside it, px. */
const END = 10;

/** Room for the word at the closing point, px to either side. */
const CLOSES = 44;

/** Height of the lanes, px. */
const lanesHeight = (count: number): number => LANE * count + 3;

/** What axes and lanes take of the height, px, as the style has them. */
export const axesHeight = (lanes: number): number => 22 + lanesHeight(lanes) + 1 + 26;

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
          <span key={text} className={`axis-tick number ${endOf(x(s), width)}`} style={{ left: x(s) }}>
            {text}
          </span>
        ))}
      </div>
      <span className="axis-end number">{Number.isFinite(total) && `${fixedText(total, 2)} s in all`}</span>
    </div>
  );
});

const endOf = (at: number, width: number): string => (at < END ? 'first' : at > width - END ? 'last' : '');

interface LengthAxisProps extends AxisProps {
  /** Tracks below those that are seen, and how to get there. */
  readonly below: number;
  readonly onBelow: () => void;
}

export const LengthAxis = memo(function LengthAxis({ seam, x, below, onBelow }: LengthAxisProps) {
  const width = x.range()[1];
  const closes = seam.closed ? x(seam.length) : Number.NaN;
  return (
    <div className="axis length-axis">
      <span className="axis-words">
        Length <span className="unit">mm</span>
        {below > 0 && (
          <button type="button" className="link more-below" title="Tracks below: go there" onClick={onBelow}>
            {below} more
          </button>
        )}
      </span>
      <div className="axis-scale" style={{ width }}>
        {x
          .ticks(Math.max(2, Math.floor(width / NUMBER)))
          .filter((tick) => !(Math.abs(x(tick) - closes) < CLOSES))
          .map((tick) => (
            <span key={tick} className="axis-tick number" style={{ left: x(tick) }}>
              {fixedText(tick, 0)}
            </span>
          ))}
        {seam.closed && (
          <span className="axis-tick closing" style={{ left: closes }} title="Here the seam meets its start">
            closes
          </span>
        )}
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
  readonly lanes: Lanes;
  readonly x: StripScale;
  /** Room below the lanes that the tracks leave over, px. */
  readonly spare: number;
}

export const FindingLanes = memo(function FindingLanes({
  lanes: { placed, count, more },
  x,
  spare,
}: FindingLanesProps) {
  return (
    <div className="lanes" style={{ height: lanesHeight(count) + spare }}>
      <span className="axis-words">Findings</span>
      <div className="axis-scale" style={{ width: x.range()[1] }}>
        {placed.map((one) => (
          <Bar key={`${one.bar.index} ${one.bar.from}`} {...one} />
        ))}
      </div>
      <span className="axis-end">{placed.length === 0 ? 'none on this seam' : more > 0 ? `and ${more} more` : ''}</span>
    </div>
  );
});

/** A way for the pointer; by keys findings are reached in their list. */
function Bar({ bar: { index, severity }, left, width, lane }: PlacedBar) {
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
      style={{ left, top: LANE * lane, width }}
      onClick={() => goToFinding(pageStore.getState(), index)}
    >
      <SeverityMark severity={severity} />
    </button>
  );
}
