// The way of a top-hat over one point of the joint: how far its middle is at any time, in radii, and when its edge comes and
// leaves. Squares of distances are parabolas in time between rows, but for the bend of the seam and changes of speed.
import { type HeatSource, PLACED_SIZE, placeSource } from './heat-source.ts';
import type { Approach, Section } from './rise.ts';

/** A point with the points below it, and an approach. */
export interface Line {
  readonly source: HeatSource;
  readonly section: Section;
  /** Place of the point on the section's line, mm. */
  readonly y: number;
  readonly from: number;
  readonly to: number;
  /** Squares of the distance at the rows from `from` on and, after each, in the middle of the time to the next; NaN: not yet known. */
  readonly squares: Float64Array;
  /** When the edge arrives and leaves, s; by how many radii a second it moves over the point then; NaN where it stays away. */
  readonly chord: Chord;
  readonly placed: Float64Array;
}

interface Chord {
  arrives: number;
  leaves: number;
  arriving: number;
  leaving: number;
  /** The row that is closest, or before the closest place. */
  row: number;
}

export function createLine(source: HeatSource, section: Section, y: number, { from, to, closest }: Approach): Line {
  const chord = { arrives: Number.NaN, leaves: Number.NaN, arriving: Number.NaN, leaving: Number.NaN, row: closest };
  const squares = new Float64Array(2 * (to - from) + 1).fill(Number.NaN);
  const line: Line = { source, section, y, from, to, squares, chord, placed: new Float64Array(PLACED_SIZE) };
  findChord(line, closest);
  return line;
}

/** Square of the distance, in radii, at row k. */
export function squareAt(line: Line, k: number): number {
  const i = 2 * (k - line.from);
  const known = line.squares[i];
  if (!Number.isNaN(known)) return known;
  const square = squareFrom(line, k);
  line.squares[i] = square;
  return square;
}

/** The same at the share g of the time between rows k and k + 1. */
export function squareBetween(line: Line, k: number, g: number): number {
  const i = 2 * (k - line.from) + 1;
  let middle = line.squares[i];
  if (Number.isNaN(middle)) {
    const { time } = line.source;
    middle = squareOf(line, k, 0.5 * (time[k] + time[k + 1]));
    line.squares[i] = middle;
  }
  const a = squareAt(line, k);
  const b = squareAt(line, k + 1);
  return Math.max(0, a + g * (b - a) + 2 * g * (1 - g) * (2 * middle - a - b));
}

function findChord(line: Line, start: number): void {
  const { from, to, chord, source } = line;
  const { time } = source;
  let near = start;
  let least = squareAt(line, near);
  for (const way of [1, -1]) {
    while (near + way >= from && near + way <= to) {
      const next = squareAt(line, near + way);
      if (!(next < least)) break;
      least = next;
      near += way;
    }
  }
  // Closest of all: the top of the parabola through the row and its neighbours, unless that lies outside them.
  let closest = time[near];
  let row = Math.min(near, to - 1);
  if (near > from && near < to) {
    const p = time[near - 1] - time[near];
    const q = time[near + 1] - time[near];
    const left = (squareAt(line, near - 1) - least) / p;
    const right = (squareAt(line, near + 1) - least) / q;
    const bend = (right - left) / (q - p);
    const ahead = bend > 0 ? Math.max(p, Math.min(q, -(left - bend * p) / (2 * bend))) : 0;
    const k = ahead < 0 ? near - 1 : near;
    const value = within(line, k, time[near] + ahead);
    if (value < least) {
      closest = time[near] + ahead;
      least = value;
      row = k;
    }
  }
  chord.row = row;
  if (!(least < 1)) return;
  chord.arrives = arrival(line, row, closest);
  chord.leaves = departure(line, row, closest);
  // The square goes like a parabola: at the edge the distance changes by (1 - least) over the time from the closest place.
  chord.arriving = (1 - least) / (closest - chord.arrives);
  chord.leaving = (1 - least) / (chord.leaves - closest);
}

function within(line: Line, k: number, at: number): number {
  const { time } = line.source;
  return squareBetween(line, k, (at - time[k]) / (time[k + 1] - time[k]));
}

function arrival(line: Line, row: number, when: number): number {
  const { time } = line.source;
  let t = when;
  for (let k = row; k >= line.from; k--) {
    if (time[k] >= t) continue;
    if (squareAt(line, k) >= 1) return edge(line, k, -1);
    t = time[k];
  }
  return t;
}

function departure(line: Line, row: number, when: number): number {
  const { time } = line.source;
  let t = when;
  for (let k = row; k < line.to; k++) {
    if (time[k + 1] <= t) continue;
    if (squareAt(line, k + 1) >= 1) return edge(line, k, 1);
    t = time[k + 1];
  }
  return t;
}

/** When the edge passes over the point between rows k and k + 1: `way` 1 as it leaves, -1 as it arrives. */
function edge(line: Line, k: number, way: 1 | -1): number {
  const { time } = line.source;
  const a = squareAt(line, k);
  const b = squareAt(line, k + 1);
  const middle = squareBetween(line, k, 0.5);
  // a + linear g + square g^2 = 1, the root at which the square of the distance rises (or falls).
  const square = 2 * (a + b - 2 * middle);
  const linear = b - a - square;
  const root = Math.sqrt(Math.max(0, linear * linear - 4 * square * (a - 1)));
  const g = way * linear > 0 ? (2 * (1 - a)) / (linear + way * root) : (way * root - linear) / (2 * square);
  return time[k] + Math.max(0, Math.min(1, g)) * (time[k + 1] - time[k]);
}

function squareFrom({ source, section: { place, side }, y }: Line, k: number): number {
  const { tangent, normal, along, across } = source;
  const i = 3 * k;
  const dx = place[0] + y * side[0] - source.place[i];
  const dy = place[1] + y * side[1] - source.place[i + 1];
  const dz = place[2] + y * side[2] - source.place[i + 2];
  const x = dx * tangent[i] + dy * tangent[i + 1] + dz * tangent[i + 2];
  const b = dx * source.side[i] + dy * source.side[i + 1] + dz * source.side[i + 2];
  const n = dx * normal[i] + dy * normal[i + 1] + dz * normal[i + 2];
  return (x * x) / (along[k] * along[k]) + (b * b + n * n) / (across[k] * across[k]);
}

function squareOf({ source, section: { place, side }, y, placed }: Line, k: number, time: number): number {
  placeSource(source, k, time, placed);
  const dx = place[0] + y * side[0] - placed[0];
  const dy = place[1] + y * side[1] - placed[1];
  const dz = place[2] + y * side[2] - placed[2];
  const x = dx * placed[3] + dy * placed[4] + dz * placed[5];
  const b = dx * placed[6] + dy * placed[7] + dz * placed[8];
  const n = dx * placed[9] + dy * placed[10] + dz * placed[11];
  return (x * x) / (placed[13] * placed[13]) + (b * b + n * n) / (placed[14] * placed[14]);
}
