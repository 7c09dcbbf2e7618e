// Parts: which file and body, what it does for the beam, of what it is made.
import { chooseFiles } from '../../chrome/choose-files.ts';
import { confirmGuess } from '../../store/guesses.ts';
import { pageStore, usePage } from '../../store/page-store.ts';
import type { JobDraft } from '../../store/state.ts';
import { Guess } from '../guess.tsx';
import { NumberField } from '../number-field.tsx';
import { SheetSection } from '../sheet-section.tsx';
import { listAt } from '../job-reading.ts';
import { MaterialSelect } from './material-select.tsx';

const ROLES = ['transmissive', 'absorbing', 'tooling', 'clear-clamp'] as const;

const NOTHING: readonly JobDraft[] = [];

export function PartsSection() {
  const parts = usePage(({ job }) => (job.parts === undefined ? NOTHING : listAt(job, '/parts')));
  return (
    <SheetSection name="Parts" open summary={partsSummary}>
      <ul className="parts">
        {parts.map((part, k) => (
          <PartLine key={`${String(part.file)} ${String(part.body ?? '')}`} part={part} index={k} />
        ))}
      </ul>
      <GuessesBelow />
      <button type="button" className="button small framed add" onClick={chooseFiles}>
        Add a file
      </button>
      <details className="more">
        <summary>Mesh for the computation</summary>
        <NumberField pointer="/tessellation/linear_mm" />
        <NumberField pointer="/tessellation/angular_deg" />
        <NumberField pointer="/tessellation/max_triangles" />
      </details>
    </SheetSection>
  );
}

/** What the marks beside the parts mean, as long as there is one. */
function GuessesBelow() {
  const guessed = usePage((state) => state.guessed.filter((pointer) => pointer.startsWith('/parts/')).join('\n'));
  if (guessed === '') return null;
  return (
    <p className="guesses quiet">
      <i aria-hidden="true">?</i>
      <span>guessed from names</span>
      <button type="button" className="link" onClick={() => guessed.split('\n').forEach(confirmGuess)}>
        confirm all
      </button>
    </p>
  );
}

function partsSummary(job: JobDraft): string {
  const parts = listAt(job, '/parts');
  if (parts.length === 0) return 'none yet';
  return parts.map(({ body, file }) => String(body ?? file)).join(', ');
}

function PartLine({ part, index }: { readonly part: JobDraft; readonly index: number }) {
  const at = `/parts/${index}`;
  const name = String(part.body ?? part.file);
  const role = typeof part.role === 'string' ? part.role : '';
  const edit = (key: string, value: string | undefined): void => pageStore.getState().edit(`${at}/${key}`, value);
  return (
    <li className={`part role-${role || 'unknown'}`}>
      <div className="part-line" data-pointer={`${at}/role`}>
        <span className="part-mark" aria-hidden="true" />
        <strong title={name}>{name}</strong>
        <span className="quiet part-file">{part.body === undefined ? '' : String(part.file)}</span>
        <Guess pointer={`${at}/role`} of={`role of ${name}`} />
        <select
          className="select"
          aria-label={`Role of ${name}`}
          value={role}
          onChange={(event) => edit('role', event.target.value)}
        >
          {role === '' && <option value="">what does it do?</option>}
          {ROLES.map((choice) => (
            <option key={choice} value={choice}>
              {choice.replaceAll('-', ' ')}
            </option>
          ))}
        </select>
      </div>
      <div className="part-line second" data-pointer={`${at}/material`}>
        <button
          type="button"
          className="link part-remove"
          aria-label={`Remove ${name}`}
          onClick={() => pageStore.getState().edit(at, undefined)}
        >
          remove
        </button>
        {role === 'tooling' ? (
          <span className="quiet part-file">{part.unit === undefined ? '' : `read in ${String(part.unit)}`}</span>
        ) : (
          <>
            <Guess pointer={`${at}/material`} of={`material of ${name}`} />
            <MaterialSelect
              name={`Material of ${name}`}
              value={typeof part.material === 'string' ? part.material : ''}
              darkFirst={role === 'absorbing'}
              onChange={(material) => edit('material', material)}
            />
          </>
        )}
      </div>
    </li>
  );
}
