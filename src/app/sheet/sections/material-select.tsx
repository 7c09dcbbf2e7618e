// A material of the catalogue or of the job itself, those that fit the role first.
import { valueAt } from '../../store/json-pointer.ts';
import { usePage } from '../../store/page-store.ts';
import { catalogueEntries, materialsByUse } from '../catalogue-facts.ts';
import { EntryOptions } from '../choice-field.tsx';

interface MaterialSelectProps {
  readonly id?: string;
  readonly name: string;
  readonly value: string;
  readonly darkFirst: boolean;
  readonly onChange: (material: string | undefined) => void;
}

const { clear, dark } = materialsByUse();
const CATALOGUE = new Set(catalogueEntries('materials').map(({ id }) => id));

export function MaterialSelect({ id, name, value, darkFirst, onChange }: MaterialSelectProps) {
  const ownNames = usePage(({ job }) => {
    const own = valueAt(job, '/materials');
    return typeof own === 'object' && own !== null ? Object.keys(own).join('\n') : '';
  });
  const own = ownNames === '' ? [] : ownNames.split('\n').filter((material) => !CATALOGUE.has(material));
  const unknown = value !== '' && !CATALOGUE.has(value) && !own.includes(value);
  const groups = [
    <optgroup key="clear" label="Lets the light through">
      <EntryOptions entries={clear} />
    </optgroup>,
    <optgroup key="dark" label="Absorbs the light">
      <EntryOptions entries={dark} />
    </optgroup>,
  ];
  return (
    <select
      id={id}
      className="select"
      aria-label={name}
      value={value}
      onChange={(event) => onChange(event.target.value === '' ? undefined : event.target.value)}
    >
      <option value="">material not named</option>
      {unknown && <option value={value}>{value}</option>}
      {own.length > 0 && (
        <optgroup label="Of this job">
          <EntryOptions entries={own.map((material) => ({ id: material, title: material }))} />
        </optgroup>
      )}
      {darkFirst ? groups.reverse() : groups}
    </select>
  );
}
