// program.csv: the seam thinned for a controller that owns its time law, and the words of its metadata.
import type { Plan } from '../planner/plan.ts';
import { fieldOf } from './column.ts';
import { csvText } from './csv-text.ts';
import type { TableWords } from './csvw-text.ts';
import { frameNotes, type PropertyValue, propertyValue } from './frame-notes.ts';
import { axisCount } from './joint-columns.ts';
import { programColumns } from './program-columns.ts';
import { hasAllPoses, PROGRAM_LIMITS, programTargets, SPEED_STEP } from './program-moves.ts';
import { QUANTITY } from './quantity.ts';

export const PROGRAM_FILE = 'program.csv';

/** The file as text: RFC 4180, one line a target. */
export function programCsv(plan: Plan): string {
  const columns = programColumns(axisCount(plan));
  return csvText(
    columns.map((column) => column.name),
    programTargets(plan).map((target, index) => columns.map((column) => fieldOf(column, { index, target }))),
  );
}

/** The cell's delay as the optics record states it, and the lead in power and events that mends most of it on each seam. */
function delayNotes({ job, seams }: Plan): PropertyValue[] {
  const { powerLag, powerLead, powerUpdate } = job.optics;
  return [
    propertyValue(
      'power-lag',
      'Time from when the cell sets a power to when it leaves the head.',
      powerLag,
      QUANTITY.time,
    ),
    propertyValue('power-update', 'Time between two settings of the power.', powerUpdate, QUANTITY.time),
    propertyValue(
      'power-lead',
      'How far ahead of the motion the plan takes the cell to read its speed.',
      powerLead,
      QUANTITY.time,
    ),
    ...seams.map(({ seam, timing }) =>
      propertyValue(
        `best-lead.${seam.name}`,
        `Lead that keeps most of seam ${seam.name} within the band of its line energy, as in event_lead_s.`,
        timing.arrival.lead,
        QUANTITY.time,
      ),
    ),
  ];
}

/** What the metadata of the program says beside its columns. */
export function programWords(plan: Plan): TableWords {
  const missing = plan.seams.filter((seam) => !hasAllPoses(seam)).map((seam) => seam.seam.name);
  return {
    file: PROGRAM_FILE,
    title: `${plan.job.title}: program`,
    description:
      'Targets for a controller that owns its time law: the waypoints thinned to lines and arcs. Poses are in the part frame.',
    properties: [
      ...frameNotes(plan),
      propertyValue(
        'tolerance.chord',
        'Largest distance of any waypoint from the lines and arcs.',
        PROGRAM_LIMITS.chord,
        QUANTITY.size,
      ),
      propertyValue(
        'tolerance.turn',
        'Largest turn of any waypoint frame from the frame in between targets.',
        PROGRAM_LIMITS.turn,
        QUANTITY.angle,
      ),
      propertyValue(
        'tolerance.energy',
        'Largest error of the incident line energy in between targets, as a share of its largest value.',
        PROGRAM_LIMITS.energyShare,
        QUANTITY.share,
      ),
      propertyValue('speed-step', 'Ratio of neighbouring speed levels.', SPEED_STEP, QUANTITY.ratio),
      propertyValue(
        'clearance',
        'Distance of the approach and depart points from the part side target, back along the tool z axis: assumed, widen it to suit clamps and cell.',
        plan.job.approach,
        QUANTITY.size,
      ),
      ...delayNotes(plan),
      ...missing.map((name) =>
        propertyValue(`left-out.${name}`, `Seam ${name} has waypoints without a known pose and is not in the program.`),
      ),
    ],
  };
}
