// A tool path with fewer rows, for a first look: neighbours as far apart as a distance and an angle allow.
import { cos } from '../geometry/elementary.ts';
import type { ToolPath } from './tool-path.ts';

export interface ThinPath {
  readonly path: ToolPath;
  /** Row of the whole path that each row was. */
  readonly rows: Uint32Array;
}

/**
 * Keeps the first and last row, breaks, and of the rest as few as leave neighbours at most `distance` (mm) and `angle` (rad,
 * of the tool frame) apart, or next to each other. Of a seam driven all round only the round is kept: the rows before
 * and after it stand on the same stations.
 */
export function thinToolPath(path: ToolPath, distance: number, angle: number): ThinPath {
  const first = path.round?.from ?? 0;
  const last = path.round?.to ?? path.count - 1;
  const least = cos(angle / 2);
  const kept = [first];
  for (let i = first + 1; i <= last; i++) {
    const before = kept[kept.length - 1];
    const next = Math.min(i + 1, last);
    const far = path.s[next] - path.s[before] > distance || sameTurn(path.frame, 4 * before, 4 * next) < least;
    if (i === last || far || path.breaks[i] === 1) kept.push(i);
  }
  const rows = Uint32Array.from(kept);
  const thin = {
    count: rows.length,
    s: Float64Array.from(rows, (i) => path.s[i]),
    position: pick(path.position, 3, rows),
    frame: pick(path.frame, 4, rows),
    breaks: Uint8Array.from(rows, (i) => path.breaks[i]),
    round: path.round === null ? null : { from: 0, to: rows.length - 1 },
  };
  return { path: thin, rows };
}

/** Cosine of half the angle between two unit quaternions q[a..] and q[b..]. */
function sameTurn(q: Float64Array, a: number, b: number): number {
  return Math.abs(q[a] * q[b] + q[a + 1] * q[b + 1] + q[a + 2] * q[b + 2] + q[a + 3] * q[b + 3]);
}

function pick(values: Float64Array, width: number, rows: Uint32Array): Float64Array {
  const out = new Float64Array(width * rows.length);
  rows.forEach((row, i) => {
    out.set(values.subarray(width * row, width * (row + 1)), width * i);
  });
  return out;
}
