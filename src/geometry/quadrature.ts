// Nodes and weights on [-1, 1]: Gauss-Legendre for integrals (Abramowitz & Stegun 1964, 22.16.6 and 25.4.29), Chebyshev
// points of the second kind for smooth functions that are looked up between their samples (Berrut & Trefethen 2004).
import { cos } from './elementary.ts';

export interface Quadrature {
  readonly node: Float64Array;
  readonly weight: Float64Array;
}

/** Gauss-Legendre rule of n nodes in increasing order: exact for polynomials of degree 2 n - 1. */
export function gaussLegendre(n: number): Quadrature {
  const node = new Float64Array(n);
  const weight = new Float64Array(n);
  for (let m = 0; m < n; m++) {
    let x = -cos((Math.PI * (m + 0.75)) / (n + 0.5));
    let slope = 1;
    for (let turn = 0; turn < 20; turn++) {
      let [before, value] = [1, x];
      for (let k = 2; k <= n; k++) [before, value] = [value, ((2 * k - 1) * x * value - (k - 1) * before) / k];
      slope = (n * (x * value - before)) / (x * x - 1);
      const step = value / slope;
      x -= step;
      if (Math.abs(step) < 1e-15) break;
    }
    node[m] = x;
    weight[m] = 2 / ((1 - x * x) * slope * slope);
  }
  return { node, weight };
}

/** Chebyshev points of the second kind, n >= 2, increasing from -1 to 1, both ends included. */
export function chebyshevPoints(n: number): Float64Array {
  return Float64Array.from({ length: n }, (_, k) => -cos((Math.PI * k) / (n - 1)) + 0);
}

/**
 * Value at x (-1 .. 1) of the polynomial through `values[offset + k stride]` at the Chebyshev points `points` (Berrut &
 * Trefethen 2004, SIAM Rev. 46, 501, eq. 5.4).
 */
export function chebyshevValue(
  points: Float64Array,
  values: Float64Array,
  offset: number,
  stride: number,
  x: number,
): number {
  const n = points.length;
  let above = 0;
  let below = 0;
  let sign = 1;
  for (let k = 0; k < n; k++) {
    const away = x - points[k];
    const value = values[offset + k * stride];
    if (away === 0) return value;
    const w = (k === 0 || k === n - 1 ? 0.5 * sign : sign) / away;
    above += w * value;
    below += w;
    sign = -sign;
  }
  return above / below;
}

/** Where and how high a function is highest. */
export interface Peak {
  /** -1 .. 1 */
  x: number;
  value: number;
}

/**
 * Largest value of that polynomial on [-1, 1]: the highest sample, then successive parabolas between its neighbours (for a
 * function with one top at most between samples). Writes into `out`; NaN where a sample is.
 */
export function chebyshevPeak(
  points: Float64Array,
  values: Float64Array,
  offset: number,
  stride: number,
  out: Peak,
): void {
  const n = points.length;
  let top = 0;
  for (let k = 0; k < n; k++) {
    const value = values[offset + k * stride];
    if (Number.isNaN(value)) {
      out.x = out.value = Number.NaN;
      return;
    }
    if (value > values[offset + top * stride]) top = k;
  }
  const middle = top === 0 ? 1 : top === n - 1 ? n - 2 : top;
  let a = points[middle - 1];
  let b = points[middle];
  let c = points[middle + 1];
  let fa = values[offset + (middle - 1) * stride];
  let fb = values[offset + middle * stride];
  let fc = values[offset + (middle + 1) * stride];
  out.x = points[top];
  out.value = values[offset + top * stride];
  for (let turn = 0; turn < 5; turn++) {
    const p = (b - a) * (fb - fc);
    const q = (b - c) * (fb - fa);
    const bend = p - q;
    if (bend === 0) return;
    const x = b - ((b - a) * p - (b - c) * q) / (2 * bend);
    if (!(x > a && x < c)) return;
    // So close to the top that it is no higher there; a first parabola may come so close to a sample by chance.
    if (turn > 1 && Math.abs(x - b) < 1e-4) return;
    const f = chebyshevValue(points, values, offset, stride, x);
    if (f > out.value) {
      out.x = x;
      out.value = f;
    }
    const higher = f > fb;
    const low = higher ? b : x;
    const value = higher ? fb : f;
    // The lower of both ends the stretch on its own side of the other.
    if (low < (higher ? x : b)) {
      a = low;
      fa = value;
    } else {
      c = low;
      fc = value;
    }
    if (higher) {
      b = x;
      fb = f;
    }
  }
}
