// Seams: which edge or band, and how it is driven.
import { useId } from 'react';
import { fixedText } from '../../chrome/unit-text.ts';
import { valueAt } from '../../store/json-pointer.ts';
import { pageStore, usePage } from '../../store/page-store.ts';
import type { JobDraft, Json } from '../../store/state.ts';
import { ChoiceField, YesNoField } from '../choice-field.tsx';
import { listAt, numberAt } from '../job-reading.ts';
import { NumberField } from '../number-field.tsx';
import { SheetSection } from '../sheet-section.tsx';

export function SeamSection() {
  const seam = usePage((state) => state.seam);
  const count = usePage(({ job }) => listAt(job, '/seams').length);
  return (
    <SheetSection name={count > 1 ? 'Seams' : 'Seam'} open summary={seamSummary}>
      {count > 1 && <SeamTabs count={count} />}
      {count === 0 ? <NoSeam /> : <SeamLines at={`/seams/${Math.min(seam, count - 1)}`} />}
    </SheetSection>
  );
}

export const seamName = (job: JobDraft, k: number): string => String(listAt(job, '/seams')[k]?.name ?? `seam-${k + 1}`);

function seamSummary(job: JobDraft): string {
  const { length } = listAt(job, '/seams');
  if (length === 0) return 'none yet';
  return Array.from({ length }, (_, k) => `${seamName(job, k)}, ${numberAt(job, `/seams/${k}/width_mm`)} mm wide`).join(
    '; ',
  );
}

function SeamTabs({ count }: { readonly count: number }) {
  const seam = usePage((state) => state.seam);
  const job = usePage((state) => state.job);
  return (
    <fieldset className="seam-tabs segments">
      <legend className="unseen">Seam shown</legend>
      {Array.from({ length: count }, (_, k) => seamName(job, k)).map((name, k) => (
        <button
          key={name}
          type="button"
          className="button small"
          aria-pressed={k === seam}
          onClick={() => pageStore.getState().set({ seam: k, row: 0, finding: null })}
        >
          {name}
        </button>
      ))}
    </fieldset>
  );
}

function NoSeam() {
  const parts = usePage(({ scene }) => scene !== null && scene.bodies.length > 0);
  if (!parts) return <p className="quiet">It is chosen on the parts, once they are there.</p>;
  return (
    <div className="asked">
      <p>
        <strong>Where does the seam run?</strong>
      </p>
      <p>Pick the edge of the joint on the stage, or choose it from the list of edges.</p>
      <PickButtons />
    </div>
  );
}

function PickButtons() {
  const picking = usePage(({ tool }) => tool === 'pick-edge');
  return (
    <div className="pick-buttons">
      <button
        type="button"
        className="button small framed"
        aria-pressed={picking}
        onClick={() => pageStore.getState().set({ tool: picking ? 'look' : 'pick-edge' })}
      >
        Pick on the stage
      </button>
      <button type="button" className="button small framed" onClick={() => pageStore.getState().set({ side: 'edges' })}>
        List of edges
      </button>
    </div>
  );
}

function SeamLines({ at }: { readonly at: string }) {
  const select = usePage(({ job }) => valueAt(job, `${at}/select`));
  const kind = typeof select === 'object' && select !== null ? Object.keys(select)[0] : undefined;
  return (
    <>
      <NameField at={at} />
      <p className="selection" data-pointer={`${at}/select`}>
        {selectionText(select)}
      </p>
      <PickButtons />
      {kind === 'edge' && <ChoiceField pointer={`${at}/select/edge/follow`} />}
      {kind === 'band' && <ChoiceField pointer={`${at}/select/band/follow`} choices={['tangent', 'none']} />}
      <NumberField pointer={`${at}/width_mm`} />
      <NumberField pointer={`${at}/offset_mm`} />
      <details className="more">
        <summary>Run-in, overlap, ramps, waypoints</summary>
        <NumberField pointer={`${at}/run_in_mm`} />
        <NumberField pointer={`${at}/overlap_mm`} />
        <NumberField pointer={`${at}/ramp_mm`} />
        <NumberField pointer={`${at}/spacing_mm`} />
        <NumberField pointer={`${at}/chord_mm`} />
        <YesNoField pointer={`${at}/reverse`} />
      </details>
    </>
  );
}

function NameField({ at }: { readonly at: string }) {
  const id = useId();
  const name = usePage(({ job }) => String(valueAt(job, `${at}/name`) ?? ''));
  return (
    <div className="field wide" data-pointer={`${at}/name`}>
      <label htmlFor={id}>Name</label>
      <div className="field-value">
        <input
          key={name}
          id={id}
          className="text-input"
          defaultValue={name}
          placeholder={`seam-${Number(at.split('/')[2]) + 1}`}
          pattern="[A-Za-z0-9][A-Za-z0-9 _.\-]{0,59}"
          title="Letters, digits, blank, _ . -"
          onBlur={({ target }) => {
            if (target.validity.valid && target.value !== name) {
              pageStore.getState().edit(`${at}/name`, target.value === '' ? undefined : target.value);
            }
          }}
          onKeyDown={(event) => event.key === 'Enter' && event.currentTarget.blur()}
        />
      </div>
    </div>
  );
}

/** What the seam follows, in words. */
function selectionText(select: Json | undefined): string {
  if (typeof select !== 'object' || select === null || Array.isArray(select)) return 'nothing chosen yet';
  const { edge, band, edges } = select as { readonly [key: string]: Json };
  if (Array.isArray(edges)) return `Edges ${edges.slice(0, 4).join(', ')}${edges.length > 4 ? ' ..' : ''}`;
  const place = (edge ?? band) as { readonly body?: Json; readonly near_mm?: Json } | undefined;
  if (place === undefined) return 'nothing chosen yet';
  const near = Array.isArray(place.near_mm) ? place.near_mm.map((x) => fixedText(Number(x), 1)).join(', ') : 'unknown';
  return `${edge === undefined ? 'Middle of the band' : 'Edge'} of ${String(place.body)} near ${near} mm`;
}
