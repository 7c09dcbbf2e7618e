// The line of a quantity over arc length. Where more rows than pixels stand side by side only the least and the most of each pixel
// are drawn, so that no peak is lost and a long seam costs no more than a short one.
import { line } from 'd3-shape';

/** SVG path of `values` over `s`; gaps where a value is not known. */
export function lineShape(
  s: ArrayLike<number>,
  values: ArrayLike<number>,
  x: (s: number) => number,
  y: (value: number) => number,
): string {
  const rows = thinRows(s, values, x);
  const shape = line<number>()
    .defined((row) => Number.isFinite(values[row]))
    .x((row) => x(s[row]))
    .y((row) => y(values[row]))
    .digits(1);
  return shape(rows) ?? '';
}

/** Rows to draw, in order: all where there is room, else first, least, most and last of each pixel, and one of every gap. */
export function thinRows(s: ArrayLike<number>, values: ArrayLike<number>, x: (s: number) => number): number[] {
  const count = s.length;
  const width = Math.abs(x(s[count - 1]) - x(s[0]));
  if (count <= 2 * width) return Array.from({ length: count }, (_, row) => row);
  const kept: number[] = [];
  for (let from = 0; from < count; ) {
    const pixel = Math.floor(x(s[from]));
    let [least, most, gap] = [-1, -1, -1];
    let row = from;
    for (; row < count && Math.floor(x(s[row])) === pixel; row++) {
      if (!Number.isFinite(values[row])) gap = row;
      else {
        if (least < 0 || values[row] < values[least]) least = row;
        if (most < 0 || values[row] > values[most]) most = row;
      }
    }
    const wanted = new Set([from, least, most, gap, row - 1].filter((k) => k >= 0));
    kept.push(...[...wanted].sort((a, b) => a - b));
    from = row;
  }
  return kept;
}

/** Value at arc length `at`, straight between rows; NaN beyond the ends and beside a gap. */
export function valueBetween(s: ArrayLike<number>, values: ArrayLike<number>, at: number): number {
  const last = s.length - 1;
  if (!(at >= s[0] && at <= s[last])) return Number.NaN;
  let [low, high] = [0, last];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (s[middle] <= at) low = middle;
    else high = middle;
  }
  const span = s[high] - s[low];
  const share = span > 0 ? (at - s[low]) / span : 0;
  if (share === 0) return values[low];
  return share === 1 ? values[high] : values[low] + share * (values[high] - values[low]);
}
