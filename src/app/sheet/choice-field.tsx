// Fields that are chosen rather than typed: a word of a list, a record of the catalogue, yes or no.
import { useId } from 'react';
import { valueAt } from '../store/json-pointer.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { type CatalogueEntry, type CatalogueKind, catalogueEntries } from './catalogue-facts.ts';
import { fieldInfo } from './field-info.ts';
import { FieldRow } from './field-row.tsx';
import { valueOrDefault } from './job-reading.ts';

const WORDS: Readonly<Record<string, string>> = {
  'joint-normal': 'joint normal',
  'entry-normal': 'entry normal',
  'line-energy': 'the line energy',
  'peak-temperature': 'the peak temperature',
  'weld-width': 'the width of the seam',
  tangent: 'smooth neighbours',
  loop: 'the border of the face',
  none: 'this one alone',
};

export const choiceText = (choice: string): string => WORDS[choice] ?? choice.replaceAll('-', ' ');

interface ChoiceFieldProps {
  readonly pointer: string;
  readonly label?: string;
  /** Instead of the words of the schema. */
  readonly choices?: readonly string[];
}

export function ChoiceField({ pointer, label, choices }: ChoiceFieldProps) {
  const id = useId();
  const info = fieldInfo(pointer);
  const value = usePage(({ job }) => valueOrDefault(job, pointer));
  return (
    <FieldRow pointer={pointer} control={id} label={label} wide>
      <select
        id={id}
        className="select"
        aria-describedby={`${id}-note`}
        value={typeof value === 'string' ? value : ''}
        onChange={(event) => pageStore.getState().edit(pointer, event.target.value)}
      >
        {typeof value !== 'string' && <option value="">own value</option>}
        {(choices ?? info.choices).map((choice) => (
          <option key={choice} value={choice}>
            {choiceText(choice)}
          </option>
        ))}
      </select>
    </FieldRow>
  );
}

interface RecordFieldProps {
  readonly pointer: string;
  readonly kind: CatalogueKind;
  readonly label?: string;
  /** What stands for null, where the field may be empty. */
  readonly none?: string;
}

/** A record of the catalogue by its title; one that stands in the job itself is kept until another is chosen. */
export function RecordField({ pointer, kind, label, none }: RecordFieldProps) {
  const id = useId();
  const value = usePage(({ job }) => valueOrDefault(job, pointer));
  const own = typeof value === 'object' && value !== null;
  return (
    <FieldRow pointer={pointer} control={id} label={label} wide>
      <select
        id={id}
        className="select"
        aria-describedby={`${id}-note`}
        value={own ? '(own)' : typeof value === 'string' ? value : ''}
        onChange={(event) => {
          const chosen = event.target.value;
          if (chosen !== '(own)') pageStore.getState().edit(pointer, chosen === '' ? null : chosen);
        }}
      >
        {none !== undefined && <option value="">{none}</option>}
        {own && <option value="(own)">a record of this job</option>}
        <EntryOptions entries={catalogueEntries(kind)} />
      </select>
    </FieldRow>
  );
}

export function EntryOptions({ entries }: { readonly entries: readonly CatalogueEntry[] }) {
  return entries.map(({ id, title }) => (
    <option key={id} value={id}>
      {title}
    </option>
  ));
}

export function YesNoField({ pointer }: { readonly pointer: string }) {
  const id = useId();
  const value = usePage(({ job }) => valueAt(job, pointer) === true);
  return (
    <FieldRow pointer={pointer} control={id}>
      <input
        id={id}
        type="checkbox"
        className="checkbox"
        aria-describedby={`${id}-note`}
        checked={value}
        onChange={(event) => pageStore.getState().edit(pointer, event.target.checked ? true : undefined)}
      />
    </FieldRow>
  );
}
