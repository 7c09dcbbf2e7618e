// What a plan comes to in a few figures, as a record and as the lines that the command line prints.
import { HELD_BY } from '../checks/check-motion.ts';
import { THRESHOLDS } from '../checks/severity.ts';
import type { Finding, Severity } from '../model/finding.ts';
import type { Carrier } from '../model/job.ts';
import type { HeadEffort, Relaxation } from '../model/relaxation.ts';
import type { Seam } from '../model/seam.ts';
import { type Bound, BOUNDS, type Timing } from '../model/timing.ts';
import { DEG_PER_RAD, S_PER_MS } from '../model/units.ts';
import type { Plan, SeamPlan } from '../planner/plan.ts';
import { type ArmSummary, armLines, summariseArm } from './arm-summary.ts';
import { type HeatSummary, heatLines, summariseHeat } from './heat-summary.ts';
import { range, type Span, scaled, spanOf } from './span.ts';

/** What the head has to do, before and after its axis was smoothed. */
export interface EffortSummary {
  /** Largest speed of the head point over that of the spot. */
  readonly head_factor: number;
  readonly turn_deg_mm: number;
  /** Length of the weld at the full process speed. */
  readonly full_speed_mm: number;
  readonly cycle_s: number;
}

export interface SeamSummary {
  readonly name: string;
  readonly closed: boolean;
  readonly length_mm: number;
  readonly waypoints: number;
  readonly face_choice: Seam['faceChoice'];
  readonly layer_mm: Span;
  readonly gap_mm: Span;
  readonly incidence_entry_deg: Span;
  readonly incidence_joint_deg: Span;
  readonly transmitted: Span;
  readonly capture: Span;
  readonly clipped: Span;
  readonly head_factor: Span;
  readonly speed_mm_s: Span;
  readonly power_W: Span;
  /** Line energy at the joint, and leaving the head, at full power. */
  readonly line_energy_J_mm: Span;
  readonly incident_J_mm: Span;
  /** Line energy that arrives late, wherever it is judged (outside ramps); null where none is, then its worst deviation. */
  readonly arriving_J_mm: Span;
  readonly arriving_worst_pct: number;
  /** Length outside the band, with the lead of the optics and with the best one. */
  readonly outside_band_mm: number;
  readonly outside_band_at_best_lead_mm: number;
  readonly best_lead_ms: number;
  /** Share of the weld's length that is driven at the full process speed. */
  readonly full_speed_share: number;
  /** What holds the speed where it is lowest; empty where the process speed is held throughout. */
  readonly slowest_bound: Bound | '';
  readonly cycle_s: {
    readonly run_in: number;
    readonly weld: number;
    readonly overlap: number;
    readonly run_out: number;
    readonly total: number;
  };
  /** Inner edge over outer edge of the seam, the highest along it; null where nothing is known. */
  readonly edge_ratio: number | null;
  /** Null where the materials are not known well enough. */
  readonly heat: HeatSummary | null;
  /** Null where the job does not ask for it. */
  readonly relaxation: {
    readonly lean_deg: number;
    readonly before: EffortSummary;
    readonly after: EffortSummary;
  } | null;
  /** Only with an arm. */
  readonly arm?: ArmSummary;
}

export interface Summary {
  readonly title: string;
  readonly seams: readonly SeamSummary[];
  readonly findings: readonly Finding[];
  readonly blocked: boolean;
}

/** Figures of a plan; spans run over the stations on the seam, those of speed and power over the rows with the beam on. */
export function summarise(plan: Plan): Summary {
  return {
    title: plan.job.title,
    seams: plan.seams.map((seam) => summariseSeam(seam, plan.job.carrier)),
    findings: plan.findings,
    blocked: isBlocked(plan),
  };
}

/** Whether at least one finding blocks. */
export function isBlocked(plan: Plan): boolean {
  return plan.findings.some((finding) => finding.severity === 'blocks');
}

function summariseSeam(plan: SeamPlan, carrier: Carrier | null): SeamSummary {
  const { seam, path, aim, timing, relaxation, job, edgeRatio } = plan;
  const arm = summariseArm(plan, carrier);
  const seamStation = (index: number) => path.onSeam[index] === 1;
  const beamRow = (index: number) => timing.beam[index] === 1;
  const fullRow = (index: number) => timing.beam[index] === 1 && timing.ramp[index] === 1;
  const overSeam = (values: ArrayLike<number>, scale = 1) => spanOf(values, seamStation, scale);
  const { cycle } = timing;
  const { share, slowest } = speedHeld(path.rows.s, timing, job.process.speed);
  return {
    name: seam.name,
    closed: seam.curve.closed,
    length_mm: seam.curve.length,
    waypoints: path.rows.count,
    face_choice: seam.faceChoice,
    layer_mm: overSeam(aim.layer),
    gap_mm: overSeam(aim.gap),
    incidence_entry_deg: overSeam(aim.incidenceEntry, DEG_PER_RAD),
    incidence_joint_deg: overSeam(aim.incidenceJoint, DEG_PER_RAD),
    transmitted: overSeam(aim.transmitted),
    capture: overSeam(aim.capture),
    clipped: overSeam(aim.clipped),
    head_factor: overSeam(aim.headFactor),
    speed_mm_s: spanOf(timing.speed, beamRow, 1),
    power_W: spanOf(timing.power, fullRow, 1),
    line_energy_J_mm: spanOf(timing.lineEnergy, fullRow, 1),
    incident_J_mm: spanOf(timing.incidentEnergy, fullRow, 1),
    arriving_J_mm: spanOf(timing.arrivingEnergy, (index) => !Number.isNaN(timing.arrivingDeviation[index]), 1),
    arriving_worst_pct: timing.arrival.worst * 100,
    outside_band_mm: timing.arrival.outside,
    outside_band_at_best_lead_mm: timing.arrival.outsideAtLead,
    best_lead_ms: timing.arrival.lead / S_PER_MS,
    full_speed_share: share,
    slowest_bound: slowest,
    cycle_s: {
      run_in: cycle.runIn,
      weld: cycle.weld,
      overlap: cycle.overlap,
      run_out: cycle.runOut,
      total: cycle.total,
    },
    edge_ratio: mostUnequal(edgeRatio),
    heat: summariseHeat(plan),
    relaxation: relaxation && summariseRelaxation(relaxation),
    ...(arm === null ? {} : { arm }),
  };
}

/** Inner over outer edge where they are most unequal; null where that has no bound, or is not known. */
function mostUnequal(edgeRatio: Float64Array): number | null {
  const span = spanOf(
    edgeRatio.map((ratio) => Math.max(ratio, 1 / ratio)),
    () => true,
    1,
  );
  return span === null || !Number.isFinite(span[1]) ? null : span[1];
}

function summariseRelaxation({ lean, before, after }: Relaxation): SeamSummary['relaxation'] {
  const most = lean.reduce((larger, angle) => Math.max(larger, angle), 0);
  return { lean_deg: most * DEG_PER_RAD, before: summariseEffort(before), after: summariseEffort(after) };
}

function summariseEffort({ headFactor, turn, fullSpeed, cycle }: HeadEffort): EffortSummary {
  return { head_factor: headFactor, turn_deg_mm: turn * DEG_PER_RAD, full_speed_mm: fullSpeed, cycle_s: cycle };
}

/** Share of the way with the beam on that is driven at the process speed, and what holds the speed where it is lowest. */
function speedHeld(s: Float64Array, timing: Timing, processSpeed: number): { share: number; slowest: Bound | '' } {
  const { speed, beam, bound } = timing;
  const isFull = (i: number) => (speed[i] as number) >= processSpeed * (1 - THRESHOLDS.dip);
  const accelerates = (i: number) => BOUNDS[bound[i] as number] === 'spot-acceleration';
  // Speeding up and slowing down is mostly the way to or from what really holds the speed.
  const isSlower = (a: number, b: number) =>
    accelerates(a) === accelerates(b) ? (speed[a] as number) < (speed[b] as number) : accelerates(b);
  let way = 0;
  let full = 0;
  let slowest = -1;
  for (let i = 0; i < s.length; i++) {
    if (beam[i] !== 1) continue;
    if (i > 0 && beam[i - 1] === 1) {
      const step = (s[i] as number) - (s[i - 1] as number);
      way += step;
      if (isFull(i) && isFull(i - 1)) full += step;
    }
    if (!isFull(i) && (slowest < 0 || isSlower(i, slowest))) slowest = i;
  }
  return {
    share: way > 0 ? full / way : 0,
    slowest: slowest < 0 ? '' : (BOUNDS[bound[slowest] as number] as Bound),
  };
}

/** Which face was taken for the joint, and why. */
const FACE_WORDS: Record<Seam['faceChoice'], string> = {
  band: 'the band itself',
  contact: 'the absorbing face in contact',
  points: 'the one that most points lie on',
  given: 'the one near face_near_mm',
  covered: 'the one that the transmissive body covers',
  'towards-beam': 'guessed: the one that looks towards the beam',
};

const ORDER: readonly Severity[] = ['blocks', 'warns', 'notes'];

/** The summary as lines of text, without a line end after the last. */
export function summaryText(plan: Plan): string {
  const summary = summarise(plan);
  const lines = [summary.title === '' ? 'Plan' : summary.title, ''];
  for (const part of plan.job.parts) {
    const name = [part.file, part.body].filter((word) => word !== '').join(' ');
    lines.push(row('part', [name, part.role, part.material].filter((word) => word !== '').join(', ')));
  }
  for (const seam of summary.seams) lines.push('', ...seamLines(seam));
  lines.push('', ...findingLines(summary.findings));
  return lines.join('\n');
}

function row(label: string, text: string): string {
  return `  ${`${label} `.padEnd(12)}${text}`;
}

function seamLines(seam: SeamSummary): string[] {
  const { cycle_s: cycle } = seam;
  const shape = seam.closed ? 'closed' : 'open';
  const held = `${(seam.full_speed_share * 100).toFixed(1)} % of the weld at process speed`;
  const slow =
    seam.full_speed_share < 1 && seam.slowest_bound !== ''
      ? `, slowest where ${HELD_BY[seam.slowest_bound].words} holds it`
      : '';
  return [
    row(`seam ${seam.name}`, `${shape}, ${seam.length_mm.toFixed(3)} mm, ${seam.waypoints} waypoints`),
    row('joint face', FACE_WORDS[seam.face_choice]),
    row('layer', range(seam.layer_mm, 3, 'mm')),
    row('gap', range(seam.gap_mm, 3, 'mm')),
    row(
      'incidence',
      `entry ${range(seam.incidence_entry_deg, 2, 'deg')}, joint ${range(seam.incidence_joint_deg, 2, 'deg')}`,
    ),
    row('transmitted', range(scaled(seam.transmitted, 100), 2, '%')),
    row('capture', range(scaled(seam.capture, 100), 2, '%')),
    row('clipped', range(scaled(seam.clipped, 100), 2, '%')),
    row('head', `travels ${range(seam.head_factor, 2, 'times as far as the spot')}`),
    row('speed', `${range(seam.speed_mm_s, 2, 'mm/s')}; ${held}${slow}`),
    row('power', range(seam.power_W, 2, 'W')),
    row(
      'energy',
      `${range(seam.line_energy_J_mm, 3, 'J/mm')} at the joint, ${range(seam.incident_J_mm, 3, 'J/mm')} incident`,
    ),
    row('arrives', arrivalText(seam)),
    ...heatLines(seam.heat).map(([label, text]) => row(label, text)),
    ...(seam.edge_ratio === null
      ? []
      : [
          row(
            'bends',
            `inner edge at most ${(100 * (seam.edge_ratio - 1)).toFixed(1)} % more energy than the outer one`,
          ),
        ]),
    row(
      'cycle',
      `${cycle.total.toFixed(2)} s (run-in ${cycle.run_in.toFixed(2)}, weld ${cycle.weld.toFixed(2)}, ` +
        `overlap ${cycle.overlap.toFixed(2)}, run-out ${cycle.run_out.toFixed(2)})`,
    ),
    ...relaxationLines(seam.relaxation),
    ...(seam.arm === undefined ? [] : armLines(seam.arm).map(([label, text]) => row(label, text))),
  ];
}

function relaxationLines(relaxation: SeamSummary['relaxation']): string[] {
  if (relaxation === null) return [];
  const { lean_deg, before, after } = relaxation;
  const change = (key: keyof EffortSummary, digits: number, unit: string): string =>
    `${after[key].toFixed(digits)} ${unit} (before ${before[key].toFixed(digits)})`;
  return [
    row('relaxed', `axis leans up to ${lean_deg.toFixed(2)} deg`),
    row('', `head at most ${change('head_factor', 2, 'times the spot')}, ${change('turn_deg_mm', 3, 'deg/mm')}`),
    row('', `at process speed ${change('full_speed_mm', 1, 'mm')}, cycle ${change('cycle_s', 2, 's')}`),
  ];
}

/** What the late power does to the line energy, and the best lead where the cell is late at all. */
function arrivalText(seam: SeamSummary): string {
  const energy = `${range(seam.arriving_J_mm, 3, 'J/mm')}, ${seam.outside_band_mm.toFixed(1)} mm outside the band`;
  if (seam.best_lead_ms === 0) return energy;
  return `${energy}; ${seam.outside_band_at_best_lead_mm.toFixed(1)} mm with the best lead, ${seam.best_lead_ms.toFixed(1)} ms`;
}

function findingLines(findings: readonly Finding[]): string[] {
  if (findings.length === 0) return ['No findings.'];
  const lines = [countLine(findings)];
  for (const severity of ORDER) {
    for (const finding of findings) {
      if (finding.severity !== severity) continue;
      const seam = finding.seam === '' ? '' : ` [${finding.seam}]`;
      lines.push(`  ${severity.padEnd(7)} ${finding.code}${seam}: ${finding.sentence}`);
      if (finding.remedy !== '') lines.push(`          try: ${finding.remedy}`);
    }
  }
  return lines;
}

function countLine(findings: readonly Finding[]): string {
  const count = (severity: Severity) => findings.filter((finding) => finding.severity === severity).length;
  return `Findings: ${ORDER.map((severity) => `${count(severity)} ${severity}`).join(', ')}`;
}
