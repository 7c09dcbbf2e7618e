// A uniform grid over the vertices of a face: who lies within a radius, nearest first.

export interface VertexGrid {
  readonly cell: number;
  readonly origin: readonly [number, number, number];
  readonly size: readonly [number, number, number];
  /** First entry of each cell in `member`, cells + 1. */
  readonly first: Uint32Array;
  readonly member: Uint32Array;
}

/** Largest number of cells; a longer, thinner part gets larger cells. */
const MOST_CELLS = 1 << 20;

/** Grid of cubes of about `cell` mm over positions (3 x n). */
export function createVertexGrid(position: Float64Array, cell: number): VertexGrid {
  const n = position.length / 3;
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < position.length; i += 1) {
    low[i % 3] = Math.min(low[i % 3], position[i]);
    high[i % 3] = Math.max(high[i % 3], position[i]);
  }
  let edge = cell;
  const cells = (k: number) => Math.floor((high[k] - low[k]) / edge) + 1;
  while (cells(0) * cells(1) * cells(2) > MOST_CELLS) edge *= 1.5;
  const size: [number, number, number] = [cells(0), cells(1), cells(2)];
  const origin: [number, number, number] = [low[0], low[1], low[2]];
  const first = new Uint32Array(size[0] * size[1] * size[2] + 1);
  const where = new Uint32Array(n);
  for (let i = 0; i < n; i += 1) {
    const at = (k: number) => Math.min(size[k] - 1, Math.floor((position[3 * i + k] - origin[k]) / edge));
    where[i] = at(0) + size[0] * (at(1) + size[1] * at(2));
    first[where[i] + 1] += 1;
  }
  for (let c = 1; c < first.length; c += 1) first[c] += first[c - 1];
  const next = first.slice();
  const member = new Uint32Array(n);
  for (let i = 0; i < n; i += 1) {
    member[next[where[i]]] = i;
    next[where[i]] += 1;
  }
  return { cell: edge, origin, size, first, member };
}

/** Vertices within `radius` of vertex i (itself included), nearest first; equally near ones by index. */
export function gatherAround(grid: VertexGrid, position: Float64Array, i: number, radius: number): number[] {
  const found: { readonly j: number; readonly d: number }[] = [];
  const low = (k: number) => Math.max(0, Math.floor((position[3 * i + k] - radius - grid.origin[k]) / grid.cell));
  const high = (k: number) =>
    Math.min(grid.size[k] - 1, Math.floor((position[3 * i + k] + radius - grid.origin[k]) / grid.cell));
  for (let c = low(2); c <= high(2); c += 1) {
    for (let b = low(1); b <= high(1); b += 1) {
      const row = grid.size[0] * (b + grid.size[1] * c);
      for (let m = grid.first[row + low(0)]; m < grid.first[row + high(0) + 1]; m += 1) {
        const j = grid.member[m];
        const d =
          (position[3 * j] - position[3 * i]) ** 2 +
          (position[3 * j + 1] - position[3 * i + 1]) ** 2 +
          (position[3 * j + 2] - position[3 * i + 2]) ** 2;
        if (d <= radius * radius) found.push({ j, d });
      }
    }
  }
  return found.sort((a, b) => a.d - b.d || a.j - b.j).map((f) => f.j);
}
