// Lead and tilt of the head: how its direction leans away from a surface normal or a fixed direction.
import { cos, sin } from '../geometry/elementary.ts';
import { dot, set } from '../geometry/vector.ts';

/** Sines and cosines of lead and tilt. */
export interface Lean {
  readonly leadCos: number;
  readonly leadSin: number;
  readonly tiltCos: number;
  readonly tiltSin: number;
}

/** `lead` and `tilt` in rad. */
export function createLean(lead: number, tilt: number): Lean {
  return { leadCos: cos(lead), leadSin: sin(lead), tiltCos: cos(tilt), tiltSin: sin(tilt) };
}

/**
 * Turns the unit direction v[i..i+2] in place: by the lead about b = n x t (> 0 moves a direction along the normal n towards
 * travel: for the head's direction, the head leans forward and its light points backward along the seam), then by the tilt
 * about t (> 0 moves a direction along n towards b). t and n are unit vectors at right angles, at t[j..j+2], n[j..j+2].
 */
export function leanAxis(v: Float64Array, i: number, t: Float64Array, n: Float64Array, j: number, lean: Lean): void {
  const bx = n[j + 1] * t[j + 2] - n[j + 2] * t[j + 1];
  const by = n[j + 2] * t[j] - n[j] * t[j + 2];
  const bz = n[j] * t[j + 1] - n[j + 1] * t[j];
  const along = dot(v, i, t, j);
  const up = dot(v, i, n, j);
  const across = v[i] * bx + v[i + 1] * by + v[i + 2] * bz;
  const { leadCos, leadSin, tiltCos, tiltSin } = lean;
  const ledAlong = leadCos * along + leadSin * up;
  const ledUp = leadCos * up - leadSin * along;
  const tiltedAcross = tiltCos * across + tiltSin * ledUp;
  const tiltedUp = tiltCos * ledUp - tiltSin * across;
  set(
    v,
    i,
    ledAlong * t[j] + tiltedAcross * bx + tiltedUp * n[j],
    ledAlong * t[j + 1] + tiltedAcross * by + tiltedUp * n[j + 1],
    ledAlong * t[j + 2] + tiltedAcross * bz + tiltedUp * n[j + 2],
  );
}
