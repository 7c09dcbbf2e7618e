// Welds vertices that coincide: a uniform grid hashed into linked lists, every candidate checked by its true distance.
import type { Task } from '../model/task.ts';

/** Vertices that are left, and where each of the old ones went. */
export interface Welded {
  /** 3 x nv, mm; each is the first of those that were welded into it. */
  readonly position: Float64Array;
  /** New index of each old vertex. */
  readonly index: Uint32Array;
}

/** Cells are this many tolerances wide: a vertex seldom touches more than one, and a cell seldom holds more than one. */
const CELL_TOLERANCES = 16;

const CHUNK = 1 << 15;

/**
 * Goes through `position` (3 x n, mm, finite) in order; each vertex joins the earliest kept one within `tolerance` mm
 * (Euclidean), or is kept.
 */
export async function weldVertices(position: Float64Array, tolerance: number, task: Task): Promise<Welded> {
  const n = position.length / 3;
  const cell = CELL_TOLERANCES * tolerance;
  const limit = tolerance * tolerance;
  const bits = Math.max(4, Math.ceil(32 - Math.clz32(n)) + 1);
  const mask = (1 << bits) - 1;
  const head = new Int32Array(1 << bits).fill(-1);
  const next = new Int32Array(n);
  const index = new Uint32Array(n);
  const kept = new Float64Array(position.length);
  let count = 0;

  for (let start = 0; start < n; start += CHUNK) {
    const stop = Math.min(n, start + CHUNK);
    for (let v = start; v < stop; v++) {
      const x = position[3 * v];
      const y = position[3 * v + 1];
      const z = position[3 * v + 2];
      const x1 = Math.floor((x + tolerance) / cell);
      const y1 = Math.floor((y + tolerance) / cell);
      const z1 = Math.floor((z + tolerance) / cell);
      let found = count;
      for (let i = Math.floor((x - tolerance) / cell); i <= x1; i++) {
        for (let j = Math.floor((y - tolerance) / cell); j <= y1; j++) {
          for (let k = Math.floor((z - tolerance) / cell); k <= z1; k++) {
            for (let w = head[hashCell(i, j, k) & mask]; w >= 0; w = next[w]) {
              const dx = kept[3 * w] - x;
              const dy = kept[3 * w + 1] - y;
              const dz = kept[3 * w + 2] - z;
              if (dx * dx + dy * dy + dz * dz <= limit && w < found) found = w;
            }
          }
        }
      }
      index[v] = found;
      if (found < count) continue;
      kept[3 * count] = x;
      kept[3 * count + 1] = y;
      kept[3 * count + 2] = z;
      const slot = hashCell(Math.floor(x / cell), Math.floor(y / cell), Math.floor(z / cell)) & mask;
      next[count] = head[slot];
      head[slot] = count;
      count++;
    }
    await task.pause('welding vertices', stop / n);
  }
  return { position: kept.slice(0, 3 * count), index };
}

/** Mixes three cell numbers into 32 bits (odd multipliers, then a shift that brings the high bits down). */
function hashCell(i: number, j: number, k: number): number {
  const h = Math.imul(i | 0, 0x9e3779b1) ^ Math.imul(j | 0, 0x85ebca77) ^ Math.imul(k | 0, 0xc2b2ae3d);
  return h ^ (h >>> 15);
}
