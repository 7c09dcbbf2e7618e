// What the seam's own shape asks for: the fit of its curve, the choice of its joint face, its bends, its closing overlap.
import type { Aim } from '../model/aim.ts';
import type { Finding } from '../model/finding.ts';
import type { Job, JobSeam } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { Seam } from '../model/seam.ts';
import { DEG_PER_RAD } from '../model/units.ts';
import type { Along } from './ask.ts';
import { ask, createFinding } from './ask.ts';
import { THRESHOLDS } from './severity.ts';
import { ACCURACY, isOver, isUnder } from './tolerance.ts';

/** `edgeRatio`: energy at one edge of the seam over that at the other, at each station. */
export function checkShape(
  seam: Seam,
  path: Path,
  aim: Aim,
  edgeRatio: Float64Array,
  jobSeam: JobSeam,
  job: Job,
): Finding[] {
  return [
    ...selectionFindings(seam),
    ...fitFindings(seam, jobSeam),
    ...faceFindings(seam),
    ...cornerFindings(seam, jobSeam),
    ...spacingFindings(path, jobSeam, job.limits.lateral),
    ...overlapFindings(path, aim, jobSeam),
    ...bendFindings(path, edgeRatio, jobSeam),
  ];
}

/** What the fingerprint in the job says of the line that was selected. */
function selectionFindings({ name, match, edgeIds, curve }: Seam): Finding[] {
  if (match.kind === 'found') {
    const ids =
      edgeIds.length > 0 ? `, edges ${edgeIds.slice(0, 12).join(', ')}${edgeIds.length > 12 ? ' ..' : ''}` : '';
    const sentence = `Found by its fingerprint${ids}: ${match.why}`;
    return [createFinding('selection-found', { seam: name, sentence })];
  }
  if (match.kind !== 'changed') return [];
  return [
    createFinding('selection-changed', {
      seam: name,
      value: match.distance,
      limit: THRESHOLDS.fingerprint,
      unit: 'mm',
      sentence: `The selection finds a line of ${curve.length.toFixed(3)} mm that passes the points of its fingerprint by up to ${match.distance.toFixed(2)} mm, or has another length, and no other line fits`,
    }),
  ];
}

function cornerFindings({ name, blends, corners, curve }: Seam, { cornerBlend }: JobSeam): Finding[] {
  if (!(cornerBlend > 0)) return [];
  const kept = corners.map(({ s, angle }) =>
    createFinding('corner-kept', {
      seam: name,
      from: s,
      to: s,
      at: s,
      sentence: `The corner of ${(angle * DEG_PER_RAD).toFixed(1)} deg at ${s.toFixed(1)} mm is not rounded: the spot stops there`,
    }),
  );
  const rounded = blends.map(({ from, to, angle, deviation }) =>
    createFinding('corner-rounded', {
      seam: name,
      from,
      to: to < from ? to + curve.length : to,
      at: from,
      value: deviation,
      limit: cornerBlend,
      unit: 'mm',
      sentence: `The seam passes the corner of ${(angle * DEG_PER_RAD).toFixed(1)} deg at ${deviation.toFixed(3)} mm, from ${from.toFixed(1)} to ${to.toFixed(1)} mm`,
    }),
  );
  return [...kept, ...rounded];
}

/** Measured points lie off the seam by their noise: four times its root mean square is seldom passed. */
const NOISE_TIMES = 4;

function fitFindings({ name, fit }: Seam, { select }: JobSeam): Finding[] {
  const limit = select.kind === 'points' ? Math.max(THRESHOLDS.fit, NOISE_TIMES * select.smooth) : THRESHOLDS.fit;
  if (!isOver(fit.largest, limit, 0)) return [];
  return [
    createFinding('fit-coarse', {
      seam: name,
      from: fit.at,
      to: fit.at,
      at: fit.at,
      value: fit.largest,
      limit,
      unit: 'mm',
      sentence: `The seam's curve lies up to ${fit.largest.toFixed(3)} mm off the model's points, at ${fit.at.toFixed(1)} mm (rms ${fit.rms.toFixed(4)} mm)`,
    }),
  ];
}

function faceFindings({ name, faceChoice }: Seam): Finding[] {
  if (faceChoice !== 'towards-beam') return [];
  const sentence =
    'The joint face was not given, and no transmissive body covers one: the face that looks towards the beam was taken';
  return [createFinding('face-uncertain', { seam: name, sentence })];
}

/**
 * Straight lines between waypoints pass the seam by the sagitta k h^2 / 8, with the larger curvature of both ends. A limit
 * of nothing counts as what lengths are accurate to.
 */
function spacingFindings(path: Path, jobSeam: JobSeam, lateral: number): Finding[] {
  const { closed, count, curvature, length, onSeam, s } = path;
  const step = (i: number) => (i + 1 < count ? s[i + 1] : closed ? length + s[0] : s[i]) - s[i];
  const next = (i: number) => (i + 1 < count ? i + 1 : 0);
  const passes = (i: number) => (Math.max(curvature[i], curvature[next(i)]) * step(i) * step(i)) / 8;
  const limit = Math.max(lateral, ACCURACY.length);
  return ask(
    { seam: jobSeam.name, s, period: closed ? length : 0 },
    {
      code: 'waypoints-apart',
      out: (i) => onSeam[i] === 1 && isOver(passes(i), limit, ACCURACY.length),
      value: passes,
      limit,
      unit: 'mm',
      sentence: (mm, place) =>
        `Straight lines between waypoints pass the seam by ${mm.toFixed(2)} mm ${place} (at most ${limit.toFixed(3)} mm)`,
      remedy: () => `set chord_mm to ${limit.toFixed(3)}, or lessen spacing_mm (now ${jobSeam.spacing})`,
    },
  );
}

/** The ramp-up is welded again at full power, and the ramp-down lies on finished weld: overlap >= ramp + spot + ramp. */
function overlapFindings(path: Path, aim: Aim, jobSeam: JobSeam): Finding[] {
  if (!path.closed) return [];
  const { overlap, ramp, name } = jobSeam;
  const spot = 2 * aim.spotAlong[0];
  const limit = 2 * ramp + spot;
  if (isOver(overlap, path.length, ACCURACY.length)) {
    return [
      createFinding('overlap-long', {
        seam: name,
        from: path.length,
        to: path.length + overlap,
        at: path.length + overlap,
        value: overlap,
        limit: path.length,
        unit: 'mm',
        sentence: `Overlap ${overlap.toFixed(1)} mm is longer than the seam of ${path.length.toFixed(1)} mm`,
      }),
    ];
  }
  if (!isUnder(overlap, limit, ACCURACY.length)) return [];
  return [
    createFinding('overlap-short', {
      seam: name,
      from: path.length,
      to: path.length + overlap,
      at: path.length + overlap,
      value: overlap,
      limit,
      unit: 'mm',
      sentence: `Overlap ${overlap.toFixed(2)} mm is shorter than two ramps of ${ramp.toFixed(2)} mm and a spot of ${spot.toFixed(2)} mm together`,
      remedy: `set overlap_mm to at least ${(Math.ceil(limit * 10 - 1e-6) / 10).toFixed(1)}, or shorten ramp_mm`,
    }),
  ];
}

function bendFindings(path: Path, edgeRatio: Float64Array, jobSeam: JobSeam): Finding[] {
  const along: Along = { seam: jobSeam.name, s: path.s, period: path.closed ? path.length : 0 };
  const more = (i: number) => Math.max(edgeRatio[i], 1 / edgeRatio[i]) - 1;
  const strong = (i: number) => isOver(more(i), THRESHOLDS.unequalBendStrong, ACCURACY.share);
  const mild = (i: number) => isOver(more(i), THRESHOLDS.unequalBend, ACCURACY.share);
  const bend = (code: 'unequal-bend' | 'unequal-bend-strong', limit: number, out: (i: number) => boolean) =>
    ask(along, {
      code,
      out: (i) => path.onSeam[i] === 1 && out(i),
      value: (i) => more(i) * 100,
      limit: limit * 100,
      unit: '%',
      sentence: (percent, place, i) => {
        const radius = 1 / Math.abs(path.geodesicCurvature[i]);
        return percent < Number.POSITIVE_INFINITY
          ? `The inner edge of the bend gets ${percent.toFixed(1)} % more energy than the outer one ${place} (radius ${radius.toFixed(1)} mm, seam ${jobSeam.width.toFixed(1)} mm wide)`
          : `The seam of ${jobSeam.width.toFixed(1)} mm is wider than the bend of radius ${radius.toFixed(1)} mm can hold ${place}`;
      },
    });
  return [
    ...bend('unequal-bend-strong', THRESHOLDS.unequalBendStrong, strong),
    ...bend('unequal-bend', THRESHOLDS.unequalBend, (i) => mild(i) && !strong(i)),
  ];
}
