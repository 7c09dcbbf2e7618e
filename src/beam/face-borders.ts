// Distance from the seam to the borders of the joint face on either side, measured across the seam in the surface. The borders
// are the model's edges between a face that the seam runs over and one that it does not, each with its face on its left, so
// that a seam beside the face is told from one on it.
import { atan2, sin } from '../geometry/elementary.ts';
import type { SceneBody } from '../geometry/scene.ts';
import { distance, dot } from '../geometry/vector.ts';
import type { Edge } from '../model/part.ts';
import type { Path } from '../model/path.ts';
import type { Seam } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import { RAD_PER_DEG } from '../model/units.ts';

export interface Borders {
  /**
   * Towards b = n x t, and against it, n each, mm; NaN where there is no border within reach. Where the seam lies beside the
   * face, the nearer border is on the wrong side of it: its distance is negative.
   */
  readonly left: Float64Array;
  readonly right: Float64Array;
  /** n; 1 where there is no border within reach because the seam is not on the face at all. */
  readonly astray: Uint8Array;
}

/** A seam this near to its face is on it, mm. */
const ON_FACE = 0.1;

/** A seam this near to a border lies on it, mm: its own points were taken from that border's edge. */
const ON_BORDER = 1e-3;

/** Sine of the angle to the plane across the seam below which a border runs across, and bounds the face on no side. */
const ALONG_PLANE = 1e-6;

/** Stations between two looks at the clock. */
const STRIDE = 512;

/** Distances for all stations; borders further than `reach` mm are not looked for. */
export async function faceBorders(
  path: Path,
  seam: Seam,
  scene: readonly SceneBody[],
  reach: number,
  task: Task,
): Promise<Borders> {
  const { count, position, tangent, normal, onSeam } = path;
  const grid = sortSegments(borderSegments(seam, scene), reach);
  const left = new Float64Array(count).fill(Number.NaN);
  const right = new Float64Array(count).fill(Number.NaN);
  const astray = new Uint8Array(count);
  const crossings: Crossing[] = [];
  for (let i = 0; i < count; i++) {
    if (i % STRIDE === 0) await task.pause('measuring borders', 0.95);
    if (!onSeam[i]) continue;
    crossings.length = 0;
    crossBorders(grid, position, tangent, normal, 3 * i, reach, crossings);
    [left[i], right[i]] = bordersAmong(crossings);
    if (crossings.length === 0 && !isOnFace(seam, scene, position, 3 * i)) astray[i] = 1;
  }
  return { left, right, astray };
}

/** Faces that meet at no more than this go on smoothly, rad: facets of a curved face say so much less than 5 degrees. */
const SMOOTH = 5 * RAD_PER_DEG;

/**
 * Whether what is closest to position[k..k+2] is one of the faces that the seam runs over, or goes on smoothly from one:
 * the end of an open seam may lie just beyond the end of its face.
 */
function isOnFace(seam: Seam, scene: readonly SceneBody[], position: Float64Array, k: number): boolean {
  const foot = new Float64Array(6);
  const [x, y, z] = position.subarray(k, k + 3);
  return scene.some(({ part, query }) => {
    if (!seam.faces.some(({ ref }) => ref.part === part)) return false;
    const face = query.closest(x, y, z, ON_FACE, foot);
    const isOwn = (other: number) => seam.faces.some(({ ref }) => ref.part === part && ref.face === other);
    const isNext = ({ faces, dihedral }: Edge) =>
      dihedral[1] <= SMOOTH && faces.includes(face) && faces.some((other) => isOwn(other));
    // On a sharp border both faces are equally close, and either may be given.
    const onBorder = (other: number) =>
      query.surface(other).project(x, y, z, foot) &&
      (foot[0] - x) ** 2 + (foot[1] - y) ** 2 + (foot[2] - z) ** 2 < ON_BORDER ** 2;
    if (face < 0) return false;
    if (isOwn(face) || query.body.edges.some(isNext)) return true;
    return seam.faces.some(({ ref }) => ref.part === part && onBorder(ref.face));
  });
}

/** A border that crosses the plane across the seam. */
interface Crossing {
  /** Distance in the surface, mm, > 0 towards b. */
  readonly at: number;
  /** Whether the face begins here for one who goes towards b; else it ends. */
  readonly begins: boolean;
}

/** Distances to the left and right border of the stretch of the face that the seam is on, or else is nearest to. */
function bordersAmong(crossings: readonly Crossing[]): [number, number] {
  let nearest: Crossing | undefined;
  for (const crossing of crossings) {
    if (nearest === undefined || Math.abs(crossing.at) < Math.abs(nearest.at)) nearest = crossing;
  }
  if (nearest === undefined) return [Number.NaN, Number.NaN];
  // Beside the face, its other border lies beyond the nearer one; on it, both are counted from the seam.
  const beside = nearest.begins ? nearest.at > 0 : nearest.at < 0;
  const from = beside ? nearest.at : 0;
  let left = Number.POSITIVE_INFINITY;
  let right = Number.POSITIVE_INFINITY;
  for (const { at, begins } of crossings) {
    if (begins && at <= from) right = Math.min(right, -at);
    if (!begins && at >= from) left = Math.min(left, at);
  }
  return [finite(left), finite(right)];
}

function finite(value: number): number {
  return Number.isFinite(value) ? value + 0 : Number.NaN;
}

/** End points of all border segments, 6 per segment, mm, each directed so that its joint face lies on its left. */
function borderSegments(seam: Seam, scene: readonly SceneBody[]): Float64Array {
  const points: number[] = [];
  const parts = new Set(seam.faces.map(({ ref }) => ref.part));
  for (const part of parts) {
    const body = scene.find((candidate) => candidate.part === part)?.query.body;
    if (body === undefined) continue;
    const own = new Set(seam.faces.filter(({ ref }) => ref.part === part).map(({ ref }) => ref.face));
    for (const { faces, vertex, closed } of body.edges) {
      if (own.has(faces[0]) === own.has(faces[1])) continue;
      const ahead = own.has(faces[0]);
      for (let m = closed ? 0 : 1; m < vertex.length; m++) {
        const before = 3 * vertex[(m + vertex.length - 1) % vertex.length];
        const behind = 3 * vertex[m];
        const [from, to] = ahead ? [before, behind] : [behind, before];
        for (let c = 0; c < 3; c++) points.push(body.position[from + c]);
        for (let c = 0; c < 3; c++) points.push(body.position[to + c]);
      }
    }
  }
  return Float64Array.from(points);
}

/** Segments in the cells of a cubic grid that their boxes touch. */
interface SegmentGrid {
  readonly segments: Float64Array;
  readonly cell: number;
  readonly cells: ReadonlyMap<number, readonly number[]>;
}

/** A number for a cell; cells that share one only lead to segments that are too far away. */
function cellKey(x: number, y: number, z: number): number {
  return Math.imul(x, 73856093) ^ Math.imul(y, 19349663) ^ Math.imul(z, 83492791);
}

function sortSegments(segments: Float64Array, cell: number): SegmentGrid {
  const cells = new Map<number, number[]>();
  const low = new Int32Array(3);
  const high = new Int32Array(3);
  for (let k = 0; k < segments.length; k += 6) {
    for (let c = 0; c < 3; c++) {
      low[c] = Math.floor(Math.min(segments[k + c], segments[k + 3 + c]) / cell);
      high[c] = Math.floor(Math.max(segments[k + c], segments[k + 3 + c]) / cell);
    }
    for (let x = low[0]; x <= high[0]; x++) {
      for (let y = low[1]; y <= high[1]; y++) {
        for (let z = low[2]; z <= high[2]; z++) {
          const key = cellKey(x, y, z);
          const list = cells.get(key);
          if (list === undefined) cells.set(key, [k]);
          else list.push(k);
        }
      }
    }
  }
  return { segments, cell, cells };
}

/** Adds to `out` where borders cross the plane across the seam at position[k..k+2], within `reach`. */
function crossBorders(
  grid: SegmentGrid,
  position: Float64Array,
  tangent: Float64Array,
  normal: Float64Array,
  k: number,
  reach: number,
  out: Crossing[],
): void {
  const { segments, cell, cells } = grid;
  const x = Math.floor(position[k] / cell);
  const y = Math.floor(position[k + 1] / cell);
  const z = Math.floor(position[k + 2] / cell);
  const level = dot(position, k, tangent, k);
  for (let neighbour = 0; neighbour < 27; neighbour++) {
    const dx = (neighbour % 3) - 1;
    const dy = (Math.floor(neighbour / 3) % 3) - 1;
    const dz = Math.floor(neighbour / 9) - 1;
    for (const m of cells.get(cellKey(x + dx, y + dy, z + dz)) ?? []) {
      const from = dot(segments, m, tangent, k) - level;
      const to = dot(segments, m + 3, tangent, k) - level;
      if (from > 0 === to > 0) continue;
      if (Math.abs(to - from) <= ALONG_PLANE * distance(segments, m, segments, m + 3)) continue;
      const f = from / (from - to);
      const px = segments[m] + f * (segments[m + 3] - segments[m]) - position[k];
      const py = segments[m + 1] + f * (segments[m + 4] - segments[m + 1]) - position[k + 1];
      const pz = segments[m + 2] + f * (segments[m + 5] - segments[m + 2]) - position[k + 2];
      const bx = normal[k + 1] * tangent[k + 2] - normal[k + 2] * tangent[k + 1];
      const by = normal[k + 2] * tangent[k] - normal[k] * tangent[k + 2];
      const bz = normal[k] * tangent[k + 1] - normal[k + 1] * tangent[k];
      const across = px * bx + py * by + pz * bz;
      const up = px * normal[k] + py * normal[k + 1] + pz * normal[k + 2];
      const away = arc(Math.abs(across), up);
      if (away > reach) continue;
      out.push({ at: away < ON_BORDER ? 0 : Math.sign(across) * away, begins: to > from });
    }
  }
}

/** Length of the circular arc that leaves along the surface and ends `across` to the side and `up` above or below it. */
function arc(across: number, up: number): number {
  const chord = Math.sqrt(across * across + up * up);
  const half = atan2(Math.abs(up), across);
  return half < 1e-6 ? chord : (chord * half) / sin(half);
}
