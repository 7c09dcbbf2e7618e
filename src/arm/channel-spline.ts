// C2 cubic splines of many channels at once over given knots (de Boor 1978, A Practical Guide to Splines, ch. IV): joint
// angles, or the numbers of a pose, over arc length. Not-a-knot at both ends, which keeps the fourth order there.
import { solveTridiagonal } from '../geometry/spline.ts';

/** Values and slopes at the knots; between two knots each channel is the cubic that both fix. */
export interface ChannelSpline {
  /** Number of channels, w. */
  readonly width: number;
  /** Strictly increasing, m. */
  readonly knot: Float64Array;
  /** w x m. */
  readonly value: Float64Array;
  /** First derivatives at the knots, w x m. */
  readonly slope: Float64Array;
}

/**
 * Spline through `value` (w x m) at `knot` (m >= 1). Three knots give a parabola, two a straight line, one no slope (NaN).
 */
export function channelSpline(knot: Float64Array, value: Float64Array, width: number): ChannelSpline {
  const m = knot.length;
  const slope = new Float64Array(value.length);
  if (m === 1) return { width, knot, value, slope: slope.fill(Number.NaN) };
  const chord = (j: number, c: number): number =>
    (value[width * (j + 1) + c] - value[width * j + c]) / (knot[j + 1] - knot[j]);
  if (m === 2) {
    for (let c = 0; c < width; c++) slope[c] = slope[width + c] = chord(0, c);
    return { width, knot, value, slope };
  }
  if (m === 3) {
    for (let c = 0; c < width; c++) {
      const d0 = chord(0, c);
      const d1 = chord(1, c);
      const middle = (d0 * (knot[2] - knot[1]) + d1 * (knot[1] - knot[0])) / (knot[2] - knot[0]);
      slope[c] = 2 * d0 - middle;
      slope[width + c] = middle;
      slope[2 * width + c] = 2 * d1 - middle;
    }
    return { width, knot, value, slope };
  }
  const lower = new Float64Array(m);
  const diagonal = new Float64Array(m);
  const upper = new Float64Array(m);
  for (let i = 1; i < m - 1; i++) {
    const before = knot[i] - knot[i - 1];
    const after = knot[i + 1] - knot[i];
    lower[i] = after;
    diagonal[i] = 2 * (before + after);
    upper[i] = before;
    for (let c = 0; c < width; c++) slope[width * i + c] = 3 * (after * chord(i - 1, c) + before * chord(i, c));
  }
  for (const [end, near, far] of [
    [0, 0, 1],
    [m - 1, m - 2, m - 3],
  ]) {
    const h = knot[near + 1] - knot[near];
    const g = knot[far + 1] - knot[far];
    const inner = end === 0 ? upper : lower;
    diagonal[end] = g;
    inner[end] = h + g;
    for (let c = 0; c < width; c++) {
      const d0 = chord(near, c);
      const d1 = chord(far, c);
      slope[width * end + c] = ((3 * h + 2 * g) * g * d0 + h * h * d1) / (h + g);
    }
  }
  solveTridiagonal(lower, diagonal, upper, slope, width);
  return { width, knot, value, slope };
}

/** Values on span j at the share u (0 .. 1) of its length, to out[k..k+w-1]. */
export function valueOnSpan(spline: ChannelSpline, j: number, u: number, out: Float64Array, k: number): void {
  const { width, knot, value, slope } = spline;
  const h = knot[j + 1] - knot[j];
  const v = 1 - u;
  const a = v * v * (1 + 2 * u);
  const b = u * u * (3 - 2 * u);
  const p = h * u * v * v;
  const q = -h * u * u * v;
  for (let c = 0; c < width; c++) {
    const i = width * j + c;
    out[k + c] = a * value[i] + b * value[i + width] + p * slope[i] + q * slope[i + width];
  }
}

/** Second derivatives at knot i, to out[k..k+w-1]: from the span after it, at the last knot from the span before. */
export function secondAtKnot(spline: ChannelSpline, i: number, out: Float64Array, k: number): void {
  const { width, knot, value, slope } = spline;
  if (knot.length === 1) {
    out.fill(Number.NaN, k, k + width);
    return;
  }
  const last = i === knot.length - 1;
  const j = last ? i - 1 : i;
  const h = knot[j + 1] - knot[j];
  for (let c = 0; c < width; c++) {
    const at = width * j + c;
    const d = (value[at + width] - value[at]) / h;
    const m0 = slope[at];
    const m1 = slope[at + width];
    out[k + c] = last ? (2 * m0 + 4 * m1 - 6 * d) / h : (6 * d - 4 * m0 - 2 * m1) / h;
  }
}
