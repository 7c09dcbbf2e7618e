// Whether the spot falls on the joint face, nominally and at the worse end of the lateral tolerance, and which offset of the
// seam would put it there.
import type { Aim } from '../model/aim.ts';
import type { Finding } from '../model/finding.ts';
import type { Job, JobSeam } from '../model/job.ts';
import type { Along } from './ask.ts';
import { ask } from './ask.ts';
import { RULES } from './severity.ts';
import type { Stretch } from './stretches.ts';
import { ACCURACY, isOver, isUnder } from './tolerance.ts';

export function checkCapture(
  along: Along,
  on: (i: number) => boolean,
  aim: Aim,
  jobSeam: JobSeam,
  job: Job,
): Finding[] {
  const { capture, lateral } = job.limits;
  const limit = capture * 100;
  const low = (values: Float64Array, i: number) => on(i) && isUnder(values[i], capture, ACCURACY.share);
  const border = (i: number) => Math.min(known(aim.borderLeft[i]), known(aim.borderRight[i]));
  return [
    ...ask(along, {
      code: 'capture',
      out: (i) => low(aim.capture, i),
      value: (i) => aim.capture[i] * 100,
      badness: (i) => -aim.capture[i],
      limit,
      unit: '%',
      sentence: (share, place) =>
        `Only ${share.toFixed(1)} % of the spot falls on the joint face ${place} (at least ${limit.toFixed(1)} %)`,
      remedy: (_, stretch) => offsetRemedy(aim, stretch, jobSeam.offset, lateral),
    }),
    ...ask(along, {
      code: 'capture-lateral',
      out: (i) => low(aim.captureLateral, i) && !low(aim.capture, i),
      value: (i) => aim.captureLateral[i] * 100,
      badness: (i) => -aim.captureLateral[i],
      limit,
      unit: '%',
      sentence: (share, place) =>
        `${share.toFixed(1)} % of the spot falls on the joint face ${place} when the seam lies ${lateral.toFixed(2)} mm aside (at least ${limit.toFixed(1)} %)`,
    }),
    ...ask(along, {
      code: 'spot-overhang',
      out: (i) => on(i) && !low(aim.capture, i) && isOver(aim.spotAcross[i] - border(i), 0, ACCURACY.length),
      value: (i) => aim.spotAcross[i] - border(i),
      limit: 0,
      unit: 'mm',
      sentence: (mm, place, i) =>
        `The spot of ${(2 * aim.spotAcross[i]).toFixed(2)} mm reaches ${mm.toFixed(2)} mm beyond the joint face ${place}`,
    }),
  ];
}

/** A border that was not measured is no border. */
function known(distance: number): number {
  return Number.isNaN(distance) ? Number.POSITIVE_INFINITY : distance;
}

/**
 * Offset that puts the seam midway between both borders (median over the stretch), or, where one border was measured only,
 * a spot radius and the lateral tolerance away from it. Positive offsets go towards b, and so shorten the way to the left.
 */
function offsetRemedy(aim: Aim, stretch: Stretch, offset: number, lateral: number): string {
  const shift = median(
    stretch.points.map((i) => {
      const [left, right, away] = [aim.borderLeft[i], aim.borderRight[i], aim.spotAcross[i] + lateral];
      if (Number.isNaN(left)) return Math.max(0, away - right);
      return Number.isNaN(right) ? Math.min(0, left - away) : (left - right) / 2;
    }),
  );
  const width = median(stretch.points.map((i) => aim.borderLeft[i] + aim.borderRight[i]));
  const spot = median(stretch.points.map((i) => 2 * aim.spotAcross[i]));
  if (Number.isNaN(shift)) return RULES.capture.remedy;
  const smaller = `take a smaller spot: the face is ${width.toFixed(2)} mm wide there`;
  if (Math.abs(shift) < 0.005) return smaller;
  const narrow = width < spot ? `, and ${smaller}` : '';
  return `set offset_mm to ${(offset + shift + 0).toFixed(2)} (now ${offset.toFixed(2)})${narrow}`;
}

/** Middle of the known values; NaN where there is none. */
function median(values: readonly number[]): number {
  const sorted = values.filter((value) => !Number.isNaN(value)).sort((a, b) => a - b);
  return sorted.length === 0 ? Number.NaN : sorted[sorted.length >> 1];
}
