// Which edge of a body runs at a place of a face beside it: looked at along the face's normal, so that the gap between the
// two does not count. Chords of the edges stand in a grid.
import type { Body } from '../model/part.ts';

/** An edge is at a place that is this close to it across the normal, mm. */
const ACROSS = 0.05;

/** Width of a cell, mm. */
const CELL = 2;

/** Index of the edge closest to a place, three numbers and its unit normal; -1 where none is near. */
export type EdgeNear = (place: Float64Array) => number;

/** Asks for edges no farther than `tolerance` mm along the normal. */
export function createEdgeNear({ edges, position }: Body, tolerance: number): EdgeNear {
  const reach = tolerance + ACROSS;
  const chords: { readonly edge: number; readonly a: number; readonly b: number }[] = [];
  const cells = new Map<string, number[]>();
  edges.forEach(({ vertex, closed }, edge) => {
    for (let i = closed ? 0 : 1; i < vertex.length; i++) {
      const a = 3 * vertex[(i + vertex.length - 1) % vertex.length];
      const b = 3 * vertex[i];
      for (const key of cellsAlong(position, a, b, reach)) {
        const cell = cells.get(key) ?? [];
        cells.set(key, cell);
        cell.push(chords.length);
      }
      chords.push({ edge, a, b });
    }
  });
  return (place) => {
    let best = -1;
    let least = ACROSS;
    for (const i of cells.get(cellOf(at(place[0]), at(place[1]), at(place[2]))) ?? []) {
      const { edge, a, b } = chords[i];
      const away = acrossNormal(position, a, b, place, reach);
      if (away >= least) continue;
      least = away;
      best = edge;
    }
    return best;
  };
}

const at = (value: number): number => Math.floor(value / CELL);

function cellOf(x: number, y: number, z: number): string {
  return `${x} ${y} ${z}`;
}

/** Cells within reach of a chord, each once: those about pieces of it that are no longer than a cell. */
function cellsAlong(p: Float64Array, a: number, b: number, reach: number): ReadonlySet<string> {
  const longest = Math.max(...[0, 1, 2].map((k) => Math.abs(p[b + k] - p[a + k])));
  const pieces = Math.max(1, Math.ceil(longest / CELL));
  const keys = new Set<string>();
  for (let i = 0; i < pieces; i++) {
    const end = (k: number, j: number): number => p[a + k] + ((p[b + k] - p[a + k]) * j) / pieces;
    const low = [0, 1, 2].map((k) => at(Math.min(end(k, i), end(k, i + 1)) - reach));
    const high = [0, 1, 2].map((k) => at(Math.max(end(k, i), end(k, i + 1)) + reach));
    for (let x = low[0]; x <= high[0]; x++) {
      for (let y = low[1]; y <= high[1]; y++) {
        for (let z = low[2]; z <= high[2]; z++) keys.add(cellOf(x, y, z));
      }
    }
  }
  return keys;
}

/** Distance of a chord from the place across its normal; Infinity beyond `reach` along it. */
function acrossNormal(p: Float64Array, a: number, b: number, place: Float64Array, reach: number): number {
  let along = 0;
  let square = 0;
  for (let k = 0; k < 3; k++) {
    const d = p[b + k] - p[a + k];
    along += (place[k] - p[a + k]) * d;
    square += d * d;
  }
  const f = square > 0 ? Math.min(1, Math.max(0, along / square)) : 0;
  let height = 0;
  let away = 0;
  for (let k = 0; k < 3; k++) {
    const d = p[a + k] + f * (p[b + k] - p[a + k]) - place[k];
    height += d * place[3 + k];
    away += d * d;
  }
  return Math.abs(height) > reach ? Number.POSITIVE_INFINITY : Math.sqrt(Math.max(0, away - height * height));
}
