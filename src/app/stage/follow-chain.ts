// Which edges a pick takes along: smooth neighbours at either end, as the planner follows them. For the preview only; the planner
// decides.
import type { EdgeView } from '../../output/view/plan-view.ts';

/** A neighbour whose direction breaks by no more goes on smoothly: cosine of 5 degrees. */
const SMOOTH = Math.cos((5 * Math.PI) / 180);

interface End {
  readonly edge: number;
  readonly atStart: boolean;
}

/** Indices of the edges of the chain through `first`, that one first. */
export function followChain(edges: readonly EdgeView[], first: number): number[] {
  if (edges[first].closed) return [first];
  const ends = endsByPoint(edges);
  const taken = new Set([first]);
  for (const atStart of [false, true]) {
    let at: End = { edge: first, atStart };
    for (;;) {
      const next = smoothNeighbour(edges, ends, at, taken);
      if (next === null) break;
      taken.add(next.edge);
      at = { edge: next.edge, atStart: !next.atStart };
    }
  }
  return [...taken];
}

/** The free end that goes on best from `at`; one that shares a face with it comes before one that does not. */
function smoothNeighbour(
  edges: readonly EdgeView[],
  ends: ReadonlyMap<string, readonly End[]>,
  at: End,
  taken: ReadonlySet<number>,
): End | null {
  const out = outward(edges[at.edge], at.atStart);
  let best: End | null = null;
  let highest = Number.NEGATIVE_INFINITY;
  for (const end of ends.get(pointKey(edges[at.edge], at.atStart)) ?? []) {
    if (taken.has(end.edge)) continue;
    const other = outward(edges[end.edge], end.atStart);
    const cosine = -(out[0] * other[0] + out[1] * other[1] + out[2] * other[2]);
    if (cosine < SMOOTH) continue;
    const rank = cosine + (shareFace(edges[at.edge].id, edges[end.edge].id) ? 1 : 0);
    if (rank > highest) {
      highest = rank;
      best = end;
    }
  }
  return best;
}

function endsByPoint(edges: readonly EdgeView[]): Map<string, End[]> {
  const ends = new Map<string, End[]>();
  edges.forEach((edge, k) => {
    if (edge.closed || edge.position.length < 6) return;
    for (const atStart of [true, false]) {
      const key = pointKey(edge, atStart);
      const list = ends.get(key);
      if (list === undefined) ends.set(key, [{ edge: k, atStart }]);
      else list.push({ edge: k, atStart });
    }
  });
  return ends;
}

/** Ends of chains that meet share a vertex: the same number to the last bit. */
function pointKey({ position }: EdgeView, atStart: boolean): string {
  const k = atStart ? 0 : position.length - 3;
  return `${position[k]} ${position[k + 1]} ${position[k + 2]}`;
}

/** Unit direction in which a chain leaves through one of its ends. */
function outward({ position }: EdgeView, atStart: boolean): readonly [number, number, number] {
  const [from, to] = atStart ? [3, 0] : [position.length - 6, position.length - 3];
  const x = position[to] - position[from];
  const y = position[to + 1] - position[from + 1];
  const z = position[to + 2] - position[from + 2];
  const size = Math.hypot(x, y, z) || 1;
  return [x / size, y / size, z / size];
}

const facesOf = (id: string): string[] => (/:(-?\d+)-(-?\d+)/.exec(id) ?? []).slice(1);

function shareFace(a: string, b: string): boolean {
  const own = facesOf(a);
  return facesOf(b).some((face) => own.includes(face));
}
