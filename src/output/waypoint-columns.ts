// The columns of waypoints.csv, one row a waypoint: names, order, units and decimals are fixed here and nowhere else.
import { PHASES } from '../model/path.ts';
import type { SeamPlan } from '../planner/plan.ts';
import type { Column, NumberColumn } from './column.ts';
import { codesAtRow } from './findings-at-row.ts';
import { jointColumns } from './joint-columns.ts';
import { QUANTITY, type Quantity } from './quantity.ts';

/** Where one row of the table is found in a plan. */
export interface Waypoint {
  /** Number of the row in the file, 0-based. */
  readonly index: number;
  readonly seam: SeamPlan;
  /** Number of the row in its seam. */
  readonly row: number;
  /** Station that it stands on. */
  readonly station: number;
  /** Quaternions of the seam's rows, continuous in sign, 4 x rows. */
  readonly frame: Float64Array;
}

type Of = (waypoint: Waypoint) => number;

const number = (
  name: string,
  quantity: Quantity,
  title: string,
  description: string,
  value: Of,
  required = false,
): NumberColumn<Waypoint> => ({ name, quantity, title, description, value, required });

const AXES = ['x', 'y', 'z'] as const;

/** Three columns of one vector. `name` and `title` hold an asterisk where the axis goes. */
function vector(
  name: string,
  quantity: Quantity,
  title: string,
  description: string,
  of: (waypoint: Waypoint) => Float64Array,
): NumberColumn<Waypoint>[] {
  return AXES.map((axis, k) =>
    number(name.replace('*', axis), quantity, title.replace('*', axis), description, (w) => of(w)[3 * w.station + k]),
  );
}

const Q = QUANTITY;

export const WAYPOINT_COLUMNS: readonly Column<Waypoint>[] = [
  number('index', Q.count, 'index', 'Number of the waypoint, from 0 through the whole file.', (w) => w.index, true),
  {
    name: 'seam',
    quantity: null,
    pattern: '.+',
    title: 'seam',
    description: 'Name of the seam. Rows of one seam stand together, in the order they are driven.',
    value: (w) => w.seam.seam.name,
    required: true,
  },
  {
    name: 'phase',
    quantity: null,
    pattern: PHASES.join('|'),
    title: 'phase',
    description:
      'run-in and run-out: beam off; weld: the seam once; overlap: past the start of a closed seam, with the ramp down.',
    value: (w) => PHASES[w.seam.path.rows.phase[w.row]],
    required: true,
  },
  number('beam', Q.flag, 'beam', '1 where the beam is on.', (w) => w.seam.timing.beam[w.row], true),
  number(
    's_mm',
    Q.length,
    'arc length',
    'Arc length along the joint: negative in the run-in, beyond the length of the seam in overlap and run-out.',
    (w) => w.seam.path.rows.s[w.row],
    true,
  ),
  number('t_s', Q.time, 'time', "Time since the seam's first row.", (w) => w.seam.timing.time[w.row]),
  ...vector(
    '*_mm',
    Q.length,
    'tool centre point *',
    'Tool centre point to command, part frame: where the focus would lie without the part.',
    (w) => w.seam.aim.tcp,
  ),
  ...(['w', 'x', 'y', 'z'] as const).map((part, k) =>
    number(
      `q${part}`,
      Q.component,
      `tool frame q${part}`,
      'Unit quaternion of the tool frame to command, part frame: z along the beam axis towards the part; its sign goes on without a break from row to row of a seam.',
      (w) => w.frame[4 * w.row + k],
    ),
  ),
  ...vector('joint_*_mm', Q.length, 'joint *', 'Target on the joint, part frame.', (w) => w.seam.path.position),
  ...vector(
    'axis_*',
    Q.component,
    'beam axis *',
    'Unit vector of the beam axis in air, in the direction in which the light travels, part frame.',
    (w) => w.seam.aim.axis,
  ),
  number('speed_mm_s', Q.speed, 'speed', 'Speed of the spot along the joint.', (w) => w.seam.timing.speed[w.row]),
  number(
    'head_speed_mm_s',
    Q.speed,
    'head speed',
    'Speed of the head point, one standoff above the tool centre point.',
    (w) => w.seam.timing.headSpeed[w.row],
  ),
  number('power_W', Q.power, 'power', 'Power at the source.', (w) => w.seam.timing.power[w.row]),
  number(
    'line_energy_J_mm',
    Q.lineEnergy,
    'line energy',
    'Energy that enters the absorber per length of joint: power x transmitted / speed.',
    (w) => w.seam.timing.lineEnergy[w.row],
  ),
  number(
    'incident_J_mm',
    Q.lineEnergy,
    'incident line energy',
    'Energy that leaves the head per length of joint: power / speed.',
    (w) => w.seam.timing.incidentEnergy[w.row],
  ),
  number(
    'incidence_entry_deg',
    Q.angle,
    'incidence at entry',
    'Angle between beam and surface normal where the beam enters, in air.',
    (w) => w.seam.aim.incidenceEntry[w.station],
  ),
  number(
    'incidence_joint_deg',
    Q.angle,
    'incidence at joint',
    'Angle between beam and joint normal at the joint, in the layer.',
    (w) => w.seam.aim.incidenceJoint[w.station],
  ),
  number(
    'layer_mm',
    Q.size,
    'layer',
    "Length of the beam's way inside the transmissive layer.",
    (w) => w.seam.aim.layer[w.station],
  ),
  number(
    'gap_mm',
    Q.size,
    'gap',
    'Gap along the beam between layer and joint; 0 in contact.',
    (w) => w.seam.aim.gap[w.station],
  ),
  number(
    'transmitted',
    Q.share,
    'transmitted share',
    'Share of the power that passes surfaces and layer: the only loss that power makes up for.',
    (w) => w.seam.aim.transmitted[w.station],
  ),
  number(
    'delivered',
    Q.share,
    'delivered share',
    'Share that reaches the joint: transmitted, less what gap and shadows take. Gaps and shadows are never made up for.',
    (w) => w.seam.aim.delivered[w.station],
  ),
  number(
    'clipped',
    Q.share,
    'clipped share',
    'Share of the beam that something stands in the way of.',
    (w) => w.seam.aim.clipped[w.station],
  ),
  number(
    'capture',
    Q.share,
    'capture',
    'Share of the spot that falls on the joint face, nominal seam.',
    (w) => w.seam.aim.capture[w.station],
  ),
  number(
    'spot_along_mm',
    Q.size,
    'spot radius along',
    'Radius of the spot on the joint along the seam.',
    (w) => w.seam.aim.spotAlong[w.station],
  ),
  number(
    'spot_across_mm',
    Q.size,
    'spot radius across',
    'Radius of the spot on the joint across the seam.',
    (w) => w.seam.aim.spotAcross[w.station],
  ),
  number(
    'curvature_1_mm',
    Q.curvature,
    'curvature',
    "Curvature |C''| of the seam in space.",
    (w) => w.seam.path.curvature[w.station],
  ),
  number(
    'k_n_1_mm',
    Q.curvature,
    'normal curvature',
    'Normal curvature, positive where the surface is convex towards the head.',
    (w) => w.seam.path.normalCurvature[w.station],
  ),
  number(
    'k_g_1_mm',
    Q.curvature,
    'geodesic curvature',
    'Geodesic curvature, positive where the seam bends towards b = n x t.',
    (w) => w.seam.path.geodesicCurvature[w.station],
  ),
  number(
    'fluence_J_mm2',
    Q.fluence,
    'fluence',
    'Energy of the light that arrives per area of the joint, the highest across the seam, all passes together.',
    (w) => w.seam.heat?.rows.fluence[w.row] ?? Number.NaN,
  ),
  number(
    'peak_C',
    Q.temperature,
    'peak temperature',
    'Highest temperature of the bond plane across the seam in this pass.',
    (w) => w.seam.heat?.rows.peak[w.row] ?? Number.NaN,
  ),
  number(
    'hottest_C',
    Q.temperature,
    'hottest point',
    'Highest temperature in the absorbing part below the joint in this pass.',
    (w) => w.seam.heat?.rows.hottest[w.row] ?? Number.NaN,
  ),
  number(
    'above_melt_s',
    Q.time,
    'time above the weld onset',
    'Longest time across the seam for which the bond plane is above the weld onset in this pass.',
    (w) => w.seam.heat?.rows.aboveOnset[w.row] ?? Number.NaN,
  ),
  number(
    'weld_width_mm',
    Q.size,
    'width of the seam',
    'Width over which the bond plane gets above the weld onset in this pass.',
    (w) => w.seam.heat?.rows.width[w.row] ?? Number.NaN,
  ),
  number(
    'edge_ratio',
    Q.ratio,
    'edge ratio',
    'Energy at the edge of the wanted width towards b = n x t over that at the other edge: above 1 where the seam bends towards b.',
    (w) => w.seam.edgeRatio[w.station],
  ),
  {
    name: 'findings',
    quantity: null,
    pattern: '([a-z0-9-]+( [a-z0-9-]+)*)?',
    title: 'findings',
    description: 'Codes of the findings that hold at this row, separated by a space; the plan says more of each.',
    value: (w) => codesAtRow(w.seam, w.row).join(' '),
    required: false,
  },
];

/** All columns of a plan: those of the arm's joints stand before the findings. */
export function waypointColumns(axes: number): readonly Column<Waypoint>[] {
  const angles = ({ seam, row }: Waypoint): Float64Array =>
    seam.carried?.stand.posture.angle.subarray(axes * row, axes * row + axes) ??
    new Float64Array(axes).fill(Number.NaN);
  return [...WAYPOINT_COLUMNS.slice(0, -1), ...jointColumns(axes, angles), ...WAYPOINT_COLUMNS.slice(-1)];
}
