// What leaves the page: the files of the plan with what each is and how big, and the caution, which is to be read once.
import { CAUTION } from '../../output/caution.ts';
import type { PageFile } from '../../worker/page/protocol.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { Modal } from './modal.tsx';
import { SeverityMark } from './severity-mark.tsx';

const IS: readonly (readonly [RegExp, string])[] = [
  [/^waypoints\.csv$/, 'one row a waypoint, with all that was computed there'],
  [/^program\.csv$/, 'the seam thinned for a controller with a time law of its own'],
  [/-metadata\.json$/, 'types, units and frames of the file beside it (W3C CSVW)'],
  [/^seam\.svg$/, 'the seam and its tracks as a picture'],
  [/^process-window.*\.svg$/, 'speed and line energy with their borders'],
  [/\.glb$/, 'the heat map in space, for any viewer of glTF'],
  [/^plan\.json$/, 'the whole plan: inputs, version, every finding'],
];

export function ExportDialog() {
  const open = usePage((state) => state.exportOpen);
  return open ? <OpenExport /> : null;
}

function OpenExport() {
  const outputs = usePage((state) => state.outputs);
  const seen = usePage((state) => state.cautionSeen);
  const blocked = usePage(({ plan }) => plan?.summary.blocked === true);
  const { closeExport, download } = pageStore.getState();
  const ready = outputs !== null && seen;
  return (
    <Modal name="Export the plan" className="export" onClose={closeExport}>
      <h2>Export the plan</h2>
      {blocked && (
        <p className="export-blocked">
          <SeverityMark severity="blocks" /> This plan breaks a limit: the files are written and say so.
        </p>
      )}
      {seen ? null : <Caution />}
      {outputs === null ? <Waiting /> : <FileList files={outputs} enabled={ready} />}
      <div className="dialog-actions">
        <button type="button" className="button framed" onClick={closeExport}>
          Close
        </button>
        <button type="button" className="button main" disabled={!ready} onClick={() => download(null)}>
          All as one zip
        </button>
      </div>
    </Modal>
  );
}

function Caution() {
  return (
    <div className="caution">
      {CAUTION.map((sentence, k) => (
        <p key={sentence} className={k === 0 ? 'caution-first' : ''}>
          {sentence}
        </p>
      ))}
      <button type="button" className="button framed" onClick={() => pageStore.getState().seenCaution()}>
        I have read this
      </button>
    </div>
  );
}

function Waiting() {
  const complete = usePage(({ plan, stale }) => plan?.complete === true && !stale);
  const percent = usePage(({ fraction }) => Math.floor(100 * fraction));
  return (
    <p className="export-waiting" role="status">
      {complete ? 'Writing the files ..' : `The plan is not complete yet, ${percent} %. The files come after it.`}
    </p>
  );
}

function FileList({ files, enabled }: { readonly files: readonly PageFile[]; readonly enabled: boolean }) {
  return (
    <ul className="file-list">
      {files.map(({ name, bytes }) => (
        <li key={name}>
          <button
            type="button"
            className="link"
            disabled={!enabled}
            aria-label={`Download ${name}`}
            onClick={() => pageStore.getState().download(name)}
          >
            {name}
          </button>
          <span className="quiet file-is">{IS.find(([pattern]) => pattern.test(name))?.[1] ?? ''}</span>
          <span className="number">{sizeText(bytes.length)}</span>
        </li>
      ))}
    </ul>
  );
}

const sizeText = (bytes: number): string =>
  bytes < 1000 ? `${bytes} B` : bytes < 1e6 ? `${(bytes / 1e3).toFixed(0)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
