// Limits: what the plan is held against.
import { usePage } from '../../store/page-store.ts';
import type { JobDraft } from '../../store/state.ts';
import { hasArm, isChanged } from '../job-reading.ts';
import { NumberField } from '../number-field.tsx';
import { SheetSection } from '../sheet-section.tsx';

const BEAM = [
  'incidence_entry_deg',
  'incidence_joint_deg',
  'layer_mm',
  'gap_mm',
  'contact_mm',
  'clipped_pct',
  'capture_pct',
  'lateral_mm',
  'line_energy_pct',
];
const MOTION = [
  'spot_acceleration_mm_s2',
  'normal_acceleration_mm_s2',
  'head_speed_mm_s',
  'head_acceleration_mm_s2',
  'head_turn_deg_s',
  'head_turn_deg_s2',
];
const ARM = ['clearance_mm', 'joint_margin_deg', 'singularity', 'turn_rate_deg_mm'];
const at = (key: string): string => `/limits/${key}`;

export function LimitsSection() {
  const arm = usePage(({ job }) => hasArm(job));
  return (
    <SheetSection name="Limits" open={false} summary={limitsSummary}>
      <Group name="Beam and joint" keys={BEAM} />
      <Group name="Motion" keys={MOTION} />
      {arm && <Group name="Arm" keys={ARM} />}
    </SheetSection>
  );
}

function Group({ name, keys }: { readonly name: string; readonly keys: readonly string[] }) {
  return (
    <>
      <h3 className="sheet-group">{name}</h3>
      {keys.map((key) => (
        <NumberField key={key} pointer={at(key)} />
      ))}
    </>
  );
}

function limitsSummary(job: JobDraft): string {
  const changed = [...BEAM, ...MOTION, ...ARM].filter((key) => isChanged(job, at(key))).length;
  return changed === 0 ? 'all at their defaults' : `${changed} changed, the others at their defaults`;
}
