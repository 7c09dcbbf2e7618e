// Every finding there is: how grave, what its limit is, what to try. The one table that checks, documentation and reports
// read. A limit of the job that is exceeded, or a value that is unknown, blocks; what the plan had to give up, or had to
// guess, warns; what is good to know, notes. Thresholds that are not in the job are marked with where they come from.
import type { Severity } from '../model/finding.ts';

export interface Rule {
  readonly severity: Severity;
  readonly title: string;
  /** What the value is held against, in words. */
  readonly limit: string;
  readonly remedy: string;
}

/** Thresholds that no job states. All of them assumed, none measured on welds. */
export const THRESHOLDS = {
  /** Inner edge of a bend over its outer edge, share more energy: noted, and warned of. */
  unequalBend: 0.05,
  unequalBendStrong: 0.15,
  /** Largest distance between the seam's curve and the model's points, mm. */
  fit: 0.02,
  /** Distance of a fingerprint's points from the line that is selected, mm. */
  fingerprint: 0.02,
  /** Head speed over spot speed below which the head counts as standing still. */
  standstill: 0.05,
  /** Deviation of line energy, share. */
  lineEnergy: 0.01,
  /** Absorption coefficient below which the light is not absorbed at the joint, 1/mm. */
  absorption: 0.5,
  /** Overlap of the temperatures at which both plastics are molten and unspoilt, K. */
  meltingOverlap: 40,
  /** Shortfall of speed that counts as a dip, share. */
  dip: 1e-3,
  /** Share of an axis's speed or acceleration that is worth a note. */
  axisUse: 0.9,
  /** How far the joint path may lead the tool off its way between waypoints, mm and deg. */
  stray: 0.02,
  strayAngle: 0.02,
} as const;

export const RULES = {
  'layer-thick': {
    severity: 'blocks',
    title: 'Layer too thick',
    limit: 'limits.layer_mm, along the beam',
    remedy: 'thin the transmissive body over the seam, or let the beam stand steeper on it',
  },
  'layer-missing': {
    severity: 'blocks',
    title: 'No layer over the seam',
    limit: 'one wall of a transmissive body on the way of the beam',
    remedy: 'check that the transmissive body lies over the joint in the assembly, and that its role is set',
  },
  'several-walls': {
    severity: 'blocks',
    title: 'Several walls in the beam',
    limit: 'one wall of a transmissive body on the way of the beam',
    remedy: 'turn the beam axis by lead or tilt so that it passes one wall only, or move the second wall',
  },
  'gap-wide': {
    severity: 'blocks',
    title: 'Gap too wide',
    limit: 'limits.gap_mm, along the beam',
    remedy: 'bring the faces together: change the rib or the lid, or clamp closer to this stretch',
  },
  'bodies-overlap': {
    severity: 'warns',
    title: 'Bodies overlap',
    limit: 'limits.contact_mm of interference',
    remedy: 'check the assembly: the transmissive body reaches into the absorbing one; it is planned as contact',
  },
  'incidence-entry': {
    severity: 'blocks',
    title: 'Incidence at entry too large',
    limit: 'limits.incidence_entry_deg, in air',
    remedy: 'let the beam follow the entry normal, or lean it by lead or tilt towards it',
  },
  'incidence-joint': {
    severity: 'blocks',
    title: 'Incidence at the joint too large',
    limit: 'limits.incidence_joint_deg, in the layer',
    remedy: 'let the beam follow the joint normal, or lean it by lead or tilt towards it',
  },
  'beam-clipped': {
    severity: 'blocks',
    title: 'Beam clipped',
    limit: 'limits.clipped_pct of the power',
    remedy: 'move or bevel what stands in the way, or lean the beam away from it by tilt or lead',
  },
  capture: {
    severity: 'blocks',
    title: 'Spot off the joint face',
    limit: 'limits.capture_pct of the spot on the joint face',
    remedy: 'move the seam to the middle of the joint face by offset_mm',
  },
  'capture-lateral': {
    severity: 'warns',
    title: 'Spot off the joint face within the lateral tolerance',
    limit: 'limits.capture_pct of the spot on the joint face, seam moved by limits.lateral_mm',
    remedy: 'widen the joint face, take a smaller spot, or hold the part more closely',
  },
  'spot-overhang': {
    severity: 'notes',
    title: 'Spot wider than the joint face',
    limit: 'the nearer border of the joint face',
    remedy: 'take a smaller spot, or move the seam away from the border by offset_mm',
  },
  'ray-unknown': {
    severity: 'blocks',
    title: 'Value unknown',
    limit: 'every value known where the beam is on',
    remedy: 'look at the model there: open or doubled faces; import again with a finer tessellation',
  },
  'head-reversal': {
    severity: 'warns',
    title: 'Head runs backwards',
    limit: 'head and spot travelling the same way',
    remedy: 'shorten the standoff, or take a fixed beam axis or a tilt to the other side along this stretch',
  },
  'head-standstill': {
    severity: 'warns',
    title: 'Head stands still',
    limit: `${THRESHOLDS.standstill} of the spot's speed (assumed)`,
    remedy: 'change the standoff, or take a fixed beam axis along this stretch',
  },
  'out-of-reach': {
    severity: 'blocks',
    title: 'Arm does not reach',
    limit: 'a posture of the arm for every waypoint',
    remedy: 'stand the part nearer to the arm (placement), turn it, or take an arm of longer reach',
  },
  'joint-limit': {
    severity: 'blocks',
    title: 'Joint limit in the way',
    limit: "the axes' limits of the arm's record",
    remedy: 'stand or turn the part elsewhere (placement), let the turn be free, or start the seam elsewhere',
  },
  umbilical: {
    severity: 'blocks',
    title: 'Fibre and hoses wound too far',
    limit: "the umbilical limit of the head's record",
    remedy: 'turn the part (placement), start the seam elsewhere, or lead fibre and hoses with more play',
  },
  'posture-change': {
    severity: 'blocks',
    title: 'No way without changing the posture',
    limit: 'one posture that goes on along the whole seam',
    remedy: 'stand the part elsewhere (placement), let the turn be free, or split the seam there',
  },
  'joint-margin': {
    severity: 'warns',
    title: 'Close to a joint limit',
    limit: 'limits.joint_margin_deg, from the limits of axes and umbilical',
    remedy: 'stand or turn the part elsewhere (placement), or let the turn be free',
  },
  singularity: {
    severity: 'warns',
    title: 'Close to a singular posture',
    limit: 'limits.singularity',
    remedy: 'stand or turn the part elsewhere (placement), or let the turn be free',
  },
  'axis-winds': {
    severity: 'notes',
    title: 'Axis does not close',
    limit: 'the posture at the start of a closed seam',
    remedy: 'turn the axis back before the next part; a constant turn winds least',
  },
  'round-open': {
    severity: 'warns',
    title: 'Posture does not close',
    limit: 'the posture at the start of a closed seam',
    remedy: 'start the seam elsewhere, stand the part elsewhere, or keep the turn constant',
  },
  'arm-numeric': {
    severity: 'notes',
    title: 'Postures found numerically',
    limit: 'six axes with an ortho-parallel base and a spherical wrist',
    remedy: 'describe the arm as ortho-parallel where it is one',
  },
  'joint-stray': {
    severity: 'warns',
    title: 'Joint path strays between waypoints',
    limit: `${THRESHOLDS.stray} mm and ${THRESHOLDS.strayAngle} deg`,
    remedy: 'set the waypoints closer (spacing_mm), or keep away from singular postures',
  },
  'polarised-turn': {
    severity: 'warns',
    title: 'Polarised beam turned by the arm',
    limit: 'a turn that the job fixes',
    remedy: 'give the turn as a number (head.turn) to have the share computed for it',
  },
  'head-close': {
    severity: 'blocks',
    title: 'Head too close',
    limit: 'limits.clearance_mm, from parts, tooling and floor',
    remedy: 'lengthen the standoff, lean the head away by tilt or lead, turn it, or lower the clamp there',
  },
  'arm-close': {
    severity: 'blocks',
    title: 'Arm too close',
    limit: 'limits.clearance_mm, from parts, tooling and floor',
    remedy: 'stand the part elsewhere (placement), or change the turn',
  },
  'travel-blocked': {
    severity: 'blocks',
    title: 'Way to or from the seam blocked',
    limit: 'approach, retract and home within reach and limits',
    remedy: 'shorten travel.approach_mm, choose another home posture, or stand the part elsewhere',
  },
  'travel-close': {
    severity: 'blocks',
    title: 'Too close on the way to or from the seam',
    limit: 'limits.clearance_mm on approach, retract and the ways from and to home',
    remedy: 'choose another home posture (travel.home_deg), or lengthen travel.approach_mm',
  },
  payload: {
    severity: 'blocks',
    title: 'Head too heavy',
    limit: "the payload of the arm's record",
    remedy: 'take a lighter head or a stronger arm',
  },
  'axis-use': {
    severity: 'notes',
    title: 'Axis nearly used up',
    limit: `${THRESHOLDS.axisUse * 100} % of the speed or acceleration of an axis (assumed)`,
    remedy: 'stand the part elsewhere, or lower the process speed, where reserve is wanted',
  },
  'speed-dip': {
    severity: 'warns',
    title: 'Speed dips',
    limit: `process.speed_mm_s, ${THRESHOLDS.dip * 100} % below it counts`,
    remedy: 'lower the process speed for an even speed, or ease what holds it down',
  },
  'run-in-short': {
    severity: 'warns',
    title: 'Run-in too short',
    limit: 'process.speed_mm_s where the weld begins',
    remedy: 'lengthen run_in_mm',
  },
  'overlap-short': {
    severity: 'warns',
    title: 'Overlap too short',
    limit: 'two ramps and one spot diameter',
    remedy: 'lengthen overlap_mm, or shorten ramp_mm',
  },
  'overlap-long': {
    severity: 'warns',
    title: 'Overlap goes round again',
    limit: 'the length of the seam',
    remedy: 'shorten overlap_mm: beyond the length of the seam it is welded a third time',
  },
  'ramp-long': {
    severity: 'warns',
    title: 'Ramps meet',
    limit: 'full power somewhere between the ramps',
    remedy: 'shorten ramp_mm',
  },
  'waypoints-apart': {
    severity: 'warns',
    title: 'Waypoints far apart',
    limit: 'limits.lateral_mm between seam and straight line from waypoint to waypoint',
    remedy: 'lessen spacing_mm, or give chord_mm',
  },
  'power-at-bound': {
    severity: 'notes',
    title: 'Power at a bound of the source',
    limit: 'least and largest power of the source',
    remedy: 'choose a source with more room, or change the process speed',
  },
  'line-energy-off': {
    severity: 'warns',
    title: 'Line energy off',
    limit: `${THRESHOLDS.lineEnergy * 100} % from process.line_energy_J_mm outside ramps (assumed)`,
    remedy: 'raise the process speed or what holds it down, or take a source that goes lower',
  },
  'power-late': {
    severity: 'warns',
    title: 'Power late',
    limit: 'limits.line_energy_pct of what is asked for, outside ramps',
    remedy: 'let the speed change more slowly, or update the power more often',
  },
  'unequal-bend': {
    severity: 'notes',
    title: 'Unequal energy across a bend',
    limit: `${THRESHOLDS.unequalBend * 100} % more at the inner edge (assumed)`,
    remedy: 'widen the bend, or weld a narrower seam there',
  },
  'unequal-bend-strong': {
    severity: 'warns',
    title: 'Very unequal energy across a bend',
    limit: `${THRESHOLDS.unequalBendStrong * 100} % more at the inner edge (assumed)`,
    remedy: 'widen the bend, or weld a narrower seam there',
  },
  'fit-coarse': {
    severity: 'warns',
    title: "Curve far from the model's points",
    limit: `${THRESHOLDS.fit} mm (assumed)`,
    remedy: 'import with a finer tessellation; for a scan, check its noise',
  },
  'selection-changed': {
    severity: 'blocks',
    title: 'Selection finds another line',
    limit: `the line of the fingerprint, to ${THRESHOLDS.fingerprint} mm (assumed)`,
    remedy: 'look at the seam: the part has changed; select anew, or take the fingerprint of this plan',
  },
  'selection-found': {
    severity: 'notes',
    title: 'Selection found by its fingerprint',
    limit: 'a selection that finds the line of its fingerprint',
    remedy: 'write the selection anew, with the names and numbers of this file',
  },
  'corner-kept': {
    severity: 'warns',
    title: 'Corner not rounded',
    limit: 'corner_blend_mm',
    remedy: 'round the corner of the rib: here the joint face folds, or has no room',
  },
  'corner-rounded': {
    severity: 'notes',
    title: 'Corner rounded',
    limit: 'corner_blend_mm',
    remedy: 'lessen corner_blend_mm where the seam leaves the rib',
  },
  'face-uncertain': {
    severity: 'warns',
    title: 'Joint face guessed',
    limit: 'a face that is given, or that the transmissive body covers',
    remedy: 'say which face is the joint by face_near_mm',
  },
  'unit-doubtful': {
    severity: 'warns',
    title: 'Unit doubtful',
    limit: 'a part of plausible size',
    remedy: 'check the unit of the file; give "unit" for an STL file',
  },
  'triangle-cap': {
    severity: 'warns',
    title: 'Tessellation coarsened',
    limit: 'the largest number of triangles',
    remedy: 'import fewer bodies, or allow more triangles',
  },
  'open-edges': {
    severity: 'notes',
    title: 'Body not closed',
    limit: 'two triangles at every mesh edge',
    remedy: 'close the body in the CAD system where values along the seam are unknown',
  },
  'crowded-edges': {
    severity: 'notes',
    title: 'Edges shared by several walls',
    limit: 'two triangles at every mesh edge',
    remedy: 'mend the body in the CAD system where values along the seam are unknown',
  },
  'import-note': {
    severity: 'notes',
    title: 'Import',
    limit: '',
    remedy: '',
  },
  'extinction-scattering': {
    severity: 'notes',
    title: 'Extinction of a scattering layer from one thickness',
    limit: 'two thicknesses, or a layer that does not scatter',
    remedy: 'measure the transmittance at the thickness over the seam, or at two',
  },
  'heat-unknown': {
    severity: 'warns',
    title: 'Heat not computed',
    limit: 'absorption and thermal data of the absorbing material',
    remedy: 'name its polymer and its carbon black, or give absorption_1_mm and the thermal values under "materials"',
  },
  'absorber-transmits': {
    severity: 'blocks',
    title: 'Absorbing part lets the light through',
    limit: `${THRESHOLDS.absorption} per mm (assumed)`,
    remedy: 'take an absorbing grade, with carbon black or another absorber for this wavelength',
  },
  'layer-starves': {
    severity: 'warns',
    title: 'Layer takes too much light',
    limit: 'the stated layer, or limits.layer_mm',
    remedy: 'thin the layer, take a clearer grade or a stronger source, or lower the process speed',
  },
  'wavelength-other': {
    severity: 'notes',
    title: 'Optical values of another wavelength',
    limit: 'wavelengths_nm of the material',
    remedy: 'measure index, transmittance or absorption at the laser wavelength, and give them under "materials"',
  },
  'scattering-unknown': {
    severity: 'notes',
    title: 'Widening of the spot unknown',
    limit: 'widening_mm_mm of a scattering layer',
    remedy:
      "measure the beam's radius behind a plate of the layer and without it, and give widening_mm_mm; or weld a trial and calibrate",
  },
  'colour-caution': {
    severity: 'notes',
    title: 'Colour and wavelength',
    limit: 'a layer without a wanted colour',
    remedy: 'measure the transmittance of the coloured grade at the laser wavelength',
  },
  'melting-apart': {
    severity: 'blocks',
    title: 'Melting ranges apart',
    limit: 'a temperature at which both are molten and neither decomposes',
    remedy: 'choose plastics that melt at like temperatures',
  },
  'melting-narrow': {
    severity: 'warns',
    title: 'Melting ranges hardly overlap',
    limit: `${THRESHOLDS.meltingOverlap} K between weld onset and decomposition (assumed)`,
    remedy: 'choose plastics that melt at like temperatures, or hold the peak temperature',
  },
  'pair-not-known': {
    severity: 'warns',
    title: 'Pair not known',
    limit: 'an entry in the table of pairs',
    remedy: 'weld a trial before tooling is ordered',
  },
  'pair-some-grades': {
    severity: 'notes',
    title: 'Pair bonds in some grades',
    limit: 'an entry in the table of pairs',
    remedy: 'ask both suppliers for grades that bond, and weld a trial',
  },
  'pair-hard-soft': {
    severity: 'notes',
    title: 'Hard on soft',
    limit: 'common practice, no source',
    remedy: 'support the soft part under the seam, and check the gap with a trial',
  },
  'pair-soft-soft': {
    severity: 'warns',
    title: 'Soft on soft',
    limit: 'common practice, no source',
    remedy: 'clamp over the whole seam with a clear clamp, and weld a trial',
  },
  'heat-row-unknown': {
    severity: 'blocks',
    title: 'Heat unknown along the seam',
    limit: 'power and delivered share known where the beam is on',
    remedy: 'look at the values that are unknown there',
  },
  'joint-cold': {
    severity: 'blocks',
    title: 'Joint stays cold',
    limit: 'weld onset of the materials, on the bond plane',
    remedy: 'raise line_energy_J_mm, or hold the peak temperature where the speed dips',
  },
  'joint-spoilt': {
    severity: 'blocks',
    title: 'Plastic decomposes',
    limit: 'decomposition limit of the materials, at the hottest point below the joint',
    remedy: 'lower line_energy_J_mm, take a larger spot, or less carbon black',
  },
  'seam-narrow': {
    severity: 'warns',
    title: 'Seam too narrow',
    limit: 'width_mm above the weld onset',
    remedy: 'raise line_energy_J_mm, set process.aim to the wanted width, or take a larger spot',
  },
  'closing-cold': {
    severity: 'warns',
    title: 'Closing weld stays cold',
    limit: 'weld onset of the materials, on the second pass over the overlap at full power',
    remedy: 'lengthen overlap_mm, or shorten ramp_mm',
  },
  'passes-close': {
    severity: 'warns',
    title: 'Another pass softens the seam',
    limit: 'melting of the absorbing material, brought by a pass beside the seam',
    remedy: 'move the passes apart, or let the seam cool between them',
  },
  'no-layer': {
    severity: 'warns',
    title: 'No transmissive layer',
    limit: 'a transmissive body, or a stated layer',
    remedy: 'give the transmissive body its role, or state a layer',
  },
} as const satisfies Record<string, Rule>;

export type Code = keyof typeof RULES;
