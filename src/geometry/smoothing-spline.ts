// The smoothest cubic spline that stays within a given root mean square distance of points: least integral of the squared
// second derivative (Reinsch 1967, "Smoothing by spline functions", Numer. Math. 10, 177), natural at open ends, periodic
// when closed. The closed system is folded (0, n-1, 1, n-2 ..) so that it has a band like the open one.
import { solveBanded } from './solve-banded.ts';
import { interpolate, interpolatePeriodic, type Spline } from './spline.ts';
import { distance } from './vector.ts';

/** Weights of smoothness that are tried, in units of the mean spacing cubed. */
const LEAST_WEIGHT = 1e-9;
const MOST_WEIGHT = 1e12;

/** Halvings of the logarithm of the weight: to 1e-9 of it. */
const HALVINGS = 64;

/** Half the bandwidth of the folded system. */
const BAND = 5;

export interface Smoothed {
  readonly spline: Spline;
  /** Root mean square distance of the points from their places on the spline, mm. */
  readonly rms: number;
}

/**
 * Spline over the chord lengths of `points` (3 x n, mm; n >= 4, closed n >= 6 without the first repeated) whose rms distance
 * from them is `rms`, or less where no smoother one exists. 0 interpolates. Throws as `interpolate`.
 */
export function smoothPoints(points: Float64Array, closed: boolean, rms: number): Smoothed {
  const through = closed ? interpolatePeriodic(points) : interpolate(points, null, null);
  if (!(rms > 0)) return { spline: through, rms: 0 };
  const { knot } = through;
  const n = points.length / 3;
  const unit = (knot[knot.length - 1] / (knot.length - 1)) ** 3;
  const solve = createSolver(points, knot, closed);
  let low = LEAST_WEIGHT;
  let high = MOST_WEIGHT;
  const smoothest = solve(high * unit);
  if (smoothest !== null && smoothest.rms <= rms) return { spline: toSpline(smoothest, knot, n), rms: smoothest.rms };
  let best: Solution | null = null;
  for (let i = 0; i < HALVINGS; i++) {
    const weight = Math.sqrt(low * high);
    const solution = solve(weight * unit);
    // What is too stiff to be solved is too smooth.
    if (solution !== null && solution.rms <= rms) {
      best = solution;
      low = weight;
    } else high = weight;
  }
  return best === null ? { spline: through, rms: 0 } : { spline: toSpline(best, knot, n), rms: best.rms };
}

/** Values and second derivatives at the points, 3 x n each. */
interface Solution {
  readonly value: Float64Array;
  readonly second: Float64Array;
  readonly rms: number;
}

function createSolver(points: Float64Array, knot: Float64Array, closed: boolean): (weight: number) => Solution | null {
  const n = points.length / 3;
  const columns = closed ? n : n - 2;
  const first = closed ? 0 : 1;
  const span = (i: number): number => {
    const j = (i + n) % n;
    return knot[j + 1] - knot[j];
  };
  const fold = (j: number): number => (closed ? (2 * j < n ? 2 * j : 2 * (n - 1 - j) + 1) : j);
  // Second differences: column j has three entries, in the rows of the points before, at and after it.
  const row = (j: number, k: number): number => (j + first + k - 1 + n) % n;
  const entry = Float64Array.from({ length: 3 * columns }, (_, i) => {
    const j = Math.floor(i / 3) + first;
    const [before, after] = [1 / span(j - 1), 1 / span(j)];
    return [before, -before - after, after][i % 3];
  });
  const touching: { readonly j: number; readonly q: number }[][] = Array.from({ length: n }, () => []);
  for (let j = 0; j < columns; j++) {
    for (let k = 0; k < 3; k++) touching[row(j, k)].push({ j, q: entry[3 * j + k] });
  }
  const stiff = new Float64Array(columns * (BAND + 1));
  const bend = new Float64Array(columns * (BAND + 1));
  const put = (band: Float64Array, a: number, b: number, value: number): void => {
    if (b <= a) band[a * (BAND + 1) + b - a + BAND] += value;
  };
  for (const list of touching) {
    for (const a of list) for (const b of list) put(bend, fold(a.j), fold(b.j), a.q * b.q);
  }
  for (let j = 0; j < columns; j++) {
    put(stiff, fold(j), fold(j), (span(j + first - 1) + span(j + first)) / 3);
    if (!closed && j + 1 === columns) continue;
    const next = (j + 1) % columns;
    const [a, b] = [fold(j), fold(next)];
    put(stiff, Math.max(a, b), Math.min(a, b), span(j + first) / 6);
  }
  const right = new Float64Array(3 * columns);
  for (let j = 0; j < columns; j++) {
    for (let c = 0; c < 3; c++) {
      for (let k = 0; k < 3; k++) right[c * columns + fold(j)] += entry[3 * j + k] * points[3 * row(j, k) + c];
    }
  }
  return (weight) => {
    const second = new Float64Array(3 * n);
    const value = points.slice();
    let square = 0;
    for (let c = 0; c < 3; c++) {
      const band = stiff.map((x, i) => x + weight * bend[i]);
      const b = right.slice(c * columns, (c + 1) * columns);
      if (!solveBanded(band, b, columns, BAND)) return null;
      for (let j = 0; j < columns; j++) {
        const at = b[fold(j)];
        second[3 * ((j + first) % n) + c] = at;
        for (let k = 0; k < 3; k++) value[3 * row(j, k) + c] -= weight * entry[3 * j + k] * at;
      }
    }
    for (let i = 0; i < n; i++) square += distance(value, 3 * i, points, 3 * i) ** 2;
    return Number.isFinite(square) ? { value, second, rms: Math.sqrt(square / n) } : null;
  };
}

function toSpline({ value, second }: Solution, knot: Float64Array, n: number): Spline {
  const spans = knot.length - 1;
  const coefficient = new Float64Array(12 * spans);
  for (let j = 0; j < spans; j++) {
    const next = (j + 1) % n;
    const h = knot[j + 1] - knot[j];
    for (let c = 0; c < 3; c++) {
      const [y0, y1] = [value[3 * j + c], value[3 * next + c]];
      const [m0, m1] = [second[3 * j + c], second[3 * next + c]];
      coefficient[12 * j + c] = y0;
      coefficient[12 * j + 3 + c] = (y1 - y0) / h - (h * (2 * m0 + m1)) / 6;
      coefficient[12 * j + 6 + c] = m0 / 2;
      coefficient[12 * j + 9 + c] = (m1 - m0) / (6 * h);
    }
  }
  return { knot, coefficient };
}
