// The columns of program.csv, one row a target.
import { PHASES } from '../model/path.ts';
import type { Column, NumberColumn } from './column.ts';
import { jointColumns } from './joint-columns.ts';
import type { Target } from './program-moves.ts';
import { QUANTITY, type Quantity } from './quantity.ts';

/** A target with its number in the file, 0-based. */
export interface ProgramRow {
  readonly index: number;
  readonly target: Target;
}

const Q = QUANTITY;

const number = (
  name: string,
  quantity: Quantity,
  title: string,
  description: string,
  value: (target: Target) => number,
  required = false,
): NumberColumn<ProgramRow> => ({ name, quantity, title, description, value: (row) => value(row.target), required });

const word = (
  name: string,
  pattern: string,
  title: string,
  description: string,
  value: (target: Target) => string,
): Column<ProgramRow> => ({
  name,
  quantity: null,
  pattern,
  title,
  description,
  value: (row) => value(row.target),
  required: name !== 'event',
});

/** Seven columns of a pose: position, then quaternion with w first. */
function pose(prefix: string, of: string, required: boolean, value: (target: Target) => Float64Array) {
  const position = ['x', 'y', 'z'].map((axis, k) =>
    number(
      `${prefix}${axis}_mm`,
      Q.length,
      `${of} ${axis}`,
      `Tool centre point of the ${of}, part frame.`,
      (target) => value(target)[k],
      required,
    ),
  );
  const frame = ['w', 'x', 'y', 'z'].map((part, k) =>
    number(
      `${prefix}q${part}`,
      Q.component,
      `${of} q${part}`,
      `Unit quaternion of the tool frame of the ${of}, part frame.`,
      (target) => value(target)[3 + k],
      required,
    ),
  );
  return [...position, ...frame];
}

const PROGRAM_COLUMNS: readonly Column<ProgramRow>[] = [
  {
    name: 'index',
    quantity: Q.count,
    title: 'index',
    description: 'Number of the target, from 0 through the whole file.',
    value: (row) => row.index,
    required: true,
  },
  word('seam', '.+', 'seam', 'Name of the seam.', (t) => t.seam.seam.name),
  word(
    'phase',
    ['approach', ...PHASES, 'depart'].join('|'),
    'phase',
    'What the move to this target belongs to.',
    (t) => t.phase,
  ),
  word(
    'motion',
    'free|linear|circular',
    'motion',
    'free: as the cell allows; linear: straight; circular: the arc through the via pose. Frames turn evenly along the way (slerp), on an arc first to the via frame.',
    (t) => t.motion,
  ),
  number('s_mm', Q.length, 'arc length', 'Arc length along the joint, as in the waypoints.', (t) => t.s),
  ...pose('', 'target', true, (t) => t.pose),
  ...pose('via_', 'via point', false, (t) => t.via),
  number(
    'speed_mm_s',
    Q.speed,
    'speed level',
    'Speed of the spot to ask for on the way to this target; the controller speeds up and brakes by itself.',
    (t) => t.speed,
  ),
  number(
    'blend_mm',
    Q.size,
    'blend radius',
    'Largest radius about the target within which the path may be rounded off; 0: go through the point.',
    (t) => t.blend,
    true,
  ),
  number('beam', Q.flag, 'beam', '1 where the beam is on during the move to this target.', (t) => t.beam, true),
  word('event', '(beam-on|beam-off)?', 'event', 'What the beam does at this target.', (t) => t.event),
  number(
    'event_distance_mm',
    Q.length,
    'event distance',
    'Distance before the target at which the event is due.',
    (t) => (t.event === '' ? Number.NaN : 0),
  ),
  number(
    'event_lead_s',
    Q.time,
    'event lead time',
    "Time by which the signal goes out before the event is due: the constant lead that mends most of the cell's lag; 0 where the optics record states none.",
    (t) => (t.event === '' ? Number.NaN : t.seam.timing.arrival.lead),
  ),
  number(
    'incident_J_mm',
    Q.lineEnergy,
    'incident line energy',
    'What power rises by with the real speed: power = power_offset_W + incident_J_mm x speed; with no offset the energy that is to leave the head per length of joint. Straight in between targets.',
    (t) => t.incident,
  ),
  number(
    'power_W',
    Q.power,
    'power',
    'Power at the target when driven at the speed level.',
    (t) => t.offset + t.incident * t.speed,
  ),
  number(
    'power_offset_W',
    Q.signedPower,
    'power offset',
    'Offset of the power over the speed; 0 where the optics record states no law from trials. Straight in between targets.',
    (t) => t.offset,
  ),
];

/** Shoulder, elbow and wrist in words, by the bits of the branch. */
const POSTURES = Array.from({ length: 8 }, (_, branch) =>
  [branch & 4 ? 'back' : 'front', branch & 2 ? 'down' : 'up', branch & 1 ? 'flip' : 'plain'].join(' '),
);

/** All columns of a plan: with an arm also joints, posture and turn numbers. */
export function programColumns(axes: number): readonly Column<ProgramRow>[] {
  if (axes === 0) return PROGRAM_COLUMNS;
  const turns = Array.from({ length: axes }, (_, j) =>
    number(
      `q${j + 1}_turn`,
      Q.integer,
      `turn of axis ${j + 1}`,
      `Whole turns of axis ${j + 1}: q${j + 1}_deg less 360 q${j + 1}_turn lies between -180 and 180.`,
      (t) => Math.round(t.joints[j] / (2 * Math.PI)),
    ),
  );
  return [
    ...PROGRAM_COLUMNS,
    ...jointColumns<ProgramRow>(axes, ({ target }) => target.joints),
    {
      ...word(
        'posture',
        '((front|back) (up|down) (plain|flip))?',
        'posture',
        'Of an arm with a spherical wrist: wrist centre before or behind axis 1; forearm turned forward (up) or back (down) from the line of the upper arm; axis 5 plain or flipped (sign of its geometric angle). Empty for other arms.',
        (t) => POSTURES[t.branch] ?? '',
      ),
      required: false,
    },
    ...turns,
  ];
}
