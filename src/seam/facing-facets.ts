// Which facets of one body have facets of another beside them that look at them: a grid over the other's facets that come
// near at all. Walls beside a joint are near the other body, but nothing looks at them.
import type { BodyQuery } from '../geometry/body-query.ts';
import type { Task } from '../model/task.ts';

/** Facets look at each other where the cosine between their normals is below this: surfaces need -0.8, facets stray. */
const LOOK = -0.6;

/** Facets this far beyond the tolerance, mm, count too: they lie a little beside their surface. */
const SLACK = 0.05;

/** Corners of facets asked between two looks at the clock. */
const BATCH = 1536;

/** A box that meets more cells is looked at without them. */
const MOST_CELLS = 4096;

/** Width of a cell, mm. */
const CELL = 2;

/** Whether a facet of the other body lies beside the triangle of three corners, looking at it. */
export type FacesOther = (position: ArrayLike<number>, a: number, b: number, c: number) => boolean;

/** Asks about triangles near `own`, whose facets the other's must be within `tolerance` (mm) of. */
export async function createFacesOther(
  own: BodyQuery,
  other: BodyQuery,
  tolerance: number,
  task: Task,
): Promise<FacesOther> {
  const { position, triangle } = other.body;
  const reach = tolerance + SLACK;
  const box = new Float64Array(6);
  const normal = new Float64Array(3);
  const boxes: number[] = [];
  const normals: number[] = [];
  const cells = new Map<number, number[]>();
  const cellOf = (x: number, y: number, z: number): number => (x * 2 ** 16 + y) * 2 ** 16 + z;
  const low = new Int32Array(3);
  const high = new Int32Array(3);
  const origin = lowest(position);
  const large: number[] = [];
  /** Cells that the box meets, from `low` to `high`; their number. */
  const span = (): number => {
    for (let k = 0; k < 3; k++) {
      low[k] = Math.max(0, Math.floor((box[k] - origin[k]) / CELL) + 1);
      high[k] = Math.min(2 ** 16 - 1, Math.floor((box[3 + k] - origin[k]) / CELL) + 1);
    }
    return Math.max(0, high[0] - low[0] + 1) * Math.max(0, high[1] - low[1] + 1) * Math.max(0, high[2] - low[2] + 1);
  };
  for (let t = 0; t < triangle.length; t += 3) {
    if (t % BATCH === 0) await task.pause('looking for contact', t / triangle.length / 4);
    boxOf(position, triangle[t], triangle[t + 1], triangle[t + 2], 0, box);
    const near = own.near(
      box[0] - reach,
      box[1] - reach,
      box[2] - reach,
      box[3] + reach,
      box[4] + reach,
      box[5] + reach,
    );
    if (!near || !normalOf(position, triangle[t], triangle[t + 1], triangle[t + 2], normal)) continue;
    const index = boxes.length / 6;
    boxes.push(...box);
    normals.push(...normal);
    if (span() > MOST_CELLS) {
      large.push(index);
      continue;
    }
    for (let x = low[0]; x <= high[0]; x++) {
      for (let y = low[1]; y <= high[1]; y++) {
        for (let z = low[2]; z <= high[2]; z++) {
          const cell = cells.get(cellOf(x, y, z));
          if (cell === undefined) cells.set(cellOf(x, y, z), [index]);
          else cell.push(index);
        }
      }
    }
  }
  return (corners, a, b, c) => {
    if (!normalOf(corners, a, b, c, normal)) return false;
    boxOf(corners, a, b, c, reach, box);
    const looks = (i: number): boolean => meets(boxes, 6 * i, box) && looksAt(normals, 3 * i, normal);
    if (span() > MOST_CELLS) {
      for (let i = 0; i < boxes.length / 6; i++) if (looks(i)) return true;
      return false;
    }
    if (large.some(looks)) return true;
    for (let x = low[0]; x <= high[0]; x++) {
      for (let y = low[1]; y <= high[1]; y++) {
        for (let z = low[2]; z <= high[2]; z++) {
          const cell = cells.get(cellOf(x, y, z));
          if (cell?.some(looks)) return true;
        }
      }
    }
    return false;
  };
}

function lowest(position: Float64Array): [number, number, number] {
  const low: [number, number, number] = [Infinity, Infinity, Infinity];
  for (let i = 0; i < position.length; i++) low[i % 3] = Math.min(low[i % 3], position[i]);
  return low;
}

function boxOf(p: ArrayLike<number>, a: number, b: number, c: number, more: number, box: Float64Array): void {
  for (let k = 0; k < 3; k++) {
    const x = p[3 * a + k];
    const y = p[3 * b + k];
    const z = p[3 * c + k];
    box[k] = Math.min(x, y, z) - more;
    box[3 + k] = Math.max(x, y, z) + more;
  }
}

/** Unit normal of a triangle; false where it has no area. */
function normalOf(p: ArrayLike<number>, a: number, b: number, c: number, out: Float64Array): boolean {
  const ux = p[3 * b] - p[3 * a];
  const uy = p[3 * b + 1] - p[3 * a + 1];
  const uz = p[3 * b + 2] - p[3 * a + 2];
  const vx = p[3 * c] - p[3 * a];
  const vy = p[3 * c + 1] - p[3 * a + 1];
  const vz = p[3 * c + 2] - p[3 * a + 2];
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  const size = Math.sqrt(x * x + y * y + z * z);
  if (!(size > 0)) return false;
  out[0] = x / size;
  out[1] = y / size;
  out[2] = z / size;
  return true;
}

function meets(boxes: readonly number[], i: number, box: Float64Array): boolean {
  for (let k = 0; k < 3; k++) if (boxes[i + k] > box[3 + k] || boxes[i + 3 + k] < box[k]) return false;
  return true;
}

function looksAt(normals: readonly number[], i: number, normal: Float64Array): boolean {
  return normals[i] * normal[0] + normals[i + 1] * normal[1] + normals[i + 2] * normal[2] < LOOK;
}
