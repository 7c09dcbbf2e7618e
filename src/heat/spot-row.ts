// What one element of the moving source leaves on a row of points, after its heat has spread for a while: a Gaussian stays a
// Gaussian (Carslaw & Jaeger 1959, ch. 10), a disc turns into Marcum's function.
import { exp } from '../geometry/elementary.ts';
import { type DiscTable, lookUpShare } from './disc-share.ts';

/** A row of points beside each other: in the element's frame the point at y is (x0 + y xb, y0 + y yb, n0 + y nb), mm. */
export interface PointRow {
  x0: number;
  xb: number;
  y0: number;
  yb: number;
  n0: number;
  nb: number;
}

/**
 * Adds the share per area, 1/mm2, that a Gaussian of the 1/e2 radii `along` and `across` (mm) has at `count` points from
 * `first` on in steps of `step` after its heat has spread by `spread` = diffusivity x time (mm2). The exponent is quadratic in
 * the number of the point, so each value follows from its neighbour by two products, outward from the largest.
 */
export function addGaussianRow(
  out: Float64Array,
  count: number,
  first: number,
  step: number,
  row: PointRow,
  along: number,
  across: number,
  spread: number,
): void {
  const p = 2 / (along * along + 8 * spread);
  const q = 2 / (across * across + 8 * spread);
  const x = row.x0 + first * row.xb;
  const y = row.y0 + first * row.yb;
  const n = row.n0 + first * row.nb;
  const linear = 2 * step * (p * x * row.xb + q * (y * row.yb + n * row.nb));
  const square = step * step * (p * row.xb * row.xb + q * (row.yb * row.yb + row.nb * row.nb));
  const constant = p * x * x + q * (y * y + n * n);
  const top = Math.min(count - 1, Math.max(0, Math.round(-linear / (2 * square))));
  const exponent = constant + top * (linear + top * square);
  if (exponent > 60) return;
  const highest = (Math.sqrt(p * q) / Math.PI) * exp(-exponent);
  out[top] += highest;
  // From the largest on the values fall by narrow x tilt to one side and by narrow / tilt to the other, then ever faster.
  const narrow = exp(-square);
  const tilt = exp(-(linear + 2 * top * square));
  const bend = narrow * narrow;
  let value = highest;
  let ratio = narrow * tilt;
  for (let j = top + 1; j < count; j++) {
    value *= ratio;
    ratio *= bend;
    out[j] += value;
  }
  value = highest;
  ratio = narrow / tilt;
  for (let j = top - 1; j >= 0; j--) {
    value *= ratio;
    ratio *= bend;
    out[j] += value;
  }
}

/**
 * The same for a top-hat with the half axes `along` and `across`. An ellipse is taken as a disc in stretched coordinates whose
 * heat spreads by the mean of both axes: exact for a disc, and always right in the sum.
 *
 * The element stands for a stretch of `length` mm along the seam. Where the disc's edge is sharper than that, the mean over
 * the stretch is taken: an edge blurred by the deviation of an even spread, length / sqrt 12, as seen across the edge.
 */
export function addTopHatRow(
  out: Float64Array,
  count: number,
  first: number,
  step: number,
  row: PointRow,
  along: number,
  across: number,
  spread: number,
  length: number,
  table: DiscTable,
): void {
  const area = along * across;
  const scale = 1 / (Math.PI * area);
  const sharp = (2 * spread) / area;
  const stretch = (length * length) / (along * along);
  const ratio = stretch > 0 ? (4 * sharp) / stretch : Number.POSITIVE_INFINITY;
  const blur = stretch / (12 * (1 + ratio * ratio));
  const reach = (1 + 5 * Math.sqrt(sharp + blur)) ** 2;
  for (let j = 0; j < count; j++) {
    const at = first + j * step;
    const x = (row.x0 + at * row.xb) / along;
    const y = (row.y0 + at * row.yb) / across;
    const n = (row.n0 + at * row.nb) / across;
    const square = x * x + y * y + n * n;
    if (!(square < reach)) continue;
    const s = Math.sqrt(sharp + (square > 0 ? (blur * x * x) / square : 0));
    out[j] += scale * lookUpShare(table, Math.sqrt(square), s);
  }
}
