// Where sampled quantities jump rather than change: a line that runs into an arc changes its curvature at once.
import type { Layout } from './differences.ts';

/** A step this many times steeper than those two before and two behind it is a jump, or half of one, not a slope. */
const STEEPER = 4;

/** A step below this share of the largest value is no jump: rounding and a fitted surface's jitter step as well. */
const LEAST_SHARE = 0.02;

/**
 * 1 at a sample that a jump leads to from the sample before it, n; `values` are width x n. A jump that a sample happens to
 * stand in counts on both sides of it. Beside an unknown (NaN) there is none. On an open run the first sample has none.
 */
export function findJumps(layout: Pick<Layout, 's' | 'period'>, values: Float64Array, width: number): Uint8Array {
  const { s, period } = layout;
  const n = s.length;
  const closed = period > 0;
  const jumps = new Uint8Array(n);
  let most = 0;
  for (let i = 0; i < n; i++) {
    let square = 0;
    for (let k = width * i; k < width * (i + 1); k++) square += values[k] * values[k];
    if (square > most) most = square;
  }
  /** Length of the change from the sample before, and that per mm. */
  const change = (i: number): number => {
    const to = width * ((i + n) % n);
    const from = width * ((i + n - 1) % n);
    let square = 0;
    for (let k = 0; k < width; k++) square += (values[to + k] - values[from + k]) ** 2;
    return Math.sqrt(square);
  };
  const way = (i: number): number => {
    const at = (i + n) % n;
    return at > 0 ? s[at] - s[at - 1] : s[0] + period - s[n - 1];
  };
  const has = (i: number): boolean => closed || (i > 0 && i < n);
  for (let i = closed ? 0 : 1; i < n; i++) {
    const step = change(i);
    if (!(step > LEAST_SHARE * Math.sqrt(most))) continue;
    const slope = step / way(i);
    const before = has(i - 2) ? change(i - 2) / way(i - 2) : 0;
    const after = has(i + 2) ? change(i + 2) / way(i + 2) : 0;
    if (slope > STEEPER * before && slope > STEEPER * after) jumps[i] = 1;
  }
  return jumps;
}
