// A band: a long narrow face, or several that follow one another smoothly, with a border on either side. A closed band
// of one face has two loops of border; any other face of it has four corners, two sides and two ends.
import type { BodyQuery } from '../geometry/body-query.ts';
import { angleBetween } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { type EdgeChain, type EdgeUse, endVertex, leftFace, rightFace, turnedChain, usesFrom } from './edge-chain.ts';
import type { LinesOf } from './follow-edges.ts';
import { isSmoothEdge } from './smooth-edge.ts';

/** Both borders run along the band; the band lies left of `right` and right of `left`. */
export interface BandSides {
  readonly right: EdgeChain;
  readonly left: EdgeChain;
}

/** A face's border has a corner where its tangent breaks by more. */
const CORNER = 30 * RAD_PER_DEG;

/** The sides of a band may meet its ends with another vertex between: sides are as long as their edges together. */
type Side = readonly EdgeUse[];

/** Sides of the band through `face`; `follow` goes on through its smooth neighbours. Throws InputError `band-unclear`. */
export function findBandSides(
  query: BodyQuery,
  face: number,
  follow: boolean,
  linesOf: LinesOf,
  place: string,
): BandSides {
  const loops = borderLoops(query, face, place);
  if (loops.length === 2) {
    // Either may be taken for the right one; the outer is: the longer.
    const [a, b] = loops.map((loop) => sideLength(query, loop));
    const [outer, inner] = a >= b ? loops : [loops[1], loops[0]];
    return {
      right: { uses: outer, closed: true },
      left: turnedChain({ uses: inner, closed: true }),
    };
  }
  if (loops.length !== 1) throw unclear(face, `its border has ${loops.length} loops`, place);
  const [right, far, left, near] = quadSides(query, face, loops[0], linesOf, place);
  let chain: BandSides = { right: { uses: right, closed: false }, left: turnedChain({ uses: left, closed: false }) };
  if (!follow) return chain;
  const ahead = walkBand(query, face, far, linesOf, place);
  chain = append(chain, ahead.sides);
  if (ahead.closed) {
    return { right: { ...chain.right, closed: true }, left: { ...chain.left, closed: true } };
  }
  const behind = walkBand(query, face, near, linesOf, place);
  // Walked backward, what is right of the walk is left of the band.
  const turned = behind.sides
    .map(({ right: r, left: l }) => ({ right: turnedChain(l), left: turnedChain(r) }))
    .reverse();
  const [first, ...rest] = [...turned, chain];
  return append(first, rest);
}

function append(first: BandSides, more: readonly BandSides[]): BandSides {
  return {
    right: { uses: [first, ...more].flatMap((sides) => sides.right.uses), closed: false },
    left: { uses: [first, ...more].flatMap((sides) => sides.left.uses), closed: false },
  };
}

/** Goes on across `end` (uses with `face` on their left) from face to face, until the band ends or comes round. */
function walkBand(
  query: BodyQuery,
  face: number,
  end: Side,
  linesOf: LinesOf,
  place: string,
): { sides: BandSides[]; closed: boolean } {
  const sides: BandSides[] = [];
  const seen = new Set([face]);
  for (let across = end; ; ) {
    const next = rightFace(query.body, across[0]);
    const smooth =
      next >= 0 && across.every((use) => rightFace(query.body, use) === next && isSmoothEdge(query, use.edge));
    if (!smooth) return { sides, closed: false };
    if (next === face) return { sides, closed: true };
    if (seen.has(next)) throw unclear(next, 'the band runs into itself', place);
    seen.add(next);
    const loops = borderLoops(query, next, place);
    if (loops.length !== 1) throw unclear(next, `its border has ${loops.length} loops`, place);
    const four = cornerSides(next, loops[0], linesOf, place);
    const entry = four.findIndex((side) => side.some((use) => use.edge === across[0].edge));
    if (four[entry].length !== across.length) throw unclear(next, "its end is not its neighbour's end", place);
    // Round the face with it on the left: the side after the entry is the right one.
    const [right, far, left] = [1, 2, 3].map((k) => four[(entry + k) % 4]);
    sides.push({ right: { uses: right, closed: false }, left: turnedChain({ uses: left, closed: false }) });
    across = far;
  }
}

/** The four sides of a lone band face: right, far end, left, near end. The ends are the smooth pair, else the shorter. */
function quadSides(
  query: BodyQuery,
  face: number,
  loop: Side,
  linesOf: LinesOf,
  place: string,
): readonly [Side, Side, Side, Side] {
  const four = cornerSides(face, loop, linesOf, place);
  const smooth = four.map((side) =>
    side.every((use) => rightFace(query.body, use) >= 0 && isSmoothEdge(query, use.edge)),
  );
  const size = four.map((side) => sideLength(query, side));
  const oddAreEnds =
    (smooth[1] || smooth[3]) !== (smooth[0] || smooth[2])
      ? smooth[1] || smooth[3]
      : size[1] + size[3] < size[0] + size[2];
  const k = oddAreEnds ? 0 : 1;
  return [four[k], four[k + 1], four[(k + 2) % 4], four[(k + 3) % 4]];
}

/** A border loop cut at its four corners. Throws InputError when it has another number of them. */
function cornerSides(face: number, loop: Side, linesOf: LinesOf, place: string): Side[] {
  const n = loop.length;
  const corners = loop.flatMap((use, i) => {
    const before = linesOf(loop[(i + n - 1) % n]).at(-1)?.end as Float64Array;
    return angleBetween(before, 0, linesOf(use)[0].start, 0) > CORNER ? [i] : [];
  });
  if (corners.length !== 4)
    throw unclear(face, `its border has ${corners.length} corners, a band has four or none`, place);
  return corners.map((from, k) => {
    const to = k < 3 ? corners[k + 1] : corners[0] + n;
    return Array.from({ length: to - from }, (_, i) => loop[(from + i) % n]);
  });
}

/** Loops of uses round a face, with it on their left, in the order of the body's edges. */
function borderLoops(query: BodyQuery, face: number, place: string): Side[] {
  const { body } = query;
  const left: EdgeUse[] = [];
  body.edges.forEach(({ faces }, edge) => {
    if (faces[0] === face) left.push({ edge, against: false });
    if (faces[1] === face) left.push({ edge, against: true });
  });
  const taken = new Set<number>();
  const loops: Side[] = [];
  for (const first of left) {
    if (taken.has(first.edge)) continue;
    const loop = [first];
    taken.add(first.edge);
    while (!body.edges[first.edge].closed && endVertex(body, loop[loop.length - 1]) !== startOf(body, first)) {
      const next = usesFrom(body, endVertex(body, loop[loop.length - 1])).find(
        (use) => leftFace(body, use) === face && !taken.has(use.edge),
      );
      if (next === undefined) throw unclear(face, 'its border is not closed', place);
      taken.add(next.edge);
      loop.push(next);
    }
    loops.push(loop);
  }
  return loops;
}

function startOf(body: BodyQuery['body'], use: EdgeUse): number {
  return endVertex(body, { ...use, against: !use.against });
}

function sideLength(query: BodyQuery, side: Side): number {
  return side.reduce((sum, use) => sum + query.body.edges[use.edge].length, 0);
}

function unclear(face: number, why: string, place: string): InputError {
  const hint = 'select its edges instead, with an offset to the middle';
  return new InputError('band-unclear', `face ${face} is no band: ${why}`, place, hint);
}
