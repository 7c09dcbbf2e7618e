// The arm that carries the head, where the part stands before it, and how it comes and goes.
import { usePage } from '../../store/page-store.ts';
import type { JobDraft } from '../../store/state.ts';
import { catalogueTitle } from '../catalogue-facts.ts';
import { RecordField } from '../choice-field.tsx';
import { hasArm, textAt } from '../job-reading.ts';
import { NumberField } from '../number-field.tsx';
import { RecordFacts } from '../record-facts.tsx';
import { SheetSection } from '../sheet-section.tsx';
import { VectorField } from '../vector-field.tsx';

export function ArmSection() {
  const arm = usePage(({ job }) => hasArm(job));
  const id = usePage(({ job }) => textAt(job, '/arm'));
  return (
    <SheetSection name="Arm" open={false} summary={armSummary}>
      <RecordField pointer="/arm" kind="arms" none="no arm: the head alone" />
      {arm && (
        <>
          <VectorField pointer="/placement/position_mm" names={['x', 'y', 'z']} />
          <VectorField pointer="/placement/rotation_deg" names={['A', 'B', 'C']} />
          <NumberField pointer="/travel/approach_mm" />
          {id !== '' && <RecordFacts kind="arms" id={id} />}
        </>
      )}
    </SheetSection>
  );
}

function armSummary(job: JobDraft): string {
  if (!hasArm(job)) return 'none: the head alone';
  const id = textAt(job, '/arm');
  return id === '' ? 'a record of this job' : catalogueTitle('arms', id);
}
