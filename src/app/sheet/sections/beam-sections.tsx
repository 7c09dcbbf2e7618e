// Layer, head and optics: what the beam passes, how the head stands, what light it carries.
import { useId, useState } from 'react';
import { valueAt } from '../../store/json-pointer.ts';
import { pageStore, usePage } from '../../store/page-store.ts';
import type { JobDraft } from '../../store/state.ts';
import { catalogueTitle } from '../catalogue-facts.ts';
import { choiceText, RecordField } from '../choice-field.tsx';
import { FieldRow } from '../field-row.tsx';
import { hasArm, hasLid, listAt, numberAt, ownPointers, textAt, valueOrDefault } from '../job-reading.ts';
import { NumberField, NumberInput } from '../number-field.tsx';
import { RecordFacts } from '../record-facts.tsx';
import { SheetSection } from '../sheet-section.tsx';
import { VectorField } from '../vector-field.tsx';
import { MaterialSelect } from './material-select.tsx';
import { seamName } from './seam-section.tsx';

export function LayerSection() {
  const lid = usePage(({ job }) => hasLid(job));
  const material = usePage(({ job }) => {
    const part = listAt(job, '/parts').find(({ role }) => role === 'transmissive');
    return typeof part?.material === 'string' ? part.material : '';
  });
  return (
    <SheetSection name="Layer" open={false} summary={layerSummary}>
      {lid ? (
        <>
          <p className="selection">
            The beam passes the transmissive part: thickness and angle are measured along the beam, at every waypoint.
          </p>
          {material !== '' && <RecordFacts kind="materials" id={material} />}
        </>
      ) : (
        <StatedLayer />
      )}
    </SheetSection>
  );
}

function layerSummary(job: JobDraft): string {
  const lid = listAt(job, '/parts').find(({ role }) => role === 'transmissive');
  if (lid !== undefined) return `${String(lid.body ?? lid.file)}, as modelled`;
  const thickness = valueAt(job, '/layer/thickness_mm');
  return thickness === undefined ? 'none' : `${thickness} mm, stated`;
}

/** Where no lid is modelled a layer may be stated instead. */
function StatedLayer() {
  const id = useId();
  const layer = usePage(({ job }) => valueAt(job, '/layer'));
  const material = usePage(({ job }) => textAt(job, '/layer/material'));
  if (layer === undefined) {
    return (
      <button
        type="button"
        className="button small framed add"
        onClick={() => pageStore.getState().edit('/layer', { thickness_mm: 2, material: 'pc-clear' })}
      >
        State a layer
      </button>
    );
  }
  return (
    <>
      <NumberField pointer="/layer/thickness_mm" />
      <FieldRow pointer="/layer/material" control={id} wide>
        <MaterialSelect
          id={id}
          name="Material of the stated layer"
          value={material}
          darkFirst={false}
          onChange={(next) => pageStore.getState().edit('/layer/material', next ?? 'pc-clear')}
        />
      </FieldRow>
      <button type="button" className="link" onClick={() => pageStore.getState().edit('/layer', undefined)}>
        no layer
      </button>
    </>
  );
}

export function HeadSection() {
  const arm = usePage(({ job }) => hasArm(job));
  const mount = usePage(({ job }) => textAt(job, '/head/mount'));
  return (
    <SheetSection name="Head" open={false} summary={headSummary}>
      <NumberField pointer="/head/standoff_mm" />
      <NumberField pointer="/head/defocus_mm" />
      <AxisField />
      <NumberField pointer="/head/lead_deg" />
      <NumberField pointer="/head/tilt_deg" />
      <NumberField pointer="/head/relax_deg" />
      <TurnField />
      {arm && <RecordField pointer="/head/mount" kind="heads" />}
      {arm && mount !== '' && <RecordFacts kind="heads" id={mount} />}
      <OwnFields part="head" />
    </SheetSection>
  );
}

function headSummary(job: JobDraft): string {
  const axis = valueOrDefault(job, '/head/axis');
  const lean = ['lead', 'tilt'].flatMap((way) => {
    const angle = numberAt(job, `/head/${way}_deg`);
    return angle === 0 || angle === null ? [] : [`${way} ${angle}°`];
  });
  const along = typeof axis === 'string' ? axis.replace('-', ' ') : 'fixed direction';
  return [`${numberAt(job, '/head/standoff_mm')} mm`, along, ...lean].join(', ');
}

const FIXED = 'fixed';

function AxisField() {
  const id = useId();
  const axis = usePage(({ job }) => valueOrDefault(job, '/head/axis'));
  const fixed = typeof axis !== 'string';
  return (
    <>
      <FieldRow pointer="/head/axis" control={id} wide>
        <select
          id={id}
          className="select"
          value={fixed ? FIXED : axis}
          onChange={({ target }) =>
            pageStore.getState().edit('/head/axis', target.value === FIXED ? [0, 0, -1] : target.value)
          }
        >
          {['joint-normal', 'entry-normal'].map((choice) => (
            <option key={choice} value={choice}>
              {choiceText(choice)}
            </option>
          ))}
          <option value={FIXED}>fixed direction</option>
        </select>
      </FieldRow>
      {fixed && <VectorField pointer="/head/axis" names={['x', 'y', 'z']} label="Light travels along" />}
    </>
  );
}

function TurnField() {
  const id = useId();
  const turn = usePage(({ job }) => valueOrDefault(job, '/head/turn'));
  const [wrong, setWrong] = useState<string | null>(null);
  const fixed = typeof turn === 'number';
  return (
    <FieldRow
      pointer="/head/turn"
      control={id}
      wide
      below={wrong !== null && <span className="field-wrong">{wrong}</span>}
    >
      <select
        id={id}
        className="select"
        value={fixed ? FIXED : String(turn)}
        onChange={({ target }) => pageStore.getState().edit('/head/turn', target.value === FIXED ? 0 : target.value)}
      >
        <option value="constant">constant, as suits</option>
        <option value="free">free along the seam</option>
        <option value={FIXED}>at an angle</option>
      </select>
      {fixed && <NumberInput pointer="/head/turn" value={turn} name="Turn at the start, degrees" onWrong={setWrong} />}
    </FieldRow>
  );
}

export function OpticsSection() {
  const id = usePage(({ job }) => textAt(job, '/optics'));
  return (
    <SheetSection name="Optics" open={false} summary={opticsSummary}>
      <RecordField pointer="/optics" kind="optics" label="Source" />
      {id !== '' && <RecordFacts kind="optics" id={id} />}
    </SheetSection>
  );
}

function opticsSummary(job: JobDraft): string {
  const id = textAt(job, '/optics');
  return id === '' ? 'a record of this job' : catalogueTitle('optics', id);
}

/** What the seam shown sets for itself, against the job's. */
export function OwnFields({ part }: { readonly part: 'head' | 'process' }) {
  const seam = usePage((state) => state.seam);
  const pointers = usePage(({ job }) => ownPointers(job, seam, part).join('\n'));
  const name = usePage(({ job }) => seamName(job, seam));
  if (pointers === '') return null;
  return (
    <div className="own-fields">
      <p className="quiet">Of seam {name} alone</p>
      {pointers.split('\n').map((pointer) => (
        <OwnField key={pointer} pointer={pointer} />
      ))}
    </div>
  );
}

function OwnField({ pointer }: { readonly pointer: string }) {
  const value = usePage(({ job }) => valueAt(job, pointer));
  return typeof value === 'number' ? <NumberField pointer={pointer} /> : null;
}
