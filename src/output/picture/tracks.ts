// What the strip shows, track by track, over arc length.
import type { Job } from '../../model/job.ts';
import { DEG_PER_RAD, FRACTION_PER_PERCENT } from '../../model/units.ts';
import { leastMargin } from '../../checks/check-arm.ts';
import { THRESHOLDS } from '../../checks/severity.ts';
import type { SeamPlan } from '../../planner/plan.ts';

const PERCENT = 1 / FRACTION_PER_PERCENT;

export interface Series {
  readonly name: string;
  /** Values row by row in the unit shown; NaN where unknown. */
  readonly values: Float64Array;
  readonly dashed: boolean;
}

export interface TrackLimit {
  readonly name: string;
  readonly value: number;
}

export interface Track {
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  readonly series: readonly Series[];
  readonly limits: readonly TrackLimit[];
  /** Limits that lie far off the values are drawn too, to show how far. */
  readonly allLimits?: boolean;
  /** Codes of findings whose stretch is hatched here. */
  readonly codes: readonly string[];
  /** A value that the axis always shows. */
  readonly anchor?: number;
}

/** The tracks of one seam. */
export function seamTracks(plan: SeamPlan, job: Job): Track[] {
  const { path, aim, carried, timing, job: seam } = plan;
  const { limits, optics } = job;
  const atRows = (values: ArrayLike<number>, scale = 1): Float64Array =>
    Float64Array.from(path.rows.station, (station) => values[station] * scale);
  const beamOn = (values: Float64Array): Float64Array =>
    values.map((value, row) => (timing.beam[row] === 1 ? value : Number.NaN));
  // Power asked for earlier may still arrive with the beam off.
  const litRows = (values: Float64Array): Float64Array =>
    values.map((value, row) => (timing.beam[row] === 1 || value > 0 ? value : Number.NaN));
  const one = (name: string, values: Float64Array): Series => ({ name, values, dashed: false });
  return [
    {
      title: 'Layer',
      unit: 'mm along the beam',
      decimals: 2,
      series: [one('layer', atRows(aim.layer))],
      limits: [{ name: 'limit', value: limits.layer }],
      allLimits: true,
      codes: ['layer-thick', 'layer-missing', 'several-walls', 'gap-wide', 'bodies-overlap'],
    },
    {
      title: 'Incidence',
      unit: 'deg',
      decimals: 1,
      series: [
        one('entry', atRows(aim.incidenceEntry, DEG_PER_RAD)),
        { name: 'joint', values: atRows(aim.incidenceJoint, DEG_PER_RAD), dashed: true },
      ],
      limits: [
        { name: 'limit entry', value: limits.incidenceEntry * DEG_PER_RAD },
        { name: 'limit joint', value: limits.incidenceJoint * DEG_PER_RAD },
      ],
      allLimits: true,
      codes: ['incidence-entry', 'incidence-joint'],
      anchor: 0,
    },
    {
      title: 'Light',
      unit: '% of the beam',
      decimals: 1,
      series: [
        one('delivered', atRows(aim.delivered, PERCENT)),
        { name: 'captured', values: atRows(aim.capture, PERCENT), dashed: true },
      ],
      limits: [{ name: 'limit captured', value: limits.capture * PERCENT }],
      codes: ['beam-clipped', 'capture', 'capture-lateral', 'spot-overhang'],
    },
    {
      title: 'Head travel',
      unit: 'times the spot',
      decimals: 2,
      series: [one('head', atRows(aim.headFactor))],
      limits: [],
      codes: ['head-reversal', 'head-standstill'],
      anchor: 0,
    },
    {
      title: 'Speed',
      unit: 'mm/s',
      decimals: 1,
      series: [one('speed', timing.speed)],
      limits: [{ name: 'process', value: seam.process.speed }],
      codes: ['speed-dip', 'run-in-short'],
      anchor: 0,
    },
    {
      title: 'Power',
      unit: 'W',
      decimals: 1,
      series: [one('power', timing.power)],
      limits: [
        { name: 'source, least', value: optics.powerMin },
        { name: 'source, most', value: optics.powerMax },
      ],
      codes: ['power-at-bound'],
      anchor: 0,
    },
    {
      title: 'Line energy',
      unit: 'J/mm at the joint',
      decimals: 3,
      series: [
        one('asked for', beamOn(timing.lineEnergy)),
        { name: 'arrives', values: litRows(timing.arrivingEnergy), dashed: true },
      ],
      limits: [{ name: 'wanted', value: seam.process.lineEnergy }],
      codes: ['line-energy-off', 'power-late'],
      anchor: 0,
    },
    ...heatTracks(plan),
    {
      title: 'Across bends',
      unit: 'inner over outer edge',
      decimals: 3,
      series: [one('energy', atRows(plan.edgeRatio.map((ratio) => Math.max(ratio, 1 / ratio))))],
      limits: [
        { name: 'noted', value: 1 + THRESHOLDS.unequalBend },
        { name: 'warned of', value: 1 + THRESHOLDS.unequalBendStrong },
      ],
      codes: ['unequal-bend', 'unequal-bend-strong'],
      anchor: 1,
    },
    ...marginTrack(carried, job),
  ];
}

/** What each pass does to the joint; nothing where that is not known. */
function heatTracks({ heat, job: seam }: SeamPlan): Track[] {
  if (heat === null) return [];
  const { rows, limits } = heat;
  const one = (name: string, values: Float64Array, dashed = false): Series => ({ name, values, dashed });
  return [
    {
      title: 'Fluence',
      unit: 'J/mm2, all passes',
      decimals: 3,
      series: [one('most across', rows.fluence)],
      limits: [],
      codes: [],
      anchor: 0,
    },
    {
      title: 'Temperature',
      unit: 'degC, highest across',
      decimals: 0,
      series: [one('bond plane', rows.peak), one('hottest below', rows.hottest, true)],
      limits: [
        { name: 'decomposes from', value: limits.decomposition },
        { name: 'bonds from', value: limits.onset },
      ],
      allLimits: true,
      codes: ['joint-cold', 'joint-spoilt', 'closing-cold', 'passes-close', 'heat-row-unknown'],
      anchor: 0,
    },
    {
      title: 'Weld width',
      unit: 'mm above the weld onset',
      decimals: 2,
      series: [one('width', rows.width)],
      limits: [{ name: 'wanted', value: seam.width }],
      codes: ['seam-narrow'],
      anchor: 0,
    },
  ];
}

/** How far the axes stand from their limits; nothing without an arm. */
function marginTrack(carried: SeamPlan['carried'], { carrier }: Job): Track[] {
  if (carried === null || carrier === null) return [];
  const { stand } = carried;
  const least = stand.turn.map((_, row) => leastMargin(stand, row).margin * DEG_PER_RAD);
  return [
    {
      title: 'Joint margin',
      unit: 'deg to the next limit',
      decimals: 1,
      series: [{ name: 'least', values: least, dashed: false }],
      limits: [{ name: 'keeps', value: carrier.jointMargin * DEG_PER_RAD }],
      codes: ['joint-margin', 'joint-limit', 'umbilical', 'out-of-reach', 'posture-change', 'singularity'],
      anchor: 0,
    },
  ];
}
