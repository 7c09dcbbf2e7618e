// From one picked edge to the whole seam: on through neighbours that go on smoothly, or round the joint face's border.
import { angleBetween } from '../geometry/vector.ts';
import type { Body } from '../model/part.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { type EdgeChain, type EdgeUse, endVertex, leftFace, startVertex, turnedChain, usesFrom } from './edge-chain.ts';
import type { Line } from './edge-line.ts';

/** A neighbour whose tangent breaks by no more goes on smoothly. */
const TANGENT_BREAK = 5 * RAD_PER_DEG;

/** Lines of an edge in the direction of its use. */
export type LinesOf = (use: EdgeUse) => readonly Line[];

/**
 * The edges that go on from `first` without a break of more than 5 degrees, both ways. Of several the one that keeps the
 * face on the left goes first, then the one that breaks least.
 */
export function followTangent(body: Body, first: EdgeUse, linesOf: LinesOf): EdgeChain {
  if (body.edges[first.edge].closed) return { uses: [first], closed: true };
  const ahead = walkSmoothly(body, first, leftFace, linesOf);
  if (ahead.closed) return ahead;
  const { uses: back } = turnedChain({ uses: [first], closed: false });
  const behind = walkSmoothly(body, back[0], (b, use) => leftFace(b, { ...use, against: !use.against }), linesOf);
  return { uses: [...turnedChain(behind).uses.slice(0, -1), ...ahead.uses], closed: false };
}

function walkSmoothly(
  body: Body,
  first: EdgeUse,
  jointFace: (body: Body, use: EdgeUse) => number,
  linesOf: LinesOf,
): EdgeChain {
  const uses = [first];
  const taken = new Set([first.edge]);
  for (let at = first; ; ) {
    const end = linesOf(at).at(-1)?.end as Float64Array;
    const joint = jointFace(body, at);
    let next: EdgeUse | null = null;
    let best = Number.POSITIVE_INFINITY;
    for (const use of usesFrom(body, endVertex(body, at))) {
      if (use.edge === at.edge) continue;
      const angle = angleBetween(end, 0, linesOf(use)[0].start, 0);
      if (angle > TANGENT_BREAK) continue;
      const rank = angle + (jointFace(body, use) === joint ? 0 : Math.PI);
      if (rank < best) {
        best = rank;
        next = use;
      }
    }
    if (next === null) return { uses, closed: false };
    if (next.edge === first.edge) return { uses, closed: next.against === first.against };
    if (taken.has(next.edge)) return { uses, closed: false };
    taken.add(next.edge);
    uses.push(next);
    at = next;
  }
}

/** The border of the face on the left of `first`, once round. */
export function followLoop(body: Body, first: EdgeUse): EdgeChain {
  if (body.edges[first.edge].closed) return { uses: [first], closed: true };
  const face = leftFace(body, first);
  const uses = [first];
  const taken = new Set([first.edge]);
  const origin = startVertex(body, first);
  for (let at = first; endVertex(body, at) !== origin; ) {
    const next = usesFrom(body, endVertex(body, at)).find(
      (use) => !taken.has(use.edge) && leftFace(body, use) === face,
    );
    if (next === undefined) return { uses, closed: false };
    taken.add(next.edge);
    uses.push(next);
    at = next;
  }
  return { uses, closed: true };
}
