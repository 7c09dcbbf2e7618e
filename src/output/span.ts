// Smallest and largest of a quantity along a seam, and how they are written.

/** Null where none could be computed. */
export type Span = readonly [number, number] | null;

/** Over the places that count, times `scale`. */
export function spanOf(values: ArrayLike<number>, counts: (index: number) => boolean, scale: number): Span {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number;
    if (!counts(i) || Number.isNaN(value)) continue;
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  return low <= high ? [low * scale, high * scale] : null;
}

export function scaled(span: Span, factor: number): Span {
  return span === null ? null : [span[0] * factor, span[1] * factor];
}

/** "1.20 mm", or "1.20 to 1.31 mm". */
export function range(span: Span, digits: number, unit: string): string {
  if (span === null) return 'not computed';
  const low = span[0].toFixed(digits);
  const high = span[1].toFixed(digits);
  return low === high ? `${low} ${unit}` : `${low} to ${high} ${unit}`;
}
