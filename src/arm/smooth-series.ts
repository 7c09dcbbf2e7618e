// Cubic smoothing spline of one series, natural at its ends or periodic (Reinsch 1967, Numer. Math. 10, 177), with the most
// smoothing that keeps within a bracket about the data.

/**
 * Values of the smoothest spline at the knots whose largest distance from `value` is at most `bracket`. `s` (m, strictly
 * increasing); weights follow the spacing, so that uneven knots weigh by the length they stand for. `period`: length after
 * which the series repeats, 0 for one with ends. Fewer than three values (periodic: six) are returned as they are.
 */
export function smoothWithin(s: Float64Array, value: Float64Array, bracket: number, period: number): Float64Array {
  const m = s.length;
  if (m < (period > 0 ? 6 : 3)) return Float64Array.from(value);
  const span = period > 0 ? period : s[m - 1] - s[0];
  // From no smoothing worth the name to a straight line, on a scale of fourth powers of length.
  let low = 0;
  let best: Float64Array = Float64Array.from(value);
  let high = 60;
  for (let step = 0; step < 40; step++) {
    const exponent = (low + high) / 2;
    const smoothing = (span / 2 ** 12) ** 4 * powerOfTwo(exponent);
    const smoothed = reinsch(s, value, smoothing, period);
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

/**
 * Minimiser of sum h_i (f_i - y_i)^2 + smoothing x integral f''^2, at the knots. Its second derivatives g solve
 * (R + smoothing Q' W^-1 Q) g = Q' y, and f = y - smoothing W^-1 Q g; column k of Q takes the second difference at knot k.
 */
function reinsch(s: Float64Array, y: Float64Array, smoothing: number, period: number): Float64Array {
  const m = s.length;
  const round = period > 0;
  const gap = new Float64Array(m);
  for (let i = 0; i < m; i++) gap[i] = i < m - 1 ? s[i + 1] - s[i] : round ? s[0] + period - s[i] : 0;
  const before = (k: number): number => (k === 0 ? m - 1 : k - 1);
  const after = (k: number): number => (k === m - 1 ? 0 : k + 1);
  const inverseWeight = gap.map((h, i) => 2 / (h + gap[before(i)]));
  // Natural: second derivatives at the inner knots only; periodic: at all.
  const first = round ? 0 : 1;
  const n = round ? m : m - 2;
  const d0 = new Float64Array(n);
  const d1 = new Float64Array(n);
  const d2 = new Float64Array(n);
  const right = new Float64Array(n);
  for (let c = 0; c < n; c++) {
    const k = c + first;
    const k0 = before(k);
    const k1 = after(k);
    const a = 1 / gap[k0];
    const b = 1 / gap[k];
    const next = -b - 1 / gap[k1];
    right[c] = a * y[k0] - (a + b) * y[k] + b * y[k1];
    d0[c] =
      (gap[k0] + gap[k]) / 3 +
      smoothing * (a * a * inverseWeight[k0] + (a + b) * (a + b) * inverseWeight[k] + b * b * inverseWeight[k1]);
    if (!round && c + 1 === n) continue;
    d1[c] = gap[k] / 6 + smoothing * b * (next * inverseWeight[k1] - (a + b) * inverseWeight[k]);
    if (!round && c + 2 === n) continue;
    d2[c] = (smoothing * b * inverseWeight[k1]) / gap[k1];
  }
  if (round) solveRound(d0, d1, d2, right);
  else solveBands(d0, d1, d2, n, [right]);
  const f = Float64Array.from(y);
  for (let c = 0; c < n; c++) {
    const k = c + first;
    const a = 1 / gap[before(k)];
    const b = 1 / gap[k];
    f[before(k)] -= smoothing * inverseWeight[before(k)] * a * right[c];
    f[k] += smoothing * inverseWeight[k] * (a + b) * right[c];
    f[after(k)] -= smoothing * inverseWeight[after(k)] * b * right[c];
  }
  return f;
}

/**
 * Solves a symmetric positive definite system of five bands, its first n rows, by L D L' (bands overwritten) for several
 * right-hand sides, overwritten by the solutions. d1[i] stands beside row i and i + 1, d2[i] beside i and i + 2.
 */
function solveBands(
  d0: Float64Array,
  d1: Float64Array,
  d2: Float64Array,
  n: number,
  sides: readonly Float64Array[],
): void {
  for (let i = 0; i < n; i++) {
    const l1 = i + 1 < n ? d1[i] / d0[i] : 0;
    const l2 = i + 2 < n ? d2[i] / d0[i] : 0;
    if (i + 1 < n) {
      d0[i + 1] -= l1 * d1[i];
      if (i + 2 < n) {
        d1[i + 1] -= l1 * d2[i];
        d0[i + 2] -= l2 * d2[i];
      }
    }
    for (const x of sides) {
      if (i + 1 < n) x[i + 1] -= l1 * x[i];
      if (i + 2 < n) x[i + 2] -= l2 * x[i];
    }
    d1[i] = l1;
    d2[i] = l2;
  }
  for (const x of sides) {
    for (let i = 0; i < n; i++) x[i] /= d0[i];
    for (let i = n - 1; i >= 0; i--) {
      if (i + 1 < n) x[i] -= d1[i] * x[i + 1];
      if (i + 2 < n) x[i] -= d2[i] * x[i + 2];
    }
  }
}

/** As `solveBands` for bands that go round: the last two unknowns are set apart as a border and eliminated at the end. */
function solveRound(d0: Float64Array, d1: Float64Array, d2: Float64Array, right: Float64Array): void {
  const n = d0.length;
  const p = n - 2;
  const q = n - 1;
  const besideP = new Float64Array(p);
  const besideQ = new Float64Array(p);
  besideP[p - 2] += d2[p - 2];
  besideP[p - 1] += d1[p - 1];
  besideP[0] += d2[p];
  besideQ[p - 1] += d2[p - 1];
  besideQ[0] += d1[q];
  besideQ[1] += d2[q];
  const atP = Float64Array.from(besideP);
  const atQ = Float64Array.from(besideQ);
  const x = right.slice(0, p);
  const corner = [d0[p], d1[p], d0[q]];
  solveBands(d0, d1, d2, p, [atP, atQ, x]);
  const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, value, i) => sum + value * b[i], 0);
  const pp = corner[0] - dot(besideP, atP);
  const pq = corner[1] - dot(besideP, atQ);
  const qq = corner[2] - dot(besideQ, atQ);
  const rp = right[p] - dot(besideP, x);
  const rq = right[q] - dot(besideQ, x);
  const det = pp * qq - pq * pq;
  const xp = (rp * qq - rq * pq) / det;
  const xq = (rq * pp - rp * pq) / det;
  for (let i = 0; i < p; i++) right[i] = x[i] - atP[i] * xp - atQ[i] * xq;
  right[p] = xp;
  right[q] = xq;
}
