// The model's edges, found again in its mesh: mesh edges between two faces (or along an open border) are chained from
// branch point to branch point, or closed, and named by their faces so that the name outlives a change of deflection.
import type { Edge } from '../model/part.ts';
import { facetAngle } from './facet-normals.ts';
import type { MeshEdges } from './mesh-edges.ts';

/** What chaining reads of a body's mesh. */
export interface ChainInput {
  /** Prefix of the ids. */
  readonly name: string;
  /** 3 x nv, mm. */
  readonly position: Float64Array;
  /** Face of each triangle. */
  readonly faceOfTriangle: Uint32Array;
  /** Unit facet normals, 3 x nt; NaN for flat ones. */
  readonly normal: Float64Array;
  readonly mesh: MeshEdges;
}

/**
 * Mesh edges that part two faces, directed so that the first face lies on their left seen from outside; `second` is -1
 * along an open border. An edge with the same face on both sides (the seam of a periodic face) is none of them.
 */
interface Border {
  readonly count: number;
  readonly from: Uint32Array;
  readonly to: Uint32Array;
  readonly first: Int32Array;
  readonly second: Int32Array;
  readonly angle: Float64Array;
}

/**
 * All edges of a body. Between the same two faces they are numbered by a skew measure of where they lie and how long they
 * are: it moves by about the deflection only, and symmetric parts do not tie.
 */
export function chainEdges(input: ChainInput): Edge[] {
  const border = findBorder(input);
  const chains = walkChains(border, input.position.length / 3);
  const drafts = chains.map((chain) => draftEdge(chain, border, input.position));
  drafts.sort(
    (a, b) => a.faces[0] - b.faces[0] || sortFace(a.faces[1]) - sortFace(b.faces[1]) || a.measure - b.measure,
  );
  let twin = 1;
  return drafts.map(({ measure: _, ...edge }, i) => {
    const before = i > 0 ? drafts[i - 1].faces : [-1, -1];
    twin = before[0] === edge.faces[0] && before[1] === edge.faces[1] ? twin + 1 : 1;
    const pair = `${edge.faces[0]}-${edge.faces[1] < 0 ? 'open' : edge.faces[1]}`;
    return { id: `${input.name}:${pair}${twin === 1 ? '' : `.${twin}`}`, ...edge };
  });
}

function sortFace(face: number): number {
  return face < 0 ? Number.MAX_SAFE_INTEGER : face;
}

function findBorder({ mesh, faceOfTriangle, normal }: ChainInput): Border {
  const chosen: number[] = [];
  for (let e = 0; e < mesh.count; e++) {
    const regular = mesh.left[e] >= 0 && mesh.right[e] >= 0;
    if (!regular || faceOfTriangle[mesh.left[e]] !== faceOfTriangle[mesh.right[e]]) chosen.push(e);
  }
  const count = chosen.length;
  const border = {
    count,
    from: new Uint32Array(count),
    to: new Uint32Array(count),
    first: new Int32Array(count),
    second: new Int32Array(count),
    angle: new Float64Array(count),
  };
  chosen.forEach((e, i) => {
    const l = mesh.left[e];
    const r = mesh.right[e];
    const leftFace = l < 0 ? -1 : faceOfTriangle[l];
    const rightFace = r < 0 ? -1 : faceOfTriangle[r];
    const keep = rightFace < 0 || (leftFace >= 0 && leftFace < rightFace);
    border.from[i] = keep ? mesh.low[e] : mesh.high[e];
    border.to[i] = keep ? mesh.high[e] : mesh.low[e];
    border.first[i] = keep ? leftFace : rightFace;
    border.second[i] = keep ? rightFace : leftFace;
    border.angle[i] = l < 0 || r < 0 ? Number.NaN : facetAngle(normal, l, r);
  });
  return border;
}

interface Chain {
  /** Border edges in order. */
  readonly edge: number[];
  /** Vertices in order, one more than edges; the last repeats the first on a closed chain. */
  readonly vertex: number[];
}

function walkChains(border: Border, vertexCount: number): Chain[] {
  const { count, from, to, first, second } = border;
  const start = new Uint32Array(vertexCount + 1);
  for (let i = 0; i < count; i++) {
    start[from[i] + 1]++;
    start[to[i] + 1]++;
  }
  for (let v = 0; v < vertexCount; v++) start[v + 1] += start[v];
  const fill = start.slice();
  const incident = new Uint32Array(2 * count);
  for (let i = 0; i < count; i++) {
    incident[fill[from[i]]++] = i;
    incident[fill[to[i]]++] = i;
  }
  const isBranch = (v: number): boolean => {
    if (start[v + 1] - start[v] !== 2) return true;
    const a = incident[start[v]];
    const b = incident[start[v] + 1];
    return first[a] !== first[b] || second[a] !== second[b];
  };

  const used = new Uint8Array(count);
  const walk = (edge: number, origin: number): Chain => {
    const chain: Chain = { edge: [], vertex: [origin] };
    let at = origin;
    for (let e = edge; ; ) {
      used[e] = 1;
      at = from[e] === at ? to[e] : from[e];
      chain.edge.push(e);
      chain.vertex.push(at);
      if (at === origin || isBranch(at)) return chain;
      e = incident[start[at]] === e ? incident[start[at] + 1] : incident[start[at]];
    }
  };

  const chains: Chain[] = [];
  // From branch points first, against the border's direction too where a chain is wound against itself; then the loops.
  for (let i = 0; i < count; i++) if (!used[i] && isBranch(from[i])) chains.push(walk(i, from[i]));
  for (let i = 0; i < count; i++) if (!used[i] && isBranch(to[i])) chains.push(walk(i, to[i]));
  for (let i = 0; i < count; i++) if (!used[i]) chains.push(walk(i, from[i]));
  return chains;
}

function draftEdge(chain: Chain, border: Border, position: Float64Array): Omit<Edge, 'id'> & { measure: number } {
  let length = 0;
  let moment = 0;
  let smallest = Number.POSITIVE_INFINITY;
  let largest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < chain.edge.length; i++) {
    const a = 3 * chain.vertex[i];
    const b = 3 * chain.vertex[i + 1];
    const dx = position[b] - position[a];
    const dy = position[b + 1] - position[a + 1];
    const dz = position[b + 2] - position[a + 2];
    const chord = Math.sqrt(dx * dx + dy * dy + dz * dz);
    length += chord;
    moment += chord * (skew(position, a) + 0.5 * skew([dx, dy, dz], 0));
    const angle = border.angle[chain.edge[i]];
    if (angle < smallest) smallest = angle;
    if (angle > largest) largest = angle;
  }
  const one = chain.edge[0];
  const closed = chain.vertex[0] === chain.vertex[chain.vertex.length - 1];
  return {
    faces: [border.first[one], border.second[one]],
    vertex: Uint32Array.from(closed ? chain.vertex.slice(0, -1) : chain.vertex),
    closed,
    length,
    dihedral: smallest > largest ? [Number.NaN, Number.NaN] : [smallest, largest],
    measure: (length > 0 ? moment / length : 0) + 0.37 * length,
  };
}

/** Coordinate along a direction that no part has a symmetry about. */
function skew(p: ArrayLike<number>, i: number): number {
  return 0.5257 * p[i] + 0.6482 * p[i + 1] + 0.5509 * p[i + 2];
}
