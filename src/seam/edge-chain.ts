// Edges of the model put one after the other: each used along its own direction or against it.
import type { Body } from '../model/part.ts';

/** One use of an edge. An edge runs with its first face on the left, seen from outside. */
export interface EdgeUse {
  /** Index into `Body.edges`. */
  readonly edge: number;
  /** Against its own direction. */
  readonly against: boolean;
}

export interface EdgeChain {
  readonly uses: readonly EdgeUse[];
  readonly closed: boolean;
}

/** Face on the left of a use, seen from outside; -1 where there is none. */
export function leftFace(body: Body, { edge, against }: EdgeUse): number {
  return body.edges[edge].faces[against ? 1 : 0];
}

/** Face on the right of a use, seen from outside; -1 where there is none. */
export function rightFace(body: Body, { edge, against }: EdgeUse): number {
  return body.edges[edge].faces[against ? 0 : 1];
}

/** First vertex of a use; of a closed edge it is the last one too. */
export function startVertex(body: Body, { edge, against }: EdgeUse): number {
  const { vertex, closed } = body.edges[edge];
  return vertex[against && !closed ? vertex.length - 1 : 0];
}

export function endVertex(body: Body, use: EdgeUse): number {
  return startVertex(body, turned(use));
}

/** The same edge run the other way. */
export function turned({ edge, against }: EdgeUse): EdgeUse {
  return { edge, against: !against };
}

export function turnedChain({ uses, closed }: EdgeChain): EdgeChain {
  return { uses: uses.map(turned).reverse(), closed };
}

/** Uses that begin at a vertex: of every open edge that ends or begins there. */
export function usesFrom(body: Body, vertex: number): EdgeUse[] {
  const uses: EdgeUse[] = [];
  body.edges.forEach((edge, i) => {
    if (edge.closed) return;
    if (edge.vertex[0] === vertex) uses.push({ edge: i, against: false });
    if (edge.vertex[edge.vertex.length - 1] === vertex) uses.push({ edge: i, against: true });
  });
  return uses;
}
