// Where layer and joint count as touching. Gaps close under clamping force up to the contact distance; a single number would
// let the rounding of a model toggle the answer along the seam, so a stretch has to earn its gap.

/** A stretch of gap goes on down to this share of the contact distance. */
const HOLD = 0.8;

/**
 * Reported gap, mm, from the raw one (n, mm; negative where bodies overlap, NaN where unknown): a stretch is a gap where it
 * exceeds `contact` somewhere, and as far to either side as it stays above 0.8 of it; all else that is known is contact, 0. The
 * answer depends neither on where the seam starts nor on its direction.
 */
export function settleContact(rawGap: Float64Array, contact: number, closed: boolean): Float64Array {
  const n = rawGap.length;
  const gap = new Float64Array(n);
  for (let i = 0; i < n; i++) gap[i] = Number.isNaN(rawGap[i]) ? Number.NaN : rawGap[i] > contact ? rawGap[i] : 0;
  const spread = (from: number, to: number): void => {
    if (gap[to] === 0 && gap[from] > 0 && rawGap[to] > HOLD * contact) gap[to] = rawGap[to];
  };
  const rounds = closed ? 2 * n : n;
  for (let m = 1; m < rounds; m++) spread((m - 1) % n, m % n);
  for (let m = rounds - 1; m > 0; m--) spread(m % n, (m - 1) % n);
  return gap;
}
