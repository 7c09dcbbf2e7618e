// Natural cubic smoothing spline of one series (Reinsch 1967, Numer. Math. 10, 177), with the most smoothing that keeps
// within a bracket about the data.

/**
 * Values of the smoothest spline at the knots whose largest distance from `value` is at most `bracket`. `s` (m, strictly
 * increasing); weights follow the spacing, so that uneven knots weigh by the length they stand for. Fewer than three
 * values are returned as they are.
 */
export function smoothWithin(s: Float64Array, value: Float64Array, bracket: number): Float64Array {
  const m = s.length;
  if (m < 3) return Float64Array.from(value);
  const span = s[m - 1] - s[0];
  // From no smoothing worth the name to a straight line, on a scale of fourth powers of length.
  let low = 0;
  let best: Float64Array = Float64Array.from(value);
  let high = 60;
  for (let step = 0; step < 40; step++) {
    const exponent = (low + high) / 2;
    const smoothing = (span / 2 ** 12) ** 4 * powerOfTwo(exponent);
    const smoothed = reinsch(s, value, smoothing);
    let largest = 0;
    for (let i = 0; i < m; i++) largest = Math.max(largest, Math.abs(smoothed[i] - value[i]));
    if (largest <= bracket) {
      best = smoothed;
      low = exponent;
    } else {
      high = exponent;
    }
  }
  return best;
}

/** 2^x for x >= 0, exact in its whole part, linear between: all that a bisection needs. */
function powerOfTwo(x: number): number {
  const whole = Math.floor(x);
  let power = 1;
  for (let i = 0; i < whole; i++) power *= 2;
  return power * (1 + x - whole);
}

/** Minimiser of sum h_i (f_i - y_i)^2 + smoothing x integral f''^2, at the knots. */
function reinsch(s: Float64Array, y: Float64Array, smoothing: number): Float64Array {
  const m = s.length;
  const n = m - 2;
  const gap = (i: number): number => s[i + 1] - s[i];
  const inverseWeight = Float64Array.from(y, (_, i) => 2 / ((i > 0 ? gap(i - 1) : 0) + (i < m - 1 ? gap(i) : 0)));
  // Bands of R + smoothing Q' W^-1 Q, and Q' y; column k of Q stands on the knots k, k + 1, k + 2.
  const d0 = new Float64Array(n);
  const d1 = new Float64Array(n);
  const d2 = new Float64Array(n);
  const right = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    const a = 1 / gap(k);
    const c = 1 / gap(k + 1);
    const b = -a - c;
    right[k] = a * y[k] + b * y[k + 1] + c * y[k + 2];
    const wb = inverseWeight[k + 1];
    const wc = inverseWeight[k + 2];
    d0[k] = (gap(k) + gap(k + 1)) / 3 + smoothing * (a * a * inverseWeight[k] + b * b * wb + c * c * wc);
    if (k + 1 < n) {
      const next = -c - 1 / gap(k + 2);
      d1[k] = gap(k + 1) / 6 + smoothing * (b * wb * c + c * wc * next);
    }
    if (k + 2 < n) d2[k] = smoothing * c * wc * (1 / gap(k + 2));
  }
  solvePentadiagonal(d0, d1, d2, right);
  const f = Float64Array.from(y);
  for (let k = 0; k < n; k++) {
    const a = 1 / gap(k);
    const c = 1 / gap(k + 1);
    f[k] -= smoothing * inverseWeight[k] * a * right[k];
    f[k + 1] += smoothing * inverseWeight[k + 1] * (a + c) * right[k];
    f[k + 2] -= smoothing * inverseWeight[k + 2] * c * right[k];
  }
  return f;
}

/** Solves a symmetric positive definite system of five bands by L D L' (bands overwritten), x over `right`. */
function solvePentadiagonal(d0: Float64Array, d1: Float64Array, d2: Float64Array, right: Float64Array): void {
  const n = d0.length;
  for (let i = 0; i < n; i++) {
    const l1 = d1[i] / d0[i];
    const l2 = d2[i] / d0[i];
    if (i + 1 < n) {
      d0[i + 1] -= l1 * d1[i];
      d1[i + 1] -= l1 * d2[i];
      right[i + 1] -= l1 * right[i];
    }
    if (i + 2 < n) {
      d0[i + 2] -= l2 * d2[i];
      right[i + 2] -= l2 * right[i];
    }
    d1[i] = l1;
    d2[i] = l2;
  }
  for (let i = 0; i < n; i++) right[i] /= d0[i];
  for (let i = n - 1; i >= 0; i--) {
    if (i + 1 < n) right[i] -= d1[i] * right[i + 1];
    if (i + 2 < n) right[i] -= d2[i] * right[i + 2];
  }
}
