// Interpolating cubic splines through points in space, over chord lengths: fourth-order accurate for exact points when
// end tangents are unit vectors by arc length (Floater 2006, IMA J. Numer. Anal. 26), which centripetal knots are not.
// Slopes at the knots solve de Boor's tridiagonal system (de Boor 1978, A Practical Guide to Splines, ch. IV).
import { distance, dot, length, scale, subtract } from './vector.ts';

/** A C2 cubic spline through m + 1 points; fields as in `CurvePiece`. */
export interface Spline {
  /** m + 1, strictly increasing, mm. */
  readonly knot: Float64Array;
  /** c0, c1, c2, c3 of each span, 12 x m. */
  readonly coefficient: Float64Array;
}

/** What a spline does at an end: a tangent direction (any length, pointing onward), or null: not-a-knot. */
export type EndTangent = ArrayLike<number> | null;

/**
 * Spline through n >= 2 points (3 x n, mm). A given end tangent fixes the direction there, its magnitude comes from the
 * data; without one the two last spans share one cubic (not-a-knot). Two points alone give a straight line, two points
 * and one tangent a circle-like arc, three points alone a parabola.
 * Throws on fewer than two points and on neighbours that coincide: the caller cleans its data first.
 */
export function interpolate(points: Float64Array, start: EndTangent, end: EndTangent): Spline {
  const n = points.length / 3;
  if (n < 2) throw new Error('a spline needs at least two points');
  const knot = chordKnots(points, false);
  const system = emptySystem(n);
  const chords = chordSlopes(points, knot);
  fillInterior(system, knot, chords, 1, n - 1);

  const clampedStart = start && endDerivative(points, 0, 1, start, n === 2);
  const clampedEnd = end && endDerivative(points, n - 1, n - 2, end, n === 2);
  if (n === 2) {
    const chord = chords.slice(0, 3);
    const first = clampedStart ?? (clampedEnd ? mirrored(clampedEnd, chord) : chord);
    const last = clampedEnd ?? (clampedStart ? mirrored(clampedStart, chord) : chord);
    return fromSlopes(points, knot, Float64Array.of(...first, ...last));
  }
  if (clampedStart) fixRow(system, 0, clampedStart);
  else freeRow(system, 0, knot, chords, 0, 1, n === 3 && !clampedEnd);
  if (clampedEnd) fixRow(system, n - 1, clampedEnd);
  else freeRow(system, n - 1, knot, chords, n - 2, n - 3, n === 3 && !clampedStart);
  solveTridiagonal(system.lower, system.diagonal, system.upper, system.right, 3);
  return fromSlopes(points, knot, system.right);
}

/** Closed spline through n >= 3 points (3 x n, mm; the first is not repeated), C2 at the joint too. Throws as `interpolate`. */
export function interpolatePeriodic(points: Float64Array): Spline {
  const n = points.length / 3;
  if (n < 3) throw new Error('a closed spline needs at least three points');
  const knot = chordKnots(points, true);
  const closedPoints = new Float64Array(points.length + 3);
  closedPoints.set(points);
  closedPoints.copyWithin(3 * n, 0, 3);
  const chords = chordSlopes(closedPoints, knot);
  const system = emptySystem(n);
  fillInterior(system, knot, chords, 1, n);
  periodicRow(system, knot, chords, n);
  solveCyclic(system.lower, system.diagonal, system.upper, system.right, 3);
  const slopes = new Float64Array(3 * n + 3);
  slopes.set(system.right);
  slopes.copyWithin(3 * n, 0, 3);
  return fromSlopes(closedPoints, knot, slopes);
}

/** Rows lower, diagonal, upper and the right-hand side (3 x n), overwritten by its solution. */
interface System {
  readonly lower: Float64Array;
  readonly diagonal: Float64Array;
  readonly upper: Float64Array;
  readonly right: Float64Array;
}

function emptySystem(n: number): System {
  return {
    lower: new Float64Array(n),
    diagonal: new Float64Array(n),
    upper: new Float64Array(n),
    right: new Float64Array(3 * n),
  };
}

function chordKnots(points: Float64Array, closed: boolean): Float64Array {
  const n = points.length / 3;
  const knot = new Float64Array(closed ? n + 1 : n);
  for (let i = 1; i < knot.length; i++) {
    knot[i] = knot[i - 1] + distance(points, 3 * (i - 1), points, 3 * (i % n));
    if (!(knot[i] > knot[i - 1])) throw new Error(`spline points ${i - 1} and ${i % n} coincide or are not finite`);
  }
  return knot;
}

/** Slope of each chord, 3 x m: unit vectors, since the knots are chord lengths. */
function chordSlopes(points: Float64Array, knot: Float64Array): Float64Array {
  const slope = new Float64Array(points.length - 3);
  for (let j = 0; j < slope.length; j += 3) {
    subtract(points, j + 3, points, j, slope, j);
    scale(slope, j, 1 / (knot[j / 3 + 1] - knot[j / 3]));
  }
  return slope;
}

/** Rows first .. last - 1: the second derivative is continuous at the knot. */
function fillInterior(system: System, knot: Float64Array, chords: Float64Array, first: number, last: number): void {
  for (let i = first; i < last; i++) {
    const before = knot[i] - knot[i - 1];
    const after = knot[i + 1] - knot[i];
    continuityRow(system, i, before, after, chords, i - 1, i);
  }
}

function periodicRow(system: System, knot: Float64Array, chords: Float64Array, n: number): void {
  continuityRow(system, 0, knot[n] - knot[n - 1], knot[1] - knot[0], chords, n - 1, 0);
}

function continuityRow(
  system: System,
  row: number,
  before: number,
  after: number,
  chords: Float64Array,
  spanBefore: number,
  spanAfter: number,
): void {
  system.lower[row] = after;
  system.diagonal[row] = 2 * (before + after);
  system.upper[row] = before;
  for (let c = 0; c < 3; c++) {
    system.right[3 * row + c] = 3 * (after * chords[3 * spanBefore + c] + before * chords[3 * spanAfter + c]);
  }
}

function fixRow(system: System, row: number, slope: Float64Array): void {
  system.diagonal[row] = 1;
  system.right.set(slope, 3 * row);
}

/** End row without a tangent: the cubic of the end span goes on through the next one, or one parabola when there are but two spans. */
function freeRow(
  system: System,
  row: number,
  knot: Float64Array,
  chords: Float64Array,
  span: number,
  nextSpan: number,
  parabola: boolean,
): void {
  const near = knot[span + 1] - knot[span];
  const far = knot[nextSpan + 1] - knot[nextSpan];
  const inner = row === 0 ? system.upper : system.lower;
  system.diagonal[row] = parabola ? 1 : far;
  inner[row] = parabola ? 1 : near + far;
  for (let c = 0; c < 3; c++) {
    const d0 = chords[3 * span + c];
    const d1 = chords[3 * nextSpan + c];
    system.right[3 * row + c] = parabola
      ? 2 * d0
      : ((near + 2 * (near + far)) * far * d0 + near * near * d1) / (near + far);
  }
}

/**
 * Derivative at an end with the given direction. Its size is what the data have elsewhere: with alpha between tangent and
 * first chord, even spans of a closed spline round a circle have 3 cos(alpha) / (1 + 2 cos(alpha)^2) (from the cyclic
 * system), and the cubic closest to a single arc has 2 / (1 + cos(alpha)) (de Boor, Hoellig & Sabin 1987). Both are
 * 1 + O(h^2), which the order needs; alpha counts as 60 degrees at most.
 */
function endDerivative(
  points: Float64Array,
  end: number,
  next: number,
  tangent: ArrayLike<number>,
  single: boolean,
): Float64Array {
  const slope = Float64Array.from(tangent);
  const chord = new Float64Array(3);
  subtract(points, 3 * Math.max(end, next), points, 3 * Math.min(end, next), chord, 0);
  const size = length(slope, 0);
  if (!(size > 0)) throw new Error('an end tangent of a spline has no direction');
  const cosine = Math.max(dot(slope, 0, chord, 0) / (size * length(chord, 0)), 0.5);
  const magnitude = single ? 2 / (1 + cosine) : (3 * cosine) / (1 + 2 * cosine * cosine);
  scale(slope, 0, magnitude / size);
  return slope;
}

/** The slope mirrored at the chord's normal plane and turned onward: what a circle has at its other end. */
function mirrored(slope: Float64Array, chord: Float64Array): Float64Array {
  const along = 2 * dot(slope, 0, chord, 0);
  return slope.map((x, c) => along * chord[c] - x);
}

/** Span coefficients from the points and the slopes at them (Hermite form). */
function fromSlopes(points: Float64Array, knot: Float64Array, slopes: Float64Array): Spline {
  const spans = knot.length - 1;
  const coefficient = new Float64Array(12 * spans);
  for (let j = 0; j < spans; j++) {
    const h = knot[j + 1] - knot[j];
    for (let c = 0; c < 3; c++) {
      const p = points[3 * j + c];
      const d = (points[3 * j + 3 + c] - p) / h;
      const m0 = slopes[3 * j + c];
      const m1 = slopes[3 * j + 3 + c];
      coefficient[12 * j + c] = p;
      coefficient[12 * j + 3 + c] = m0;
      coefficient[12 * j + 6 + c] = (3 * d - 2 * m0 - m1) / h;
      coefficient[12 * j + 9 + c] = (m0 + m1 - 2 * d) / (h * h);
    }
  }
  return { knot, coefficient };
}

/**
 * Solves a tridiagonal system for `width` right-hand sides, interleaved in `right` (width x n), which the solution
 * overwrites. No pivoting: the matrix must be one that elimination does not shrink (diagonally dominant, or a spline's).
 */
export function solveTridiagonal(
  lower: Float64Array,
  diagonal: Float64Array,
  upper: Float64Array,
  right: Float64Array,
  width: number,
): void {
  const n = diagonal.length;
  const pivot = Float64Array.from(diagonal);
  for (let i = 1; i < n; i++) {
    const f = lower[i] / pivot[i - 1];
    pivot[i] -= f * upper[i - 1];
    for (let c = 0; c < width; c++) right[width * i + c] -= f * right[width * (i - 1) + c];
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let c = 0; c < width; c++) {
      const next = i < n - 1 ? upper[i] * right[width * (i + 1) + c] : 0;
      right[width * i + c] = (right[width * i + c] - next) / pivot[i];
    }
  }
}

/**
 * As `solveTridiagonal` with corners: lower[0] stands in the last column of the first row, upper[n - 1] in the first of
 * the last (n >= 3; Sherman & Morrison 1950).
 */
function solveCyclic(
  lower: Float64Array,
  diagonal: Float64Array,
  upper: Float64Array,
  right: Float64Array,
  width: number,
): void {
  const n = diagonal.length;
  const gamma = -diagonal[0];
  const changed = Float64Array.from(diagonal);
  changed[0] -= gamma;
  changed[n - 1] -= (lower[0] * upper[n - 1]) / gamma;
  const both = new Float64Array((width + 1) * n);
  for (let i = 0; i < n; i++) {
    for (let c = 0; c < width; c++) both[(width + 1) * i + c] = right[width * i + c];
  }
  both[width] = gamma;
  both[(width + 1) * (n - 1) + width] = upper[n - 1];
  solveTridiagonal(lower, changed, upper, both, width + 1);
  const last = (width + 1) * (n - 1);
  const share = lower[0] / gamma;
  const denominator = 1 + both[width] + share * both[last + width];
  for (let c = 0; c < width; c++) {
    const f = (both[c] + share * both[last + c]) / denominator;
    for (let i = 0; i < n; i++) right[width * i + c] = both[(width + 1) * i + c] - f * both[(width + 1) * i + width];
  }
}
