// The order in which stations are driven: run-in, weld, overlap on a closed seam, run-out.
import { PHASES, type Phase, type Rows } from '../model/path.ts';

/** A grid point this little beyond a stretch's end still belongs to it, mm. */
const SAME_PLACE = 1e-9;

const phaseNumber = (phase: Phase): number => PHASES.indexOf(phase);

/**
 * Rows of a closed seam: weld s in [0, L) on every station, run-in in [-runIn, 0) and overlap in [L, L + overlap] on the
 * same stations, run-out as far as `runOut` goes. `s` are the stations' arc lengths, all lengths in mm.
 */
export function layClosedRows(s: Float64Array, length: number, runIn: number, runOut: number, overlap: number): Rows {
  const n = s.length;
  const arcAt = (i: number) => s[i - n * Math.floor(i / n)] + length * Math.floor(i / n);
  const weldEnd = length + overlap;
  let first = 0;
  while (arcAt(first - 1) >= -runIn - SAME_PLACE) first--;
  let last = n;
  while (arcAt(last + 1) <= weldEnd + runOut + SAME_PLACE) last++;
  return collectRows(last - first + 1, (row) => {
    const i = first + row;
    const arc = arcAt(i);
    const phase = i < 0 ? 'run-in' : i < n ? 'weld' : arc <= weldEnd + SAME_PLACE ? 'overlap' : 'run-out';
    return { s: arc, station: i - n * Math.floor(i / n), phase };
  });
}

/** Rows of an open seam: its stations once each; those before 0 are run-in, those beyond L run-out. */
export function layOpenRows(s: Float64Array, length: number): Rows {
  return collectRows(s.length, (row) => {
    const phase = s[row] < 0 ? 'run-in' : s[row] > length ? 'run-out' : 'weld';
    return { s: s[row], station: row, phase };
  });
}

function collectRows(count: number, at: (row: number) => { s: number; station: number; phase: Phase }): Rows {
  const rows = {
    count,
    s: new Float64Array(count),
    station: new Uint32Array(count),
    phase: new Uint8Array(count),
  };
  for (let row = 0; row < count; row++) {
    const { s, station, phase } = at(row);
    rows.s[row] = s;
    rows.station[row] = station;
    rows.phase[row] = phaseNumber(phase);
  }
  return rows;
}
