// The arrays of a plan as plan.json writes them: key with its unit, rounding, and where they come from.
import type { SeamPlan } from '../planner/plan.ts';
import { roundedNumber } from './decimal-text.ts';
import { QUANTITY, type Quantity } from './quantity.ts';

interface ArrayField {
  /** Key in the file; vectors are written x, y, z after one another, quaternions w, x, y, z. */
  readonly key: string;
  readonly quantity: Quantity;
  readonly of: (seam: SeamPlan) => ArrayLike<number>;
}

const Q = QUANTITY;

const field = (key: string, quantity: Quantity, of: ArrayField['of']): ArrayField => ({ key, quantity, of });

/** One value, or one vector, a station. */
export const STATION_FIELDS: readonly ArrayField[] = [
  field('s_mm', Q.length, (p) => p.path.s),
  field('on_seam', Q.flag, (p) => p.path.onSeam),
  field('joint_mm', Q.length, (p) => p.path.position),
  field('tangent', Q.component, (p) => p.path.tangent),
  field('normal', Q.component, (p) => p.path.normal),
  field('curvature_1_mm', Q.curvature, (p) => p.path.curvature),
  field('k_n_1_mm', Q.curvature, (p) => p.path.normalCurvature),
  field('k_g_1_mm', Q.curvature, (p) => p.path.geodesicCurvature),
  field('tau_g_1_mm', Q.curvature, (p) => p.path.geodesicTorsion),
  field('corner_deg', Q.angle, (p) => p.path.corner),
  field('face', Q.count, (p) => p.path.face),
  field('axis', Q.component, (p) => p.aim.axis),
  field('tcp_mm', Q.length, (p) => p.aim.tcp),
  field('frame', Q.component, (p) => p.aim.frame),
  field('head_mm', Q.length, (p) => p.aim.head),
  field('head_d1', Q.ratio, (p) => p.aim.headD1),
  field('head_d2_1_mm', Q.curvature, (p) => p.aim.headD2),
  field('turn_d1_deg_mm', Q.turnRate, (p) => p.aim.turnD1),
  field('turn_d2_deg_mm2', Q.turnRateChange, (p) => p.aim.turnD2),
  field('head_factor', Q.ratio, (p) => p.aim.headFactor),
  field('entry_mm', Q.length, (p) => p.aim.entry),
  field('incidence_entry_deg', Q.angle, (p) => p.aim.incidenceEntry),
  field('incidence_joint_deg', Q.angle, (p) => p.aim.incidenceJoint),
  field('layer_mm', Q.size, (p) => p.aim.layer),
  field('walls', Q.count, (p) => p.aim.walls),
  field('gap_mm', Q.size, (p) => p.aim.gap),
  field('raw_gap_mm', Q.length, (p) => p.aim.rawGap),
  field('transmitted', Q.share, (p) => p.aim.transmitted),
  field('delivered', Q.share, (p) => p.aim.delivered),
  field('clipped', Q.share, (p) => p.aim.clipped),
  field('clipped_by', Q.count, (p) => p.aim.clippedBy),
  field('capture', Q.share, (p) => p.aim.capture),
  field('capture_lateral', Q.share, (p) => p.aim.captureLateral),
  field('border_left_mm', Q.size, (p) => p.aim.borderLeft),
  field('border_right_mm', Q.size, (p) => p.aim.borderRight),
  field('spot_along_mm', Q.size, (p) => p.aim.spotAlong),
  field('spot_across_mm', Q.size, (p) => p.aim.spotAcross),
  field('focus_shift_mm', Q.length, (p) => p.aim.focusShift),
  field('edge_ratio', Q.ratio, (p) => p.edgeRatio),
];

/** One value a station, where the beam axis was smoothed. */
export const RELAXATION_FIELDS: readonly ArrayField[] = [
  field('lean_deg', Q.angle, (p) => p.relaxation?.lean ?? []),
  field('cone_deg', Q.angle, (p) => p.relaxation?.cone ?? []),
];

/** One value a row; `phase` and `bound` are positions in the lists of names beside them. */
export const ROW_FIELDS: readonly ArrayField[] = [
  field('s_mm', Q.length, (p) => p.path.rows.s),
  field('station', Q.count, (p) => p.path.rows.station),
  field('phase', Q.count, (p) => p.path.rows.phase),
  field('beam', Q.flag, (p) => p.timing.beam),
  field('ramp', Q.share, (p) => p.timing.ramp),
  field('t_s', Q.time, (p) => p.timing.time),
  field('speed_mm_s', Q.speed, (p) => p.timing.speed),
  field('acceleration_mm_s2', Q.acceleration, (p) => p.timing.acceleration),
  field('bound', Q.count, (p) => p.timing.bound),
  field('head_speed_mm_s', Q.speed, (p) => p.timing.headSpeed),
  field('power_W', Q.power, (p) => p.timing.power),
  field('line_energy_J_mm', Q.lineEnergy, (p) => p.timing.lineEnergy),
  field('incident_J_mm', Q.lineEnergy, (p) => p.timing.incidentEnergy),
  field('arriving_power_W', Q.power, (p) => p.timing.arrivingPower),
  field('arriving_J_mm', Q.lineEnergy, (p) => p.timing.arrivingEnergy),
  field('arriving_deviation', Q.ratio, (p) => p.timing.arrivingDeviation),
];

/** One value a row, where the heat is known. */
export const HEAT_ROW_FIELDS: readonly ArrayField[] = [
  field('fluence_J_mm2', Q.fluence, (p) => p.heat?.rows.fluence ?? []),
  field('before_C', Q.temperature, (p) => p.heat?.rows.before ?? []),
  field('peak_C', Q.temperature, (p) => p.heat?.rows.peak ?? []),
  field('hottest_C', Q.temperature, (p) => p.heat?.rows.hottest ?? []),
  field('above_melt_s', Q.time, (p) => p.heat?.rows.aboveOnset ?? []),
  field('weld_width_mm', Q.size, (p) => p.heat?.rows.width ?? []),
];

/** The arrays of one seam as plain lists, rounded; null where a value could not be computed. */
export function plainArrays(fields: readonly ArrayField[], seam: SeamPlan): Record<string, (number | null)[]> {
  return Object.fromEntries(
    fields.map(({ key, quantity, of }) => [
      key,
      Array.from(of(seam), (value) => roundedNumber(value * quantity.scale, quantity.decimals)),
    ]),
  );
}
