// plan.json: the whole plan for other programs, in the units of files, with what went in and everything it found.
import type { CurvePiece } from '../model/curve.ts';
import type { Finding } from '../model/finding.ts';
import type { Carrier } from '../model/job.ts';
import type { Material } from '../model/material.ts';
import type { Optics } from '../model/optics.ts';
import type { Part } from '../model/part.ts';
import { PHASES } from '../model/path.ts';
import type { HeadEffort } from '../model/relaxation.ts';
import { BOUNDS, type PowerArrival } from '../model/timing.ts';
import { DEG_PER_RAD, S_PER_MS } from '../model/units.ts';
import type { Plan, SeamPlan } from '../planner/plan.ts';
import { CAUTION } from './caution.ts';
import { roundedNumber, significantNumber } from './decimal-text.ts';
import { describeCarried, describeCarrier } from './describe-arm.ts';
import { describeHeat, describePreheat, describeWindow } from './describe-heat.ts';
import { describeMaterial } from './describe-material.ts';
import { jsonText } from './json-text.ts';
import { HEAT_ROW_FIELDS, plainArrays, RELAXATION_FIELDS, ROW_FIELDS, STATION_FIELDS } from './plan-fields.ts';
import { QUANTITY, type Quantity } from './quantity.ts';
import { isBlocked } from './summary.ts';

export const PLAN_FILE = 'plan.json';

const NM_PER_MM = 1e6;

/** The file as text: keys in a fixed order, numbers rounded, null where a value could not be computed. */
export function planJson(plan: Plan): string {
  return jsonText({
    format: 'raythread-plan/1',
    program: { name: 'raythread', version: plan.version },
    caution: CAUTION,
    title: plan.job.title,
    blocked: isBlocked(plan),
    inputs: plan.inputs.map(({ file, sha256, bytes }) => ({ file, sha256, bytes })),
    job: plan.jobFile,
    optics: describeOptics(plan.job.optics),
    arm: plan.job.carrier === null ? undefined : describeCarrier(plan.job.carrier),
    materials: usedMaterials(plan).map(describeMaterial),
    parts: plan.parts.map(describePart),
    bodies: plan.bodies.map(({ part, body }) => ({ part, body })),
    findings: plan.findings.map(describeFinding),
    seams: plan.seams.map((seam) => describeSeam(seam, plan.job.carrier)),
  });
}

const written = (value: number, { decimals, scale }: Quantity): number | null => roundedNumber(value * scale, decimals);
const mm = (value: number): number | null => written(value, QUANTITY.length);
const deg = (value: number): number | null => written(value, QUANTITY.angle);
const ms = (value: number): number | null => roundedNumber(value / S_PER_MS, 3);

function describeOptics(optics: Optics): object {
  const { polarisation } = optics;
  return {
    id: optics.id,
    title: optics.title,
    wavelength_nm: roundedNumber(optics.wavelength * NM_PER_MM, 3),
    beam_quality_m2: significantNumber(optics.beamQuality),
    waist_mm: mm(optics.waist),
    profile: optics.profile,
    exit_radius_mm: mm(optics.exitRadius),
    polarisation: polarisation === 'none' ? 'none' : { angle_deg: roundedNumber(polarisation.angle * DEG_PER_RAD, 5) },
    power_min_W: written(optics.powerMin, QUANTITY.power),
    power_max_W: written(optics.powerMax, QUANTITY.power),
    power_offset_W: written(optics.powerOffset, QUANTITY.signedPower),
    power_slope: significantNumber(optics.powerSlope),
    power_threshold_W: written(optics.powerThreshold, QUANTITY.power),
    power_lag_ms: ms(optics.powerLag),
    power_lead_ms: ms(optics.powerLead),
    power_update_ms: ms(optics.powerUpdate),
  };
}

/** Materials that a part or the stated layer names, in the order of their ids. */
function usedMaterials({ job }: Plan): Material[] {
  const ids = new Set([...job.parts.map((part) => part.material), job.layer?.material ?? '']);
  return [...ids].sort().flatMap((id) => job.materials.get(id) ?? []);
}

function describePart(part: Part): object {
  return {
    file: part.file,
    format: part.format,
    sha256: part.sha256,
    linear_deflection_mm: significantNumber(part.linearDeflection),
    angular_deflection_deg: significantNumber(part.angularDeflection * DEG_PER_RAD),
    bodies: part.bodies.map((body) => ({
      name: body.name,
      faces: body.faces.length,
      edges: body.edges.length,
      triangles: body.triangle.length / 3,
      open_edges: body.openEdges,
    })),
    notes: part.notes.map(({ code, sentence }) => ({ code, sentence })),
  };
}

function describeFinding(finding: Finding): object {
  return {
    code: finding.code,
    severity: finding.severity,
    seam: finding.seam,
    from_mm: mm(finding.from),
    to_mm: mm(finding.to),
    at_mm: mm(finding.at),
    value: significantNumber(finding.value),
    limit: significantNumber(finding.limit),
    unit: finding.unit,
    sentence: finding.sentence,
    remedy: finding.remedy,
  };
}

function describeSeam(plan: SeamPlan, carrier: Carrier | null): object {
  const { seam, path, timing, relaxation } = plan;
  // Without an arm no axis can hold the speed.
  const bounds = BOUNDS.filter((bound) => carrier !== null || !bound.startsWith('axis-'));
  const rowFields = plan.heat === null ? ROW_FIELDS : [...ROW_FIELDS, ...HEAT_ROW_FIELDS];
  const seconds = (value: number): number | null => written(value, QUANTITY.time);
  return {
    name: seam.name,
    closed: seam.curve.closed,
    length_mm: mm(seam.curve.length),
    face_choice: seam.faceChoice,
    faces: seam.faces.map(({ from, ref }) => ({ from_mm: mm(from), part: ref.part, face: ref.face })),
    edges: seam.edgeIds,
    corners: seam.corners.map(({ s, angle }) => ({ s_mm: mm(s), angle_deg: deg(angle) })),
    kinks: seam.kinks.map(({ s, angle }) => ({ s_mm: mm(s), angle_deg: deg(angle) })),
    blends: seam.blends.map((blend) => ({
      from_mm: mm(blend.from),
      to_mm: mm(blend.to),
      angle_deg: deg(blend.angle),
      deviation_mm: significantNumber(blend.deviation),
    })),
    fingerprint: {
      length_mm: seam.fingerprint.length,
      closed: seam.fingerprint.closed,
      points_mm: seam.fingerprint.points,
    },
    selection: seam.match.kind,
    fit: {
      points: seam.fit.points,
      largest_mm: significantNumber(seam.fit.largest),
      rms_mm: significantNumber(seam.fit.rms),
      at_mm: mm(seam.fit.at),
    },
    cycle_s: {
      run_in: seconds(timing.cycle.runIn),
      weld: seconds(timing.cycle.weld),
      overlap: seconds(timing.cycle.overlap),
      run_out: seconds(timing.cycle.runOut),
      total: seconds(timing.cycle.total),
    },
    relaxation: relaxation && {
      before: describeEffort(relaxation.before),
      after: describeEffort(relaxation.after),
      stations: plainArrays(RELAXATION_FIELDS, plan),
    },
    arrival: describeArrival(timing.arrival),
    heat: describeHeat(plan.heat),
    process_window: describeWindow(plan.window),
    preheat: describePreheat(plan.preheat),
    curve: seam.curve.pieces.map(describePiece),
    stations: { count: path.count, ...plainArrays(STATION_FIELDS, plan) },
    rows: { count: path.rows.count, phases: PHASES, bounds, ...plainArrays(rowFields, plan) },
    posture: describeCarried(plan, carrier),
  };
}

function describeEffort({ headFactor, turn, fullSpeed, cycle }: HeadEffort): object {
  return {
    head_factor: written(headFactor, QUANTITY.ratio),
    turn_deg_mm: written(turn, QUANTITY.turnRate),
    full_speed_mm: mm(fullSpeed),
    cycle_s: written(cycle, QUANTITY.time),
  };
}

/** What arrives late with the lead that the optics state, and with the best constant one. */
function describeArrival(arrival: PowerArrival): object {
  return {
    outside_band_mm: mm(arrival.outside),
    worst_pct: significantNumber(arrival.worst * 100),
    best_lead_ms: ms(arrival.lead),
    outside_band_at_best_lead_mm: mm(arrival.outsideAtLead),
    worst_at_best_lead_pct: significantNumber(arrival.worstAtLead * 100),
  };
}

/** Span j of a piece is ((c3 u + c2) u + c1) u + c0, u = parameter - knot[j]; twelve coefficients a span, c0 first. */
function describePiece(piece: CurvePiece): object {
  return {
    knot: Array.from(piece.knot, significantNumber),
    arc_mm: Array.from(piece.arc, significantNumber),
    coefficient: Array.from(piece.coefficient, significantNumber),
  };
}
