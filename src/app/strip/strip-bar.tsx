// The line above the strip: which seam, where the cursor is, play, and what else to show.
import { PHASES } from '../../model/path.ts';
import { fixedText } from '../chrome/unit-text.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { columnChoices } from './strip-tracks.ts';

export function StripBar() {
  const seam = usePage(({ plan, seam: index }) => plan?.seams[index]);
  const stale = usePage((state) => state.stale);
  if (seam === undefined) {
    return (
      <div className="strip-bar">
        <h2>Seam strip</h2>
      </div>
    );
  }
  return (
    <div className="strip-bar">
      <SeamChoice />
      <Play />
      <CursorPlace />
      {stale && <span className="stale-word">before the last change</span>}
      <Pin />
      <MoreTracks />
    </div>
  );
}

function SeamChoice() {
  const seams = usePage(({ plan }) => plan?.seams);
  const seam = usePage((state) => state.seam);
  if (seams === undefined) return null;
  if (seams.length === 1) return <h2>Seam {seams[0].name}</h2>;
  return (
    <label>
      <span className="unseen">Seam shown</span>
      <select
        className="select strip-seam"
        value={seam}
        onChange={({ target }) => pageStore.getState().set({ seam: Number(target.value), row: 0, finding: null })}
      >
        {seams.map(({ name }, k) => (
          <option key={name} value={k}>
            Seam {name}
          </option>
        ))}
      </select>
    </label>
  );
}

function Play() {
  const playing = usePage((state) => state.playing);
  return (
    <button
      type="button"
      className="button small framed play"
      onClick={() => {
        const { plan, seam, row, set } = pageStore.getState();
        const atEnd = row >= (plan?.seams[seam]?.count ?? 0) - 1;
        set(playing ? { playing: false } : { playing: true, row: atEnd ? 0 : row });
      }}
    >
      {playing ? 'Pause' : 'Play'}
    </button>
  );
}

/** Arc length, time and phase under the cursor. */
function CursorPlace() {
  const seam = usePage(({ plan, seam: index }) => plan?.seams[index]);
  const row = usePage((state) => state.row);
  if (seam === undefined || row >= seam.count) return null;
  return (
    <span className="cursor-place">
      <span className="number">
        <strong>{fixedText(seam.s[row], 1)}</strong> <span className="unit">mm</span>
      </span>
      <span className="number">
        <strong>{fixedText(seam.time[row], 2)}</strong> <span className="unit">s</span>
      </span>
      <span className="quiet">
        {PHASES[seam.phase[row]]}
        {seam.beam[row] === 1 ? '' : ', beam off'}
      </span>
    </span>
  );
}

function Pin() {
  const pinned = usePage((state) => state.pinned !== null);
  const { pin, unpin, set } = pageStore.getState();
  return (
    <span className="pin">
      {pinned && (
        <button type="button" className="button small" onClick={() => set({ side: 'compare' })}>
          Differences
        </button>
      )}
      <button
        type="button"
        className="button small"
        aria-pressed={pinned}
        title="Keeps this plan as a thin line, to compare what comes with it"
        onClick={pinned ? unpin : pin}
      >
        {pinned ? 'Pinned' : 'Pin'}
      </button>
    </span>
  );
}

function MoreTracks() {
  const seam = usePage(({ plan, seam: index }) => plan?.seams[index]);
  const extra = usePage((state) => state.extraTracks);
  if (seam === undefined) return null;
  const set = (extraTracks: readonly string[]): void => pageStore.getState().set({ extraTracks });
  return (
    <label>
      <span className="unseen">Show or hide a further track</span>
      <select
        className="select small-select"
        value=""
        onChange={({ target: { value } }) =>
          set(extra.includes(value) ? extra.filter((name) => name !== value) : [...extra, value])
        }
      >
        <option value="" disabled>
          Tracks
        </option>
        {columnChoices(seam).map(({ name, title }) => (
          <option key={name} value={name}>
            {extra.includes(name) ? `✓ ${title}` : title}
          </option>
        ))}
      </select>
    </label>
  );
}
