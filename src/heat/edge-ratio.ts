// How unequal the light is across the seam: the ratio of the fluence at its two edges. In a bend the inner edge gets more, for a
// round spot sqrt[(1 + k w / 2) / (1 - k w / 2)] times the outer one.
import type { Heat } from '../model/heat.ts';
import type { Path } from '../model/path.ts';

type Lines = Pick<Heat, 'across' | 'offset' | 'fluence'>;
type Bends = Pick<Path, 'count' | 'onSeam' | 'geodesicCurvature'>;

/** An edge farther out than this share of the spot's radius gets too little light to be compared by its fluence. */
const WELL_INSIDE = 0.9;

/**
 * Energy at the edge of the seam (width mm) to the side of b over that at the other edge, at each station, n: above 1 where the seam
 * bends towards b, NaN off the seam or where the light is not known. From the fluence of the real spot where heat is known and both
 * edges lie well inside the spot (radius across mm, n), else from the bend alone.
 */
export function edgeRatio(path: Bends, heat: Lines | null, spotAcross: Float64Array, width: number): Float64Array {
  const { count, onSeam, geodesicCurvature } = path;
  return Float64Array.from({ length: count }, (_, i) => {
    if (onSeam[i] === 0) return Number.NaN;
    if (heat === null || !(width / 2 <= WELL_INSIDE * spotAcross[i]))
      return roundSpotRatio(geodesicCurvature[i], width);
    const [left, right] = [fluenceAt(heat, i, width / 2), fluenceAt(heat, i, -width / 2)];
    return left > 0 && right > 0 ? left / right : Number.NaN;
  });
}

/**
 * The same for a round spot led along a bend of geodesic curvature k: sqrt[(1 + k w / 2) / (1 - k w / 2)] (fluence of a round Gaussian
 * spot led round a circle, E' (4 R / w0^2) exp(-2 (R - r)^2 / w0^2) I0e(4 R r / w0^2), for a spot small against the radius: derived,
 * R 10 and +-1 mm give 1.1055). Infinite, or 0, where the seam's inner edge reaches the bend's centre.
 */
export function roundSpotRatio(geodesicCurvature: number, width: number): number {
  const half = (geodesicCurvature * width) / 2;
  if (half >= 1) return Number.POSITIVE_INFINITY;
  if (half <= -1) return 0;
  return Math.sqrt((1 + half) / (1 - half));
}

/** Fluence at y mm beside the seam, by the cubic through the four lines round it; NaN beyond the ribbon. */
function fluenceAt({ across, offset, fluence }: Lines, i: number, y: number): number {
  const x = (y - offset[0]) / (offset[1] - offset[0]);
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
}
