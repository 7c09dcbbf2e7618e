// The shares of power for the beam's own polarisation, once the tool frames say how it stands.
import { atan2, cos, sin } from '../geometry/elementary.ts';
import { dot } from '../geometry/vector.ts';
import { toMatrix } from '../geometry/quaternion.ts';
import type { Optics } from '../model/optics.ts';
import type { Path } from '../model/path.ts';
import { lightAxes } from './light-axes.ts';
import type { Traced } from './trace-stations.ts';

export interface PassedShare {
  /** n each, 0 .. 1 */
  readonly transmitted: Float64Array;
  readonly throughGap: Float64Array;
}

/** Shares at n stations with tool frames `frame` (4 x n): the mean for unpolarised light, else at the angle of its plane. */
export function passedShare(
  path: Path,
  traced: Traced,
  frame: Float64Array,
  polarisation: Optics['polarisation'],
): PassedShare {
  const { count, tangent } = path;
  const out = { transmitted: new Float64Array(count), throughGap: new Float64Array(count) };
  const axes = new Float64Array(6);
  const rows = new Float64Array(9);
  const x = new Float64Array(3);
  for (let i = 0; i < count; i++) {
    let even = 0;
    let odd = 0;
    if (polarisation !== 'none') {
      lightAxes(traced.axis, 3 * i, tangent, 3 * i, axes);
      toMatrix(frame, 4 * i, rows, 0);
      for (let c = 0; c < 3; c++) x[c] = rows[3 * c];
      const angle = polarisation.angle + atan2(dot(x, 0, axes, 3), dot(x, 0, axes, 0));
      even = cos(2 * angle);
      odd = sin(2 * angle);
    }
    out.transmitted[i] = at(traced.transmitted, 3 * i, even, odd);
    out.throughGap[i] = at(traced.throughGap, 3 * i, even, odd);
  }
  return out;
}

function at(share: Float64Array, k: number, even: number, odd: number): number {
  return share[k] + even * share[k + 1] + odd * share[k + 2];
}
