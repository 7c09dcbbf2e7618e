// The right end of a track: each line named, with its value at the cursor, none over another.
import type { ScaleLinear } from 'd3-scale';
import { spreadApart } from '../../output/picture/label.ts';
import { lastKnown, rangeText } from '../../output/picture/track-axis.ts';
import type { Series, Track } from '../../output/picture/tracks.ts';
import type { SeamView } from '../../output/view/plan-view.ts';
import { fixedText } from '../chrome/unit-text.ts';
import { usePage } from '../store/page-store.ts';
import { valueBetween } from './line-shape.ts';

/** Distance of two labels, px. */
const LINE = 16;

interface TrackValuesProps {
  readonly track: Track;
  readonly seam: SeamView;
  readonly height: number;
  readonly scale: ScaleLinear<number, number>;
  readonly ghost: Track | undefined;
  readonly ghostSeam: SeamView | undefined;
}

export function TrackValues({ track, seam, height, scale, ghost, ghostSeam }: TrackValuesProps) {
  const heights = track.series.map(({ values }) => {
    const last = lastKnown(values);
    return Number.isFinite(last) ? Math.min(height, Math.max(0, scale(last))) : 0;
  });
  const places = spreadApart(heights, LINE, LINE / 2 + 1, height - LINE / 2 - 1);
  return (
    <div className="track-values">
      {track.series.map((series, k) => (
        <div key={series.name} className="value" style={{ top: places[k] }}>
          <span className={series.dashed ? 'sample dashed' : 'sample'} aria-hidden="true" />
          <span className="value-name" title={rangeText(series.values, track.decimals)}>
            {series.name}
          </span>
          <ValueHere
            series={series}
            seam={seam}
            decimals={track.decimals}
            ghost={ghost?.series.find(({ name }) => name === series.name)}
            ghostSeam={ghostSeam}
          />
        </div>
      ))}
    </div>
  );
}

interface ValueHereProps {
  readonly series: Series;
  readonly seam: SeamView;
  readonly decimals: number;
  readonly ghost: Series | undefined;
  readonly ghostSeam: SeamView | undefined;
}

/** The only part that changes with the cursor. */
function ValueHere({ series, seam, decimals, ghost, ghostSeam }: ValueHereProps) {
  const row = usePage((state) => state.row);
  const value = series.values[row] ?? Number.NaN;
  const was =
    ghost === undefined || ghostSeam === undefined ? Number.NaN : valueBetween(ghostSeam.s, ghost.values, seam.s[row]);
  const differs = Number.isFinite(value - was) && Math.abs(value - was) >= 0.5 * 10 ** -decimals;
  return (
    <>
      <strong className="number">{fixedText(value, decimals)}</strong>
      {differs && (
        <span className="number difference">
          {value > was ? '+' : ''}
          {fixedText(value - was, decimals)}
        </span>
      )}
    </>
  );
}
