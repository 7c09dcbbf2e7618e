// The edges of a triangle mesh with the triangles on either side of each.
import type { Task } from '../model/task.ts';

/** Struct of arrays over the mesh edges, in the order in which the triangles first use them. */
export interface MeshEdges {
  readonly count: number;
  /** The two vertices, the smaller index first. */
  readonly low: Uint32Array;
  readonly high: Uint32Array;
  /** Triangle that runs low -> high (the edge's left, seen from outside) and the one that runs high -> low; -1: none. */
  readonly left: Int32Array;
  readonly right: Int32Array;
  /** Number of triangles that use the edge: 1 open, 2 regular, more where several sheets meet. */
  readonly uses: Uint8Array;
}

const CHUNK = 1 << 15;

/** Finds the edges of `triangle` (3 x nt indices below `vertexCount`); no triangle may use a vertex twice. */
export async function findMeshEdges(triangle: Uint32Array, vertexCount: number, task: Task): Promise<MeshEdges> {
  const corners = triangle.length;
  const head = new Int32Array(vertexCount).fill(-1);
  const next = new Int32Array(corners);
  const low = new Uint32Array(corners);
  const high = new Uint32Array(corners);
  const left = new Int32Array(corners).fill(-1);
  const right = new Int32Array(corners).fill(-1);
  const uses = new Uint8Array(corners);
  let count = 0;

  for (let start = 0; start < corners; start += 3 * CHUNK) {
    const stop = Math.min(corners, start + 3 * CHUNK);
    for (let c = start; c < stop; c++) {
      const t = (c / 3) | 0;
      const a = triangle[c];
      const b = triangle[c === 3 * t + 2 ? 3 * t : c + 1];
      const lo = Math.min(a, b);
      const hi = Math.max(a, b);
      let e = head[lo];
      while (e >= 0 && high[e] !== hi) e = next[e];
      if (e < 0) {
        e = count++;
        low[e] = lo;
        high[e] = hi;
        next[e] = head[lo];
        head[lo] = e;
      }
      // A triangle wound against its neighbour takes the free side, so that a regular edge always knows both.
      const wanted = a < b ? left : right;
      const other = a < b ? right : left;
      if (wanted[e] < 0) wanted[e] = t;
      else if (other[e] < 0) other[e] = t;
      if (uses[e] < 255) uses[e]++;
    }
    await task.pause('joining triangles', stop / corners);
  }
  return {
    count,
    low: low.slice(0, count),
    high: high.slice(0, count),
    left: left.slice(0, count),
    right: right.slice(0, count),
    uses: uses.slice(0, count),
  };
}
