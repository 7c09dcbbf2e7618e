// Three numbers that belong together: a point or angles, edited one by one and written as a whole.
import { useState } from 'react';
import { unitText } from '../chrome/unit-text.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { fieldInfo } from './field-info.ts';
import { FieldRow } from './field-row.tsx';
import { valueOrDefault } from './job-reading.ts';
import { NumberInput } from './number-field.tsx';

interface VectorFieldProps {
  readonly pointer: string;
  /** Names of the numbers: x, y, z or A, B, C. */
  readonly names: readonly string[];
  readonly label?: string;
}

export function VectorField({ pointer, names, label }: VectorFieldProps) {
  const info = fieldInfo(pointer);
  const value = usePage(({ job }) => valueOrDefault(job, pointer));
  const [wrong, setWrong] = useState<string | null>(null);
  const numbers = Array.isArray(value) ? (value as readonly number[]) : null;
  const first = `vector${pointer.replaceAll('/', '-')}`;
  const commit = (k: number, next: number | undefined): void => {
    const filled = names.map((_, at) => numbers?.[at] ?? 0);
    filled[k] = next ?? 0;
    pageStore.getState().edit(pointer, filled, pointer);
  };
  return (
    <FieldRow
      pointer={pointer}
      control={first}
      label={label}
      wide
      below={wrong !== null && <span className="field-wrong">{wrong}</span>}
    >
      {names.map((name, k) => (
        <span key={name} className="vector-part">
          <span className="quiet" aria-hidden="true">
            {name}
          </span>
          <NumberInput
            id={k === 0 ? first : undefined}
            pointer={`${pointer}/${k}`}
            name={`${label ?? info.label}, ${name}`}
            value={numbers?.[k] ?? null}
            commit={(next) => commit(k, next)}
            onWrong={setWrong}
          />
        </span>
      ))}
      <span className="unit" aria-hidden="true">
        {unitText(info.unit)}
      </span>
    </FieldRow>
  );
}
