// How unequal the light is across the seam: the ratio of the fluence at its two edges. In a bend the inner edge gets more, for a
// round spot sqrt[(1 + k w / 2) / (1 - k w / 2)] times the outer one.
import type { Heat } from '../model/heat.ts';

type Lines = Pick<Heat, 'count' | 'across' | 'offset' | 'fluence'>;

/**
 * Fluence at half a `width` (mm) to the side of b over that to the other side, at each station, n: above 1 where the seam bends
 * towards b. NaN where no light falls, or the width reaches beyond the ribbon.
 */
export function edgeRatio({ count, across, offset, fluence }: Lines, width: number): Float64Array {
  const step = offset[1] - offset[0];
  const at = (i: number, y: number): number => {
    const x = (y - offset[0]) / step;
    const j = Math.min(across - 3, Math.max(1, Math.floor(x)));
    if (!(x >= 0 && x <= across - 1)) return Number.NaN;
    const f = x - j;
    const k = i * across + j;
    return (
      (-f * (f - 1) * (f - 2) * fluence[k - 1]) / 6 +
      ((f + 1) * (f - 1) * (f - 2) * fluence[k]) / 2 -
      ((f + 1) * f * (f - 2) * fluence[k + 1]) / 2 +
      ((f + 1) * f * (f - 1) * fluence[k + 2]) / 6
    );
  };
  return Float64Array.from({ length: count }, (_, i) => {
    const [left, right] = [at(i, width / 2), at(i, -width / 2)];
    return left > 0 && right > 0 ? left / right : Number.NaN;
  });
}
