// Process: how fast, with how much energy, from which temperature.
import { useId } from 'react';
import { valueAt } from '../../store/json-pointer.ts';
import { pageStore, usePage } from '../../store/page-store.ts';
import type { JobDraft } from '../../store/state.ts';
import { ChoiceField } from '../choice-field.tsx';
import { FieldRow } from '../field-row.tsx';
import { numberAt } from '../job-reading.ts';
import { NumberField } from '../number-field.tsx';
import { SheetSection } from '../sheet-section.tsx';
import { OwnFields } from './beam-sections.tsx';

export function ProcessSection() {
  const aimed = usePage(({ job }) => valueAt(job, '/process/aim') ?? null);
  return (
    <SheetSection name="Process" open summary={processSummary}>
      <NumberField pointer="/process/speed_mm_s" />
      <AimField />
      {aimed === null && <NumberField pointer="/process/line_energy_J_mm" />}
      <ChoiceField pointer="/process/hold" />
      <NumberField pointer="/process/start_temperature_C" />
      <Preheat />
      <OwnFields part="process" />
      <button type="button" className="link" onClick={() => pageStore.getState().set({ side: 'window' })}>
        set both in the process window
      </button>
    </SheetSection>
  );
}

const processSummary = (job: JobDraft): string =>
  `${numberAt(job, '/process/speed_mm_s')} mm/s, ${numberAt(job, '/process/line_energy_J_mm')} J/mm`;

/** The energy itself is given, or what it has to reach. */
function AimField() {
  const id = useId();
  const aim = usePage(({ job }) => valueAt(job, '/process/aim') ?? null);
  const kind = typeof aim === 'object' && aim !== null ? Object.keys(aim)[0] : '';
  const choose = (next: string): void => {
    const width = numberAt(pageStore.getState().job, '/seams/0/width_mm') ?? 2;
    const value = next === 'width_mm' ? { width_mm: width } : next === 'peak_C' ? { peak_C: 300 } : undefined;
    pageStore.getState().edit('/process/aim', value);
  };
  return (
    <>
      <FieldRow pointer="/process/aim" control={id} wide>
        <select id={id} className="select" value={kind} onChange={({ target }) => choose(target.value)}>
          <option value="">given as line energy</option>
          <option value="width_mm">found for a width</option>
          <option value="peak_C">found for a peak</option>
        </select>
      </FieldRow>
      {kind === 'width_mm' && <NumberField pointer="/process/aim/width_mm" />}
      {kind === 'peak_C' && <NumberField pointer="/process/aim/peak_C" />}
    </>
  );
}

const PREHEAT = { power_W: 50, radius_mm: 5, absorption_1_mm: 10, layer_absorption_1_mm: 0.05 } as const;

function Preheat() {
  const id = useId();
  const on = usePage(({ job }) => (valueAt(job, '/process/preheat') ?? null) !== null);
  return (
    <>
      <FieldRow pointer="/process/preheat" control={id}>
        <input
          id={id}
          type="checkbox"
          className="checkbox"
          checked={on}
          onChange={({ target }) =>
            pageStore.getState().edit('/process/preheat', target.checked ? { ...PREHEAT } : undefined)
          }
        />
      </FieldRow>
      {on && Object.keys(PREHEAT).map((key) => <NumberField key={key} pointer={`/process/preheat/${key}`} />)}
    </>
  );
}
