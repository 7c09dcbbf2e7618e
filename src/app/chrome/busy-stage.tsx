// The stage while the first parts are read: what is running, how far, and a way to stop it.
import { pageStore, usePage } from '../store/page-store.ts';

export function BusyStage() {
  const busy = usePage(({ scene, run }) => scene === null && run === 'running');
  const what = usePage((state) => state.what);
  const fraction = usePage((state) => state.fraction);
  if (!busy) return null;
  return (
    <div className="busy-stage">
      <p className="empty-title">Reading the parts</p>
      <div className="busy-line" aria-hidden="true">
        <span style={{ transform: `scaleX(${fraction})` }} />
      </div>
      <p className="quiet">
        {what} <span className="number">{Math.floor(100 * fraction)} %</span>
      </p>
      <button type="button" className="button framed" onClick={() => pageStore.getState().cancel()}>
        Cancel
      </button>
    </div>
  );
}
