// What the beam meets along the seam: layer, walls, gap, incidence, shadows, the joint face's borders, and what is unknown.
import type { Aim } from '../model/aim.ts';
import type { Finding } from '../model/finding.ts';
import type { Job, JobSeam } from '../model/job.ts';
import { partText } from '../model/part-text.ts';
import type { Path } from '../model/path.ts';
import { DEG_PER_RAD } from '../model/units.ts';
import type { Along } from './ask.ts';
import { ask } from './ask.ts';
import { checkCapture } from './check-capture.ts';
import { THRESHOLDS } from './severity.ts';
import { ACCURACY, isOver } from './tolerance.ts';

/** Findings about the beam at the stations on the seam. */
export function checkBeam(path: Path, aim: Aim, jobSeam: JobSeam, job: Job): Finding[] {
  const along: Along = { seam: jobSeam.name, s: path.s, period: path.closed ? path.length : 0 };
  const on = (i: number) => path.onSeam[i] === 1;
  return [
    ...checkLayer(along, on, aim, job),
    ...checkAngles(along, on, aim, job),
    ...checkShadows(along, on, aim, job),
    ...checkCapture(along, on, aim, jobSeam, job),
    ...checkHead(along, on, aim),
    ...checkUnknown(along, on, aim, job),
  ];
}

type Mask = (i: number) => boolean;

function checkLayer(along: Along, on: Mask, aim: Aim, job: Job): Finding[] {
  const { limits } = job;
  return [
    ...ask(along, {
      code: 'layer-thick',
      out: (i) => on(i) && isOver(aim.layer[i], limits.layer, ACCURACY.length),
      value: (i) => aim.layer[i],
      limit: limits.layer,
      unit: 'mm',
      sentence: (mm, place) =>
        `Layer ${mm.toFixed(2)} mm along the beam ${place} (limit ${limits.layer.toFixed(2)} mm)`,
    }),
    ...ask(along, {
      code: 'layer-missing',
      out: (i) => on(i) && isUncovered(aim, job, i),
      value: () => 0,
      limit: 1,
      unit: '',
      sentence: (_, place) => `The beam meets no transmissive body ${place}`,
    }),
    ...ask(along, {
      code: 'several-walls',
      out: (i) => on(i) && aim.walls[i] > 1,
      value: (i) => aim.walls[i],
      limit: 1,
      unit: '',
      sentence: (walls, place) => `The beam passes ${walls} walls ${place}, one is allowed`,
    }),
    ...ask(along, {
      code: 'gap-wide',
      out: (i) => on(i) && isOver(aim.gap[i], limits.gap, ACCURACY.length),
      value: (i) => aim.gap[i],
      limit: limits.gap,
      unit: 'mm',
      sentence: (mm, place) => `Gap ${mm.toFixed(3)} mm under the layer ${place} (limit ${limits.gap.toFixed(3)} mm)`,
    }),
    ...ask(along, {
      code: 'bodies-overlap',
      out: (i) => on(i) && isOver(-aim.rawGap[i], limits.contact, ACCURACY.length),
      value: (i) => -aim.rawGap[i],
      limit: limits.contact,
      unit: 'mm',
      sentence: (mm, place) =>
        `The bodies overlap by ${mm.toFixed(3)} mm ${place} (up to ${limits.contact.toFixed(3)} mm counts as contact)`,
    }),
  ];
}

function checkAngles(along: Along, on: Mask, aim: Aim, job: Job): Finding[] {
  const { incidenceEntry, incidenceJoint } = job.limits;
  const angle = (code: 'incidence-entry' | 'incidence-joint', values: Float64Array, limit: number, where: string) =>
    ask(along, {
      code,
      out: (i) => on(i) && isOver(values[i], limit, ACCURACY.angle),
      value: (i) => values[i] * DEG_PER_RAD,
      limit: limit * DEG_PER_RAD,
      unit: 'deg',
      sentence: (deg, place) =>
        `Incidence ${deg.toFixed(1)} deg ${where} ${place} (limit ${(limit * DEG_PER_RAD).toFixed(1)} deg)`,
    });
  return [
    ...angle('incidence-entry', aim.incidenceEntry, incidenceEntry, 'at the entry surface'),
    ...angle('incidence-joint', aim.incidenceJoint, incidenceJoint, 'at the joint, in the layer,'),
  ];
}

function checkShadows(along: Along, on: Mask, aim: Aim, job: Job): Finding[] {
  const { clipped } = job.limits;
  return ask(along, {
    code: 'beam-clipped',
    out: (i) => on(i) && isOver(aim.clipped[i], clipped, ACCURACY.share),
    value: (i) => aim.clipped[i] * 100,
    limit: clipped * 100,
    unit: '%',
    sentence: (share, place, i) =>
      `${share.toFixed(1)} % of the beam is clipped by ${partText(job, aim.clippedBy[i])} ${place} (limit ${(clipped * 100).toFixed(1)} %)`,
  });
}

function checkHead(along: Along, on: Mask, aim: Aim): Finding[] {
  const reversals = ask(along, {
    code: 'head-reversal',
    out: (i) => on(i) && aim.headFactor[i] < -THRESHOLDS.standstill,
    value: (i) => aim.headFactor[i],
    badness: (i) => -aim.headFactor[i],
    limit: 0,
    unit: '',
    sentence: (factor, place) =>
      `The head stands still and runs backwards, at up to ${(-factor).toFixed(2)} times the spot's speed, ${place}`,
  });
  const standstills = ask(along, {
    code: 'head-standstill',
    out: (i) => on(i) && Math.abs(aim.headFactor[i]) <= THRESHOLDS.standstill,
    value: (i) => aim.headFactor[i],
    badness: (i) => -Math.abs(aim.headFactor[i]),
    limit: THRESHOLDS.standstill,
    unit: '',
    sentence: (factor, place) =>
      `The head all but stands still ${place}, at ${Math.abs(factor).toFixed(2)} times the spot's speed`,
  });
  // A head that turns back stands still before and after: that is said once, with the reversal.
  return [...reversals, ...standstills.filter((still) => !reversals.some((back) => meets(still, back, along.period)))];
}

/** Stretches this close follow one another, mm. */
const NEXT_TO = 1;

/** Whether two stretches overlap or follow one another, also across the start of a closed seam. */
function meets(a: Finding, b: Finding, period: number): boolean {
  return [-period, 0, period].some((turn) => a.from + turn <= b.to + NEXT_TO && b.from <= a.to + turn + NEXT_TO);
}

/** Values that a plan cannot do without; where the beam meets no layer at all, that is said instead. */
function checkUnknown(along: Along, on: Mask, aim: Aim, job: Job): Finding[] {
  const values: [string, Float64Array][] = [
    ['incidence at entry', aim.incidenceEntry],
    ['incidence at the joint', aim.incidenceJoint],
    ['transmitted share', aim.transmitted],
    ['clipped share', aim.clipped],
    ['share on the joint face', aim.capture],
    ['way of the head', aim.headFactor],
  ];
  if (hasTransmissive(job)) values.push(['layer', aim.layer], ['gap', aim.gap]);
  return ask(along, {
    code: 'ray-unknown',
    out: (i) => on(i) && !isUncovered(aim, job, i) && values.some(([, value]) => Number.isNaN(value[i])),
    value: () => Number.NaN,
    limit: Number.NaN,
    unit: '',
    sentence: (_, place, i) => {
      const names = values.filter(([, value]) => Number.isNaN(value[i])).map(([name]) => name);
      return `Could not be computed ${place}: ${names.join(', ')}`;
    },
  });
}

function hasTransmissive(job: Job): boolean {
  return job.layer === null && job.parts.some((part) => part.role === 'transmissive');
}

/** Whether a ray with a trustworthy answer met no wall: one without has no angles either. */
function isUncovered(aim: Aim, job: Job, i: number): boolean {
  const answered = !Number.isNaN(aim.incidenceEntry[i]);
  return answered && hasTransmissive(job) && aim.walls[i] === 0 && Number.isNaN(aim.gap[i]);
}
