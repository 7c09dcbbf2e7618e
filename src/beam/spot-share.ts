// Share of a spot's power within straight borders, in closed form: a Gaussian of 1/e2 radius 1 and a top-hat disc of radius
// 1. An ellipse counts by its half extent across the border, for stretching along it changes no share.
import { acos, erf } from '../geometry/elementary.ts';
import type { Profile } from '../model/optics.ts';

/** Share of the power on the near side of a straight border at `x` radii from the centre; x < 0: the centre lies beyond. */
export function halfPlaneShare(profile: Profile, x: number): number {
  if (profile === 'gaussian') return (1 + erf(Math.SQRT2 * x)) / 2;
  if (x >= 1) return 1;
  if (x <= -1) return 0;
  return 1 - (acos(x) - x * Math.sqrt(1 - x * x)) / Math.PI;
}

/** Share of the power between two borders at `left` radii to one side and `right` radii to the other (negative: beyond the centre). */
export function stripShare(profile: Profile, left: number, right: number): number {
  return Math.max(0, halfPlaneShare(profile, left) - halfPlaneShare(profile, -right));
}

/** Shares of the spot that fall on the joint face, n each. */
export interface Capture {
  readonly nominal: Float64Array;
  /** At the worse end of the lateral tolerance. */
  readonly lateral: Float64Array;
}

/**
 * Share of spots of half extent `across` (n, mm) between borders at `left` and `right` (n, mm; NaN: none near), taken as straight
 * and along the seam; and when the spot lies `tolerance` mm off to its worse side. Nothing where the seam is `astray` (n, 1).
 */
export function spotCapture(
  profile: Profile,
  borders: { readonly left: Float64Array; readonly right: Float64Array; readonly astray: Uint8Array },
  across: Float64Array,
  tolerance: number,
): Capture {
  const n = across.length;
  const capture = { nominal: new Float64Array(n), lateral: new Float64Array(n) };
  for (let i = 0; i < n; i++) {
    if (borders.astray[i]) continue;
    const left = Number.isNaN(borders.left[i]) ? Number.POSITIVE_INFINITY : borders.left[i];
    const right = Number.isNaN(borders.right[i]) ? Number.POSITIVE_INFINITY : borders.right[i];
    const share = (shift: number): number =>
      stripShare(profile, (left - shift) / across[i], (right + shift) / across[i]);
    capture.nominal[i] = share(0);
    capture.lateral[i] = Math.min(share(tolerance), share(-tolerance));
  }
  return capture;
}
