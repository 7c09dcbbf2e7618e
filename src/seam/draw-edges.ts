// Seams along edges of the model and along the middle of a band: which edges, on which face, and the line that they give.
import type { SceneBody } from '../geometry/scene.ts';
import { InputError } from '../model/input-error.ts';
import type { HeadSettings, Selection } from '../model/job.ts';
import type { Seam } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import { assignFaces } from './assign-faces.ts';
import { findBandSides } from './band-sides.ts';
import { type EdgeChain, type EdgeUse, leftFace, rightFace, turnedChain } from './edge-chain.ts';
import { type LineStore, trackAlong } from './edge-lines.ts';
import { edgesNear, faceWithin, findEdgesById, findSeamBody, orderEdges, PICK_REACH } from './find-edges.ts';
import { followLoop, followTangent } from './follow-edges.ts';
import type { JoinedFaces } from './joined-faces.ts';
import type { Track } from './join-lines.ts';
import { chooseJointFace, faceGivenSide } from './joint-face.ts';
import { findMidLine } from './mid-line.ts';

type JointHead = Pick<HeadSettings, 'axis'>;

/** A line on the joint, before offset, start and direction. */
export interface Drawn {
  readonly entry: SceneBody;
  readonly track: Track;
  /** Points that the curve should pass through, 3 x n, mm. */
  readonly check: Float64Array;
  readonly edgeIds: readonly string[];
  readonly faceChoice: Seam['faceChoice'];
  /** Edges that the seam runs along; left out where it runs along none. */
  readonly along?: readonly EdgeUse[];
}

type EdgeSelection = Extract<Selection, { kind: 'edge' | 'edges' }>;

/** Edges, with the joint face on their left. */
export async function drawEdges(
  select: EdgeSelection,
  head: JointHead,
  scene: readonly SceneBody[],
  lines: LineStore,
  place: string,
  task: Task,
): Promise<Drawn> {
  const { entry, chain, faceChoice } = selectEdges(select, head, scene, lines, place);
  const linesOf = lines(entry);
  const { body } = entry.query;
  const track = await trackAlong(chain, linesOf, (use) => leftFace(body, use), task);
  return { entry, track, check: vertices(entry, chain), edgeIds: idsOf(entry, chain), faceChoice, along: chain.uses };
}

/** The chain of edges, with the joint face on its left. */
function selectEdges(
  select: EdgeSelection,
  head: JointHead,
  scene: readonly SceneBody[],
  lines: LineStore,
  place: string,
): { entry: SceneBody; chain: EdgeChain; faceChoice: Seam['faceChoice'] } {
  if (select.kind === 'edges') {
    const { entry, edges } = findEdgesById(scene, select.ids, place);
    const ordered = orderEdges(entry.query.body, edges, place);
    return { entry, ...sideOfChain(entry, ordered, select.faceNear, head, scene, lines, place) };
  }
  const entry = findSeamBody(scene, select.body, place);
  const { body } = entry.query;
  const linesOf = lines(entry);
  const follow = (edge: number) => {
    const alone = { uses: [{ edge, against: false }], closed: body.edges[edge].closed };
    const side = sideOfChain(entry, alone, select.faceNear, head, scene, lines, place);
    const [first] = side.chain.uses;
    if (select.follow === 'loop') return { ...side, chain: followLoop(body, first) };
    return select.follow === 'tangent' ? { ...side, chain: followTangent(body, first, linesOf) } : side;
  };
  const picked = whatFits(edgesNear(body, select.near, place), follow);
  const key = (chain: EdgeChain): string =>
    chain.uses
      .map(({ edge, against }) => `${edge}${against ? '-' : '+'}`)
      .sort()
      .join();
  if (picked.some(({ chain }) => key(chain) !== key(picked[0].chain))) {
    const ids = picked.map(({ chain }) => idsOf(entry, chain)[0]);
    const sentence = `${picked.length} edges are equally close to (${select.near.join(', ')})`;
    throw new InputError('selection-ambiguous', sentence, place, `take a point on one of them: ${ids.join(', ')}`);
  }
  return { entry, ...picked[0] };
}

/** What `make` gives for those candidates that it does not refuse; throws its first refusal when it refuses all. */
function whatFits<T>(candidates: readonly number[], make: (candidate: number) => T): T[] {
  const made: T[] = [];
  let refusal: unknown;
  for (const candidate of candidates) {
    try {
      made.push(make(candidate));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      refusal ??= error;
    }
  }
  if (made.length === 0) throw refusal;
  return made;
}

function sideOfChain(
  entry: SceneBody,
  chain: EdgeChain,
  faceNear: EdgeSelection['faceNear'],
  head: JointHead,
  scene: readonly SceneBody[],
  lines: LineStore,
  place: string,
): { chain: EdgeChain; faceChoice: Seam['faceChoice'] } {
  if (faceNear !== null) return { chain: faceGivenSide(entry.query, chain, faceNear, place), faceChoice: 'given' };
  const { body } = entry.query;
  // The longest edge of the chain has the most to say.
  const longest = chain.uses.reduce((a, b) => (body.edges[b.edge].length > body.edges[a.edge].length ? b : a));
  const { use, why } = chooseJointFace(entry.query, longest.edge, scene, head, lines(entry), place);
  return { chain: use.against === longest.against ? chain : turnedChain(chain), faceChoice: why };
}

/** The middle of a band. */
export async function drawBand(
  select: Extract<Selection, { kind: 'band' }>,
  scene: readonly SceneBody[],
  lines: LineStore,
  joined: (entry: SceneBody) => JoinedFaces,
  place: string,
  task: Task,
): Promise<Drawn> {
  const entry = findSeamBody(scene, select.body, place);
  const { query } = entry;
  const [x, y, z] = select.near;
  const face = faceWithin(query, x, y, z, PICK_REACH);
  if (face < 0) {
    const sentence = `no face of "${entry.name}" lies within ${PICK_REACH} mm of (${select.near.join(', ')})`;
    throw new InputError(
      'selection-empty',
      sentence,
      place,
      'take a point on the band; `inspect` lists one for each face',
    );
  }
  const linesOf = lines(entry);
  const sides = findBandSides(query, face, select.follow === 'tangent', linesOf, place);
  const right = await trackAlong(sides.right, linesOf, (use) => leftFace(query.body, use), task);
  const left = await trackAlong(sides.left, linesOf, (use) => rightFace(query.body, use), task);
  const faces = joined(entry);
  const { track, check } = await findMidLine(right, left, faces.surface, place, task);
  const edgeIds = [...idsOf(entry, sides.right), ...idsOf(entry, sides.left)];
  return { entry, track: assignFaces(track, faces), check, edgeIds, faceChoice: 'band' };
}

function idsOf({ query }: SceneBody, chain: EdgeChain): string[] {
  return chain.uses.map(({ edge }) => query.body.edges[edge].id);
}

/** The model's own vertices along a chain, 3 x n, mm. */
function vertices({ query }: SceneBody, chain: EdgeChain): Float64Array {
  const { body } = query;
  return Float64Array.from(
    chain.uses.flatMap(({ edge }) =>
      [...body.edges[edge].vertex].flatMap((v) => [...body.position.subarray(3 * v, 3 * v + 3)]),
    ),
  );
}
