// What it costs a field of beam axes a(s) to turn: half the integral of |a'|^2 + reach^2 |a''|^2 over arc length, by
// differences. The first part pulls the field taut like a string; the second rounds the string's bends over about `reach`.
//
// As a quadratic form it is a matrix of numbers (the same for x, y and z) with two neighbours to either side, periodic on a
// closed seam. Beyond the ends of an open seam the axis keeps still.

export interface Stiffness {
  /** Number of axes, n. */
  readonly count: number;
  readonly closed: boolean;
  /** Entries (i, i), (i, i + 1), (i, i + 2), n each, 1/mm; indices beyond the end go round on a closed seam, are 0 on an open one. */
  readonly own: Float64Array;
  readonly next: Float64Array;
  readonly afterNext: Float64Array;
}

/** `gap` (n, mm) is the distance from each station to the next; the last one counts on a closed seam only. `reach` in mm. */
export function axisStiffness(gap: Float64Array, closed: boolean, reach: number): Stiffness {
  const count = gap.length;
  const own = new Float64Array(count);
  const next = new Float64Array(count);
  const afterNext = new Float64Array(count);
  const links = closed ? count : count - 1;
  for (let i = 0; i < links; i++) {
    const j = (i + 1) % count;
    own[i] += 1 / gap[i];
    own[j] += 1 / gap[i];
    next[i] -= 1 / gap[i];
  }
  for (let j = 0; j < count; j++) {
    const before = closed || j > 0 ? 1 / gap[(j + count - 1) % count] : 0;
    const behind = closed || j < count - 1 ? 1 / gap[j] : 0;
    // One-sided at an end, where the slope beyond is zero over as long a gap.
    const cell = before > 0 && behind > 0 ? (1 / before + 1 / behind) / 2 : 1 / (before + behind);
    const weight = (reach * reach) / cell;
    const i = (j + count - 1) % count;
    own[j] += weight * (before + behind) ** 2;
    if (before > 0) own[i] += weight * before * before;
    if (behind > 0) own[(j + 1) % count] += weight * behind * behind;
    if (before > 0) next[i] -= weight * before * (before + behind);
    if (behind > 0) next[j] -= weight * behind * (before + behind);
    if (before > 0 && behind > 0) afterNext[i] += weight * before * behind;
  }
  return { count, closed, own, next, afterNext };
}

/** Stiffness times the field of axes (3 x n) to `out`, the gradient of the cost; returns the cost, 1/mm. */
export function bendingForce(stiffness: Stiffness, axis: Float64Array, out: Float64Array): number {
  const { count, closed, next, afterNext } = stiffness;
  out.fill(0);
  let cost = 0;
  for (let i = 0; i < count; i++) {
    if (closed || i + 1 < count) cost += pull(next[i], axis, 3 * i, 3 * ((i + 1) % count), out);
    if (closed || i + 2 < count) cost += pull(afterNext[i], axis, 3 * i, 3 * ((i + 2) % count), out);
  }
  return cost;
}

/** Rows sum to zero, so each pair counts by its difference: small turns are not lost in rounding. */
function pull(weight: number, axis: Float64Array, i: number, j: number, out: Float64Array): number {
  let square = 0;
  for (let c = 0; c < 3; c++) {
    const difference = axis[j + c] - axis[i + c];
    out[i + c] += weight * difference;
    out[j + c] -= weight * difference;
    square += difference * difference;
  }
  return (-weight * square) / 2;
}
