// Width of the seam: how far across it the bond plane got above a threshold, read between the ribbon's lines by cubics.
import type { Section } from './rise.ts';

/** Where the values stand, and how far the joint face reaches, mm: towards positive (left) and negative (right). */
type Across = Pick<Section, 'first' | 'step' | 'left' | 'right'>;

/**
 * Width, mm, of the stretch round the highest of `values` on which they exceed `threshold`, no further than the joint face
 * reaches; off it values are NaN. 0 where none exceeds, NaN where none is known.
 */
export function weldWidth(values: Float64Array, across: Across, threshold: number): number {
  const { first, step, left, right } = across;
  const n = values.length;
  let top = -1;
  for (let j = 0; j < n; j++) if (values[j] > threshold && (top < 0 || values[j] > values[top])) top = j;
  if (top < 0) return values.every(Number.isNaN) ? Number.NaN : 0;
  let up = top;
  while (up + 1 < n && values[up + 1] > threshold) up++;
  let down = top;
  while (down > 0 && values[down - 1] > threshold) down--;
  const high = up + 1 < n && !Number.isNaN(values[up + 1]) ? up + crossingAfter(values, up, 1, threshold) : up;
  const low = down > 0 && !Number.isNaN(values[down - 1]) ? down - crossingAfter(values, down, -1, threshold) : down;
  // Off the joint face there are no values: there the seam ends at the wall, not at the last line before it.
  const highest =
    up + 1 < n && !Number.isNaN(values[up + 1]) ? first + high * step : Math.min(left, first + (up + 1) * step);
  const lowest =
    down > 0 && !Number.isNaN(values[down - 1]) ? first + low * step : Math.max(-right, first + (down - 1) * step);
  return Math.min(left, highest) - Math.max(-right, lowest);
}

/** How far, 0 .. 1, from j towards j + way the cubic through four neighbours falls to the threshold. */
function crossingAfter(values: Float64Array, j: number, way: 1 | -1, threshold: number): number {
  const at = (k: number) => values[j + way * k];
  const [b, c] = [at(0), at(1)];
  const a = known(at(-1), 2 * b - c);
  const d = known(at(2), 2 * c - b);
  const cubic = (f: number) =>
    (-f * (f - 1) * (f - 2) * a) / 6 +
    ((f + 1) * (f - 1) * (f - 2) * b) / 2 -
    ((f + 1) * f * (f - 2) * c) / 2 +
    ((f + 1) * f * (f - 1) * d) / 6;
  let [low, high] = [0, 1];
  for (let turn = 0; turn < 30; turn++) {
    const middle = (low + high) / 2;
    if (cubic(middle) > threshold) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function known(value: number | undefined, otherwise: number): number {
  return value === undefined || Number.isNaN(value) ? otherwise : value;
}
