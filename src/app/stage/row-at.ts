// Finds rows of a seam by time or by arc length.

/** The last index whose value is not above `wanted`; 0 where all are. `values` do not decrease; NaN ends the search. */
export function rowAt(values: ArrayLike<number>, wanted: number): number {
  let low = 0;
  let high = values.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (values[middle] <= wanted) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The index whose value is closest to `wanted`. */
export function rowNear(values: ArrayLike<number>, wanted: number): number {
  const below = rowAt(values, wanted);
  const above = Math.min(values.length - 1, below + 1);
  return Math.abs(values[above] - wanted) < Math.abs(values[below] - wanted) ? above : below;
}
