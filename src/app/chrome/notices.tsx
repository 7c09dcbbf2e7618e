// What went wrong: what, where, what next. And what is not the person's fault, said once.
import type { PageError } from '../../worker/page/protocol.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { SeverityMark } from './severity-mark.tsx';

export function Notices() {
  const error = usePage((state) => (state.run === 'failed' && state.questions.length === 0 ? state.error : null));
  const openError = usePage((state) => state.openError);
  const notice = usePage((state) => state.notice);
  if (error === null && openError === null && notice === null) return null;
  return (
    <div className="notices">
      {openError !== null && <ErrorCard heading="Not opened; everything is as it was" error={openError} dismiss />}
      {error !== null && <ErrorCard heading="This job cannot be planned" error={error} />}
      {notice !== null && (
        <div className="notice" role="status">
          <p>{notice}</p>
          <Dismiss />
        </div>
      )}
    </div>
  );
}

interface ErrorCardProps {
  readonly heading: string;
  readonly error: PageError;
  readonly dismiss?: boolean;
}

function ErrorCard({ heading, error: { sentence, place, hint, code }, dismiss = false }: ErrorCardProps) {
  return (
    <div className="notice wrong" role="alert">
      <p className="notice-head">
        <SeverityMark severity="blocks" />
        <strong>{heading}</strong>
      </p>
      <p>{capital(sentence)}.</p>
      <dl>
        {place !== '' && (
          <>
            <dt>where</dt>
            <dd>{place}</dd>
          </>
        )}
        {hint !== '' && (
          <>
            <dt>try</dt>
            <dd>{hint}</dd>
          </>
        )}
        <dt>code</dt>
        <dd>{code}</dd>
      </dl>
      {dismiss && <Dismiss />}
    </div>
  );
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1).replace(/\.$/, '');

function Dismiss() {
  return (
    <button type="button" className="button small framed" onClick={() => pageStore.getState().dismiss()}>
      Close
    </button>
  );
}
