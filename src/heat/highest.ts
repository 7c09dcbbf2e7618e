/** Largest of the known values; NaN where there is none. */
export function highest(values: ArrayLike<number>): number {
  let most = Number.NaN;
  for (let k = 0; k < values.length; k++) {
    const value = values[k];
    if (!(value <= most) && !Number.isNaN(value)) most = value;
  }
  return most;
}
