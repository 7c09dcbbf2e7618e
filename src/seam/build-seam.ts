// A selection becomes a seam: edges or the middle of a band, as one curve on the joint face, directed and started.
import { closestPoint } from '../geometry/closest-point.ts';
import { breaks } from '../geometry/curve.ts';
import type { SceneBody } from '../geometry/scene.ts';
import type { Surface } from '../geometry/surface.ts';
import { InputError } from '../model/input-error.ts';
import type { Curve } from '../model/curve.ts';
import type { HeadSettings, JobSeam, Selection } from '../model/job.ts';
import type { Edge } from '../model/part.ts';
import type { FitReport, Seam } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { findBandSides } from './band-sides.ts';
import { type EdgeChain, type EdgeUse, leftFace, rightFace, turnedChain } from './edge-chain.ts';
import { type Line, linesOfEdge, turnedLine } from './edge-line.ts';
import { edgesNear, faceWithin, findEdgesById, findSeamBody, orderEdges, PICK_REACH } from './find-edges.ts';
import { followLoop, followTangent, type LinesOf } from './follow-edges.ts';
import { joinLines, type Track } from './join-lines.ts';
import { chooseJointFace, faceGivenSide } from './joint-face.ts';
import { findMidLine } from './mid-line.ts';
import { offsetTrack } from './offset-track.ts';
import { runsBackward, startTrack } from './start-track.ts';

/** Fields of a job's seam that this stage reads. */
export type SeamRequest = Pick<JobSeam, 'name' | 'select' | 'offset' | 'startNear' | 'reverse'> & {
  readonly head: Pick<HeadSettings, 'axis'>;
};

/** Tangent breaks above these are kinks, and corners. */
const KINK = 0.1 * RAD_PER_DEG;
const CORNER = 5 * RAD_PER_DEG;

/** A line on the joint, before offset, start and direction. */
interface Drawn {
  readonly entry: SceneBody;
  readonly track: Track;
  /** Points that the curve should pass through, 3 x n, mm. */
  readonly check: Float64Array;
  readonly edgeIds: readonly string[];
  readonly faceChoice: Seam['faceChoice'];
}

/**
 * Builds the seam that `request` selects in `scene`. Its curve runs on the joint face, arc lengths in mm from its start.
 * Throws InputError with place `seam <name>` for a selection that matches nothing, several things, or nothing usable.
 */
export async function buildSeam(request: SeamRequest, scene: readonly SceneBody[], task: Task): Promise<Seam> {
  const place = `seam ${request.name}`;
  await task.pause('drawing the seam', 0);
  const lines = createLineStore();
  const drawn =
    request.select.kind === 'band'
      ? await drawBand(request.select, scene, lines, place, task)
      : await drawEdges(request.select, request, scene, lines, place, task);
  const fit = measureFit(drawn.track.curve, drawn.check);
  await task.pause('drawing the seam', 0.5);
  const surfaceOf = (face: number): Surface => drawn.entry.query.surface(face);
  // An offset counts from the seam as it is driven: run backward, the drawn line has b on its other side.
  const backward = runsBackward(drawn.track, surfaceOf, request.startNear, request.reverse, place);
  const aside = backward ? -request.offset : request.offset;
  const moved = aside === 0 ? drawn.track : await offsetTrack(drawn.track, surfaceOf, aside, place, task);
  const { curve, face } = startTrack(moved, backward, request.startNear, place);
  const broken = breaks(curve, KINK);
  await task.pause('drawing the seam', 1);
  return {
    name: request.name,
    curve,
    corners: broken.filter(({ angle }) => angle > CORNER),
    kinks: broken.filter(({ angle }) => angle <= CORNER),
    faces: facesAlong(curve, face, drawn.entry.part),
    edgeIds: drawn.edgeIds,
    faceChoice: drawn.faceChoice,
    fit: reportOnSeam(fit, drawn.check, curve),
  };
}

type EdgeSelection = Exclude<Selection, { kind: 'band' }>;

async function drawEdges(
  select: EdgeSelection,
  request: SeamRequest,
  scene: readonly SceneBody[],
  lines: LineStore,
  place: string,
  task: Task,
): Promise<Drawn> {
  const { entry, chain, faceChoice } = selectEdges(select, request, scene, lines, place);
  const linesOf = lines(entry);
  const { body } = entry.query;
  const track = await trackOf(chain, linesOf, (use) => leftFace(body, use), task);
  return { entry, track, check: vertices(entry, chain), edgeIds: idsOf(entry, chain), faceChoice };
}

/** The chain of edges, with the joint face on its left. */
function selectEdges(
  select: EdgeSelection,
  request: SeamRequest,
  scene: readonly SceneBody[],
  lines: LineStore,
  place: string,
): { entry: SceneBody; chain: EdgeChain; faceChoice: Seam['faceChoice'] } {
  if (select.kind === 'edges') {
    const { entry, edges } = findEdgesById(scene, select.ids, place);
    const ordered = orderEdges(entry.query.body, edges, place);
    return { entry, ...sideOfChain(entry, ordered, select.faceNear, request, scene, lines, place) };
  }
  const entry = findSeamBody(scene, select.body, place);
  const { body } = entry.query;
  const linesOf = lines(entry);
  const follow = (edge: number) => {
    const alone = { uses: [{ edge, against: false }], closed: body.edges[edge].closed };
    const side = sideOfChain(entry, alone, select.faceNear, request, scene, lines, place);
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
  request: SeamRequest,
  scene: readonly SceneBody[],
  lines: LineStore,
  place: string,
): { chain: EdgeChain; faceChoice: Seam['faceChoice'] } {
  if (faceNear !== null) return { chain: faceGivenSide(entry.query, chain, faceNear, place), faceChoice: 'given' };
  const { body } = entry.query;
  // The longest edge of the chain has the most to say.
  const longest = chain.uses.reduce((a, b) => (body.edges[b.edge].length > body.edges[a.edge].length ? b : a));
  const { use, why } = chooseJointFace(entry.query, longest.edge, scene, request.head, lines(entry), place);
  return { chain: use.against === longest.against ? chain : turnedChain(chain), faceChoice: why };
}

async function drawBand(
  select: Extract<Selection, { kind: 'band' }>,
  scene: readonly SceneBody[],
  lines: LineStore,
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
  const right = await trackOf(sides.right, linesOf, (use) => leftFace(query.body, use), task);
  const left = await trackOf(sides.left, linesOf, (use) => rightFace(query.body, use), task);
  const { track, check } = await findMidLine(right, left, (f) => query.surface(f), place, task);
  const edgeIds = [...idsOf(entry, sides.right), ...idsOf(entry, sides.left)];
  return { entry, track, check, edgeIds, faceChoice: 'band' };
}

type LineStore = (entry: SceneBody) => LinesOf;

/** Lines of the bodies' edges, each made once. */
function createLineStore(): LineStore {
  const store = new Map<Edge, readonly Line[]>();
  return ({ query }) =>
    ({ edge: index, against }: EdgeUse) => {
      const edge = query.body.edges[index];
      const lines = store.get(edge) ?? linesOfEdge(query, edge);
      store.set(edge, lines);
      return against ? lines.map(turnedLine).reverse() : lines;
    };
}

async function trackOf(
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

interface Fit extends Omit<FitReport, 'at'> {
  /** Where the largest distance is, index into the points. */
  readonly worst: number;
}

function measureFit(curve: Curve, check: Float64Array): Fit {
  let largest = 0;
  let worst = 0;
  let sum = 0;
  for (let i = 0; i < check.length; i += 3) {
    const { distance } = closestPoint(curve, check[i], check[i + 1], check[i + 2]);
    sum += distance * distance;
    if (distance > largest) {
      largest = distance;
      worst = i / 3;
    }
  }
  const points = check.length / 3;
  return { points, largest, rms: Math.sqrt(sum / Math.max(points, 1)), worst };
}

/** The report with the arc length of the finished seam next to where the fit is worst. */
function reportOnSeam({ points, largest, rms, worst }: Fit, check: Float64Array, curve: Curve): FitReport {
  const at = points > 0 ? closestPoint(curve, check[3 * worst], check[3 * worst + 1], check[3 * worst + 2]).s : 0;
  return { points, largest, rms, at };
}

function facesAlong(curve: Curve, face: readonly number[], part: number): Seam['faces'] {
  const faces: { from: number; ref: { part: number; face: number } }[] = [];
  curve.pieces.forEach(({ arc }, i) => {
    if (i === 0 || face[i] !== face[i - 1]) faces.push({ from: arc[0], ref: { part, face: face[i] } });
  });
  return faces;
}
