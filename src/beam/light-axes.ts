// Two axes across the light, for marginal rays and polarisations: the direction of travel as seen along the beam, and b.
import { copy, cross, orthonormalise } from '../geometry/vector.ts';

/** Unit vectors across the unit light[k..k+2] and each other: axes[0..2] nearest to travel t[j..j+2], axes[3..5] = light x axes[0..2]. */
export function lightAxes(light: Float64Array, k: number, t: Float64Array, j: number, axes: Float64Array): void {
  copy(t, j, axes, 0);
  if (!(orthonormalise(axes, 0, light, k) > 1e-9)) axes.fill(Number.NaN);
  cross(light, k, axes, 0, axes, 3);
}
