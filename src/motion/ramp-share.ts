// The share of full power that the ramps ask for along the rows: up over the first millimetres of the weld, down over the
// last ones of the overlap (closed seam) or of the weld (open seam).
import { PHASES } from '../model/path.ts';
import type { Rows } from '../model/path.ts';

const WELD = PHASES.indexOf('weld');
const OVERLAP = PHASES.indexOf('overlap');

/** 1 where the beam is on, m: on all rows of weld and overlap. */
export function beamOn(rows: Rows): Uint8Array {
  return rows.phase.map((phase) => (phase === WELD || phase === OVERLAP ? 1 : 0));
}

/**
 * Share 0 .. 1 at each row, m; 0 with the beam off. Linear from 0 at the first row with the beam on to 1 after `ramp` mm,
 * and from 1 at `ramp` mm before the last row with the beam on to 0 there; the smaller of both where they meet.
 */
export function rampShare(rows: Rows, beam: Uint8Array, ramp: number): Float64Array {
  const first = rows.s[beam.indexOf(1)];
  const last = rows.s[beam.lastIndexOf(1)];
  const rise = (way: number) => (ramp > 0 ? Math.min(1, way / ramp) : 1);
  return rows.s.map((s, i) => (beam[i] ? Math.min(rise(s - first), rise(last - s)) : 0));
}
