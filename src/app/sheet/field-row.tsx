// One line of the sheet: label on the left, value on the right, a bar beside it where it is not the default.
import type { ReactNode } from 'react';
import { unitText } from '../chrome/unit-text.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { fieldInfo } from './field-info.ts';
import { Guess } from './guess.tsx';
import { isChanged } from './job-reading.ts';
import { numberText, rangeText } from './number-text.ts';

interface FieldRowProps {
  readonly pointer: string;
  /** Id of the control that the label belongs to. */
  readonly control: string;
  /** Instead of the label of the field. */
  readonly label?: string | undefined;
  readonly children: ReactNode;
  /** Stands below, across the whole line. */
  readonly below?: ReactNode;
  readonly wide?: boolean;
}

export function FieldRow({ pointer, control, label, children, below, wide = false }: FieldRowProps) {
  const info = fieldInfo(pointer);
  const changed = usePage(({ job }) => isChanged(job, pointer));
  return (
    <div className={`field${changed ? ' changed' : ''}${wide ? ' wide' : ''}`} data-pointer={pointer}>
      <label htmlFor={control}>{label ?? info.label}</label>
      <div className="field-value">
        <Guess pointer={pointer} of={label ?? info.label} />
        {children}
      </div>
      {below}
      {changed && <Reset pointer={pointer} />}
      <span className="unseen" id={`${control}-note`}>
        {[info.description, rangeText(info)].filter((text) => text !== '').join(' ')}
      </span>
    </div>
  );
}

/** Says what the default is, and brings it back. */
function Reset({ pointer }: { readonly pointer: string }) {
  const { label, standard, unit } = fieldInfo(pointer);
  const text = standardText(standard);
  const shown = unitText(unit);
  return (
    <button
      type="button"
      className="link reset"
      aria-label={`${label}: back to the default, ${text} ${shown}`}
      onClick={() => pageStore.getState().edit(pointer, undefined)}
    >
      default {text}
      {shown === '' ? '' : shown === '°' ? '°' : ` ${shown}`}
    </button>
  );
}

export function standardText(standard: unknown): string {
  if (typeof standard === 'number') return numberText(standard);
  if (typeof standard === 'string') return standard.replaceAll('-', ' ');
  if (Array.isArray(standard)) return standard.map(standardText).join(', ');
  if (standard === null || standard === undefined) return 'none';
  return standard === true ? 'yes' : 'no';
}
