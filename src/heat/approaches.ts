// Which stretches of the source's way come near a section: found by distance in space, so that hairpins, overlaps and other
// passes count like the pass itself.
import { type Approach, excessOf, type Section } from './rise.ts';
import type { HeatSource } from './heat-source.ts';

/** Rows of a source in cubes of a grid. */
export interface RowGrid {
  readonly source: HeatSource;
  readonly cell: number;
  readonly rows: ReadonlyMap<string, readonly number[]>;
}

/** `radius`: how far a row may lie from a section and still count, mm. */
export function createRowGrid(source: HeatSource, radius: number): RowGrid {
  const rows = new Map<string, number[]>();
  for (let k = 0; k < source.count; k++) {
    const key = cellKey(source.place, 3 * k, radius, 0, 0, 0);
    const list = rows.get(key);
    if (list === undefined) rows.set(key, [k]);
    else list.push(k);
  }
  return { source, cell: radius, rows };
}

function cellKey(place: Float64Array, i: number, cell: number, dx: number, dy: number, dz: number): string {
  const at = (axis: number, d: number) => Math.floor(place[i + axis] / cell) + d;
  return `${at(0, dx)} ${at(1, dy)} ${at(2, dz)}`;
}

/** Approaches to a section whose points lie within `half` mm of its place, in the order of time; each has one closest row. */
export function findApproaches(grid: RowGrid, section: Section, half: number): Approach[] {
  const { source, cell, rows } = grid;
  const near: number[] = [];
  for (let dx = -1; dx <= 1; dx++)
    for (let dy = -1; dy <= 1; dy++)
      for (let dz = -1; dz <= 1; dz++) {
        for (const k of rows.get(cellKey(section.place, 0, cell, dx, dy, dz)) ?? []) {
          if (distanceTo(source, k, section) < cell) near.push(k);
        }
      }
  near.sort((a, b) => a - b);
  const found: Approach[] = [];
  for (let i = 0; i < near.length; ) {
    let end = i;
    while (end + 1 < near.length && near[end + 1] === near[end] + 1) end++;
    splitRun(source, section, half, near[i], near[end], found);
    i = end + 1;
  }
  return found;
}

function distanceTo(source: HeatSource, k: number, section: Section): number {
  const x = source.place[3 * k] - section.place[0];
  const y = source.place[3 * k + 1] - section.place[1];
  const z = source.place[3 * k + 2] - section.place[2];
  return Math.sqrt(x * x + y * y + z * z);
}

/** Splits a run of rows where its distance is largest between two places that are closest. */
function splitRun(
  source: HeatSource,
  section: Section,
  half: number,
  first: number,
  last: number,
  out: Approach[],
): void {
  if (last === first) return;
  const distance = Float64Array.from({ length: last - first + 1 }, (_, j) => distanceTo(source, first + j, section));
  const excess = distance.map((_, j) => excessOf(source, first + j, section, half));
  let from = 0;
  let closest = 0;
  let falling = true;
  const close = (to: number) => {
    out.push({
      from: first + from,
      to: first + to,
      closest: first + closest,
      distance: distance[closest],
      excess: excess.subarray(from, to + 1),
    });
  };
  for (let j = 1; j < distance.length; j++) {
    const nearer = distance[j] < distance[j - 1];
    if (nearer && !falling) {
      close(j - 1);
      from = j - 1;
      closest = j;
      falling = true;
    } else if (nearer) closest = j;
    else falling = false;
  }
  close(distance.length - 1);
}
