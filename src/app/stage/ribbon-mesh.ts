// The seam as a ribbon of its width: two points a row, along b = n x t, a little above the joint.
import { PHASES } from '../../model/path.ts';
import type { RibbonView, SeamView } from '../../output/view/plan-view.ts';

export interface RibbonMesh {
  /** 3 x points. */
  readonly position: Float32Array;
  /** Per point: row or point of the grid whose value it shows, arc length, mm, and place across, mm. */
  readonly source: Uint32Array;
  readonly along: Float32Array;
  readonly across: Float32Array;
  readonly index: Uint32Array;
}

const WELD = PHASES.indexOf('weld');
const OVERLAP = PHASES.indexOf('overlap');

/** First and last row of a phase; null where it has none. */
export function rowsOf(seam: SeamView, phase: (typeof PHASES)[number]): readonly [number, number] | null {
  const wanted = PHASES.indexOf(phase);
  const first = seam.phase.indexOf(wanted);
  return first < 0 ? null : [first, seam.phase.lastIndexOf(wanted)];
}

/** The weld, and where a closed seam is welded again past its start a narrower ribbon above it. */
export function seamRibbons(seam: SeamView): RibbonMesh[] {
  const lift = liftOf(seam);
  const weld = rowsOf(seam, 'weld');
  if (weld === null) return [];
  const overlap = rowsOf(seam, 'overlap');
  // The weld goes on to the first row of the overlap, so that the round is closed.
  const last = overlap === null ? weld[1] : Math.min(overlap[0], seam.count - 1);
  const main = rowRibbon(seam, weld[0], last, seam.width / 2, lift);
  return overlap === null ? [main] : [main, rowRibbon(seam, overlap[0], overlap[1], seam.width / 5, 2.5 * lift)];
}

/** Height of the ribbon above the joint, mm: enough not to shine through, little enough not to stand off. */
export const liftOf = (seam: SeamView): number => Math.max(0.03, 0.04 * seam.width);

/** Rows `from` to `to` as one strip. */
export function rowRibbon(seam: SeamView, from: number, to: number, halfWidth: number, lift: number): RibbonMesh {
  const rows = Math.max(0, to - from + 1);
  const position = new Float32Array(6 * rows);
  const source = new Uint32Array(2 * rows);
  const along = new Float32Array(2 * rows);
  const across = new Float32Array(2 * rows);
  const index = new Uint32Array(6 * Math.max(0, rows - 1));
  for (let k = 0; k < rows; k++) {
    const row = from + k;
    for (let side = 0; side < 2; side++) {
      const offset = side === 0 ? -halfWidth : halfWidth;
      sidePoint(seam, row, offset, lift, position, 3 * (2 * k + side));
      source[2 * k + side] = row;
      along[2 * k + side] = seam.s[row];
      across[2 * k + side] = offset;
    }
    if (k + 1 < rows) index.set([2 * k, 2 * k + 2, 2 * k + 3, 2 * k, 2 * k + 3, 2 * k + 1], 6 * k);
  }
  return { position, source, along, across, index };
}

/** Point beside a row, `offset` mm along b = n x t and `lift` mm along n. */
function sidePoint(
  { joint, normal, tangent }: SeamView,
  row: number,
  offset: number,
  lift: number,
  out: Float32Array,
  at: number,
): void {
  const k = 3 * row;
  for (let c = 0; c < 3; c++) {
    const d = (c + 1) % 3;
    const e = (c + 2) % 3;
    const b = normal[k + d] * tangent[k + e] - normal[k + e] * tangent[k + d];
    out[at + c] = joint[k + c] + offset * b + lift * normal[k + c];
  }
}

/** The heat ribbon's own grid; cells with an unknown corner are left out. */
export function heatRibbon(ribbon: RibbonView, values: Float64Array): RibbonMesh {
  const { stations, across, closed } = ribbon;
  const count = stations * across;
  const index: number[] = [];
  const known = (a: number, b: number, c: number, d: number) =>
    Number.isFinite(values[a] + values[b] + values[c] + values[d]);
  for (let i = 0; i < (closed ? stations : stations - 1); i++) {
    const next = (i + 1) % stations;
    for (let j = 0; j + 1 < across; j++) {
      const [a, b, c, d] = [i * across + j, next * across + j, next * across + j + 1, i * across + j + 1];
      if (known(a, b, c, d)) index.push(a, b, c, a, c, d);
    }
  }
  return {
    position: ribbon.position,
    source: Uint32Array.from({ length: count }, (_, k) => k),
    along: Float32Array.from({ length: count }, (_, k) => ribbon.s[Math.floor(k / across)]),
    across: Float32Array.from({ length: count }, (_, k) => ribbon.offset[k % across]),
    index: Uint32Array.from(index),
  };
}

/** Arrow heads in the ribbon's plane, about every `every` mm of the weld: 9 numbers each. */
export function directionArrows(seam: SeamView, every: number): Float32Array {
  const weld = rowsOf(seam, 'weld');
  if (weld === null) return new Float32Array(0);
  const [first, last] = weld;
  const span = seam.s[last] - seam.s[first];
  const count = Math.max(1, Math.round(span / every));
  const size = 0.38 * seam.width;
  const lift = 1.6 * liftOf(seam);
  const corners: number[] = [];
  const point = new Float32Array(3);
  let row = first;
  for (let k = 0; k < count; k++) {
    const s = seam.s[first] + ((k + 0.5) * span) / count;
    while (row < last && seam.s[row + 1] <= s) row++;
    for (const [ahead, aside] of [
      [size, 0],
      [-0.7 * size, 0.8 * size],
      [-0.7 * size, -0.8 * size],
    ]) {
      sidePoint(seam, row, aside, lift, point, 0);
      for (let c = 0; c < 3; c++) corners.push(point[c] + ahead * seam.tangent[3 * row + c]);
    }
  }
  return Float32Array.from(corners);
}

/** A line beside or on the seam over rows `from` to `to`, 3 x n. */
export function sideLine(seam: SeamView, from: number, to: number, offset: number, lift: number): Float32Array {
  const out = new Float32Array(3 * Math.max(0, to - from + 1));
  for (let row = from; row <= to; row++) sidePoint(seam, row, offset, lift, out, 3 * (row - from));
  return out;
}

/** Whether a row is welded at all. */
export const isWelded = (seam: SeamView, row: number): boolean =>
  seam.phase[row] === WELD || seam.phase[row] === OVERLAP;
