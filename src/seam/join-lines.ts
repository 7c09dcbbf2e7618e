// One curve through lines that follow one another: a spline for each, ends that meet, tangents shared where they are smooth.
import { buildCurve, reverseCurve } from '../geometry/curve.ts';
import { interpolate, interpolatePeriodic, type Spline } from '../geometry/spline.ts';
import { angleBetween, copy, distance, normalise } from '../geometry/vector.ts';
import type { Curve } from '../model/curve.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import type { Line } from './edge-line.ts';

/** Tangents of neighbours that differ by no more are one tangent: exact ones, and where one is an estimate. */
const SMOOTH = 0.1 * RAD_PER_DEG;
const SMOOTH_ESTIMATE = 0.5 * RAD_PER_DEG;

/** Ends that are to meet may lie this far apart, mm; they meet in the middle. */
const LARGEST_GAP = 0.01;

/** A curve with the face under each of its pieces. */
export interface Track {
  readonly curve: Curve;
  /** Index into `Body.faces` for each piece. */
  readonly face: readonly number[];
}

/** Joins lines end to end; `face` says which face each runs along. Throws where ends do not meet: a fault of the caller. */
export function joinLines(lines: readonly Line[], face: readonly number[], closed: boolean): Track {
  if (lines.length === 1 && lines[0].closed) return { curve: closedCurve(lines[0]), face };
  const n = lines.length;
  const point = lines.map((line) => line.point.slice());
  const start: (Float64Array | null)[] = lines.map((line) => (line.exact ? line.start : null));
  const end: (Float64Array | null)[] = lines.map((line) => (line.exact ? line.end : null));
  for (let i = closed ? 0 : 1; i < n; i++) {
    const before = (i + n - 1) % n;
    meetInTheMiddle(point[before], point[i]);
    const shared = sharedTangent(lines[before], lines[i]);
    if (shared === null) continue;
    end[before] = shared;
    start[i] = shared;
  }
  const splines = point.map((p, i) => interpolate(p, start[i], end[i]));
  return { curve: buildCurve(splines, closed), face };
}

function closedCurve(line: Line): Curve {
  if (angleBetween(line.end, 0, line.start, 0) <= (line.exact ? SMOOTH : SMOOTH_ESTIMATE)) {
    return buildCurve([interpolatePeriodic(line.point)], true);
  }
  const open = Float64Array.of(...line.point, ...line.point.subarray(0, 3));
  return buildCurve([closedSpline(open, line)], true);
}

/** A closed line with a corner at its start. */
function closedSpline(point: Float64Array, line: Line): Spline {
  return interpolate(point, line.exact ? line.start : null, line.exact ? line.end : null);
}

function meetInTheMiddle(before: Float64Array, after: Float64Array): void {
  const last = before.length - 3;
  if (distance(before, last, after, 0) > LARGEST_GAP) throw new Error('lines that follow one another do not meet');
  for (let c = 0; c < 3; c++) after[c] = (after[c] + before[last + c]) / 2;
  copy(after, 0, before, last);
}

/** The tangent that two lines share where they meet, or null where the line has a break. An exact one wins over an estimate. */
function sharedTangent(before: Line, after: Line): Float64Array | null {
  const angle = angleBetween(before.end, 0, after.start, 0);
  if (angle > (before.exact && after.exact ? SMOOTH : SMOOTH_ESTIMATE)) return null;
  if (before.exact && !after.exact) return before.end;
  if (after.exact && !before.exact) return after.start;
  const mean = before.end.map((c, k) => c + after.start[k]);
  normalise(mean, 0);
  return mean;
}

/** The same track run the other way; a closed one keeps its start. */
export function turnTrack({ curve, face }: Track): Track {
  return { curve: reverseCurve(curve), face: [...face].reverse() };
}
