// Lines of the bodies' edges, each made once, and curves along chains of them.
import type { SceneBody } from '../geometry/scene.ts';
import type { Edge } from '../model/part.ts';
import type { Task } from '../model/task.ts';
import type { EdgeChain, EdgeUse } from './edge-chain.ts';
import { type Line, linesOfEdge, turnedLine } from './edge-line.ts';
import type { LinesOf } from './follow-edges.ts';
import { joinLines, type Track } from './join-lines.ts';

export type LineStore = (entry: SceneBody) => LinesOf;

export function createLineStore(): LineStore {
  const store = new Map<Edge, readonly Line[]>();
  return ({ query }) =>
    ({ edge: index, against }: EdgeUse) => {
      const edge = query.body.edges[index];
      const lines = store.get(edge) ?? linesOfEdge(query, edge);
      store.set(edge, lines);
      return against ? lines.map(turnedLine).reverse() : lines;
    };
}

/** The curve along a chain; `faceOf` says which face each use runs along. */
export async function trackAlong(
  chain: EdgeChain,
  linesOf: LinesOf,
  faceOf: (use: EdgeUse) => number,
  task: Task,
): Promise<Track> {
  const lines: Line[] = [];
  const face: number[] = [];
  for (const use of chain.uses) {
    for (const line of linesOf(use)) {
      lines.push(line);
      face.push(faceOf(use));
    }
    await task.pause('drawing the seam', lines.length / (lines.length + chain.uses.length));
  }
  return joinLines(lines, face, chain.closed);
}
