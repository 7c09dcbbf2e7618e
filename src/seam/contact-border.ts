// The border of a contact as a curve: along edges of the joint's own body, under edges of the other body, or where the gap
// reaches the tolerance. The chain that marching gave says which, and where one gives way to the next; the curve itself is
// made of the edges' own lines, so that it is as exact as they are.
import { closestPoint } from '../geometry/closest-point.ts';
import { buildCurve, cutCurve, evaluate, pointAt, shiftStart, wrap } from '../geometry/curve.ts';
import type { SceneBody } from '../geometry/scene.ts';
import type { Surface } from '../geometry/surface.ts';
import { distance, dot, orthonormalise } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import type { Curve, CurvePiece } from '../model/curve.ts';
import type { Task } from '../model/task.ts';
import type { BorderStep, ContactRegion } from './contact-region.ts';
import { leftFace } from './edge-chain.ts';
import { type Line, turnedLine } from './edge-line.ts';
import type { EdgeNear } from './edge-near.ts';
import type { LineStore } from './edge-lines.ts';
import { crossCurves, joinAtCrossings } from './join-at-crossings.ts';
import { joinLines, type Track } from './join-lines.ts';

/** A stretch under the other's edges or between them that is shorter than this, mm, is the way from one to the next. */
const BRIEF = 0.25;

/** Two edges of one body follow one another where their ends are this close, mm, and the chain passes this near to them. */
const SAME_END = 2e-3;
const NEAR_END = 1.5;

/** Crossings of two edges are sought in steps of this, mm, and up to this far from where the chain changes over, mm. */
const CROSSING_STEP = 1;
const FARTHEST_CROSSING = 8;

/** Points of a border where no edge runs stand at least this far apart, mm. */
const LEAST_STEP = 0.3;

/** An other face this close, mm, has its edge's tangents on the joint too. */
const TOUCHING = 1e-4;

type Source =
  | { readonly kind: 'own'; readonly edge: number }
  | { readonly kind: 'other'; readonly edge: number }
  | { readonly kind: 'free' };

/** Steps of one source, one after the other. */
interface Run {
  readonly source: Source;
  readonly steps: BorderStep[];
}

export interface ContactSides {
  readonly own: SceneBody;
  readonly other: SceneBody;
  readonly surfaceOf: (face: number) => Surface;
  readonly lines: LineStore;
  /** Edge of the other body at a place of the joint, point and normal; -1 for none. */
  readonly edgeNear: EdgeNear;
}

export interface Border {
  readonly track: Track;
  /** Ids of the edges it runs along or under, in order. */
  readonly edgeIds: readonly string[];
}

/** Curve along one border of a region, which stays on its left. Throws InputError `contact-unclear`. */
export async function borderTrack(
  region: ContactRegion,
  chain: readonly BorderStep[],
  sides: ContactSides,
  place: string,
  task: Task,
): Promise<Border> {
  const runs = findRuns(region, chain, sides);
  const stretches: Stretch[] = [];
  for (const run of runs) {
    stretches.push(stretchOf(run, region, sides, place));
    await task.pause('drawing the border of the contact', stretches.length / runs.length);
  }
  const meetings = stretches.map((stretch, i) => meetingOf(stretch, stretches[(i + 1) % stretches.length]));
  const pieces = stretches.flatMap((stretch, i) => {
    if (stretches.length === 1) return stretch.whole;
    return stretch.between(meetings[(i + stretches.length - 1) % stretches.length].start, meetings[i].end);
  });
  const edgeIds = runs.flatMap(({ source }) =>
    source.kind === 'free' ? [] : [sides[source.kind].query.body.edges[source.edge].id],
  );
  const refuse = () => unclear('two stretches of its border do not meet', place);
  const track = joinAtCrossings(
    pieces.map(({ line }) => line),
    pieces.map(({ face }) => face),
    true,
    refuse,
  );
  return { track, edgeIds };
}

/** The lines of a run: all of them, or those between two arc lengths of its edge. */
interface Stretch {
  /** The whole edge as a curve, run like the chain; null where there is no edge. */
  readonly curve: Curve | null;
  readonly whole: readonly Piece[];
  /** Null stands for the edge's own start, or end. */
  between(start: number | null, end: number | null): readonly Piece[];
  readonly first: Float64Array;
  readonly last: Float64Array;
}

interface Piece {
  readonly line: Line;
  readonly face: number;
}

/** Where the first stretch ends and the second begins: at ends of edges that follow one another, else where they cross. */
function meetingOf(first: Stretch, second: Stretch): { end: number | null; start: number | null } {
  if (follows(first, second)) return { end: null, start: null };
  const [x, y, z] = first.last;
  const end = first.curve === null ? null : closestPoint(first.curve, x, y, z).s;
  const [u, v, w] = second.first;
  const start = second.curve === null ? null : closestPoint(second.curve, u, v, w).s;
  if (first.curve === null || second.curve === null || end === null || start === null) return { end, start };
  // At a shallow crossing the chain changes over some way beside it.
  const crossing = crossCurves(first.curve, second.curve, end, start, CROSSING_STEP);
  const far = crossing === null || distance(crossing.point, 0, first.last, 0) > FARTHEST_CROSSING;
  return far ? { end, start } : { end: crossing.s0, start: crossing.s1 };
}

/** Whether the second stretch's edge begins where the first one's ends, and the chain passes there. */
function follows(first: Stretch, second: Stretch): boolean {
  if (first.curve === null || second.curve === null || first.curve.closed || second.curve.closed) return false;
  const end = new Float64Array(9);
  const start = new Float64Array(9);
  pointAt(first.curve, first.curve.length, end);
  pointAt(second.curve, 0, start);
  return distance(end, 0, start, 0) <= SAME_END && distance(end, 0, first.last, 0) <= NEAR_END;
}

function stretchOf(run: Run, region: ContactRegion, sides: ContactSides, place: string): Stretch {
  const node = (i: number): Float64Array => Float64Array.from(region.position.slice(3 * i, 3 * i + 3));
  const first = node(run.steps[0].from);
  const last = node(run.steps[run.steps.length - 1].to);
  const lines = run.source.kind === 'free' ? [freeLine(run, region, sides, place)] : edgeLines(run, region, sides);
  const track =
    run.source.kind === 'free'
      ? null
      : joinLines(
          lines,
          lines.map(() => 0),
          isRing(lines),
        );
  const { face } = run.steps[0];
  const whole = lines.map((line) => ({ line, face }));
  return {
    curve: track === null ? null : track.curve,
    whole,
    between(start, end) {
      if (track === null || (start === null && end === null)) return whole;
      const pieces = piecesBetween(track.curve, start ?? 0, end ?? track.curve.length);
      return pieces.map((piece) => ({ line: lineOfPiece(piece), face }));
    },
    first,
    last,
  };
}

/** Lines of the run's edge in the direction of the chain; those of the other body laid onto the joint face. */
function edgeLines(run: Run, region: ContactRegion, sides: ContactSides): readonly Line[] {
  const { source } = run;
  const { face } = run.steps[0];
  if (source.kind === 'own') {
    const { own } = sides;
    const along = { edge: source.edge, against: false };
    const against = leftFace(own.query.body, along) !== face;
    return sides.lines(own)({ ...along, against });
  }
  const surface = sides.surfaceOf(face);
  const lines = sides
    .lines(sides.other)({ edge: (source as { edge: number }).edge, against: false })
    .map((line) => layOnto(line, surface));
  return runsWith(lines, run, region) ? lines : lines.map(turnedLine).reverse();
}

function isRing(lines: readonly Line[]): boolean {
  const last = lines[lines.length - 1];
  return lines[0].closed || distance(lines[0].point, 0, last.point, last.point.length - 3) < SAME_END;
}

/** Whether the lines run like the chain, judged in the middle of the run. */
function runsWith(lines: readonly Line[], run: Run, region: ContactRegion): boolean {
  const { curve } = joinLines(
    lines,
    lines.map(() => 0),
    isRing(lines),
  );
  const { from, to } = run.steps[run.steps.length >> 1];
  const step = Float64Array.from([0, 1, 2], (k) => region.position[3 * to + k] - region.position[3 * from + k]);
  const [x, y, z] = region.position.slice(3 * from, 3 * from + 3);
  const at = new Float64Array(9);
  pointAt(curve, closestPoint(curve, x, y, z).s, at);
  return dot(step, 0, at, 3) > 0;
}

/** A line of the other body's edge moved to the closest points of the joint face. */
function layOnto(line: Line, surface: Surface): Line {
  const n = line.point.length / 3;
  const point = line.point.slice();
  const foot = new Float64Array(6);
  let apart = 0;
  const lay = (i: number, tangent: Float64Array): Float64Array => {
    const laid = tangent.slice();
    if (!surface.project(point[3 * i], point[3 * i + 1], point[3 * i + 2], foot)) return laid;
    orthonormalise(laid, 0, foot, 3);
    return laid;
  };
  const start = lay(0, line.start);
  const end = lay(line.closed ? 0 : n - 1, line.end);
  for (let i = 0; i < n; i++) {
    if (!surface.project(point[3 * i], point[3 * i + 1], point[3 * i + 2], foot)) continue;
    apart = Math.max(apart, distance(foot, 0, point, 3 * i));
    point.set(foot.subarray(0, 3), 3 * i);
  }
  return { point, closed: line.closed, start, end, exact: line.exact && apart < TOUCHING };
}

/** The chain's own places, where no edge runs. */
function freeLine(run: Run, region: ContactRegion, { surfaceOf }: ContactSides, place: string): Line {
  const { steps } = run;
  const closed = steps[steps.length - 1].to === steps[0].from;
  const nodes = closed ? steps.map(({ from }) => from) : [steps[0].from, ...steps.map(({ to }) => to)];
  const foot = new Float64Array(6);
  const kept: number[] = [];
  nodes.forEach((node, i) => {
    const [x, y, z] = region.position.slice(3 * node, 3 * node + 3);
    const face = steps[Math.min(i, steps.length - 1)].face;
    if (!surfaceOf(face).project(x, y, z, foot)) return;
    const last = kept.slice(-3);
    const far = last.length === 0 || distance(Float64Array.from(last), 0, foot, 0) >= LEAST_STEP;
    // The last place of an open stretch is kept for the one before it.
    if (!far && !closed && i === nodes.length - 1 && kept.length > 3) kept.splice(-3);
    if (far || (!closed && i === nodes.length - 1)) kept.push(foot[0], foot[1], foot[2]);
  });
  const point = Float64Array.from(kept);
  const n = point.length / 3;
  if (n < (closed ? 4 : 2)) throw unclear('a stretch of its border is too short to follow', place);
  const chord = (i: number, j: number): Float64Array => {
    const along = Float64Array.from([0, 1, 2], (k) => point[3 * j + k] - point[3 * i + k]);
    const size = Math.sqrt(dot(along, 0, along, 0));
    return along.map((x) => x / size);
  };
  return closed
    ? { point, closed, start: chord(n - 1, 1), end: chord(n - 1, 1), exact: false }
    : { point, closed, start: chord(0, 1), end: chord(n - 2, n - 1), exact: false };
}

/** Pieces of a curve from one arc length to another, round a closed one. */
function piecesBetween(curve: Curve, s0: number, s1: number): readonly CurvePiece[] {
  const turned = curve.closed ? shiftStart(curve, wrap(s0, curve.length)) : curve;
  const from = curve.closed ? 0 : s0;
  const to = curve.closed ? wrap(s1 - s0, curve.length) : s1;
  return cutCurve(turned, [from, to]).pieces.filter(({ arc }) => {
    const middle = (arc[0] + arc[arc.length - 1]) / 2;
    return middle > from && middle < to;
  });
}

function lineOfPiece(piece: CurvePiece): Line {
  const spans = piece.knot.length - 1;
  const point = new Float64Array(3 * (spans + 1));
  const at = new Float64Array(9);
  const ends: Float64Array[] = [];
  for (let j = 0; j <= spans; j++) {
    const span = Math.min(j, spans - 1);
    evaluate(piece, span, piece.knot[j] - piece.knot[span], at);
    point.set(at.subarray(0, 3), 3 * j);
    if (j === 0 || j === spans) ends.push(at.slice(3, 6));
  }
  return { point, closed: false, start: ends[0], end: ends[1], exact: true };
}

/** The other body's edge under the middle of a step; -1 for none. */
function edgeUnder({ position }: ContactRegion, { from, to, face }: BorderStep, sides: ContactSides): number {
  const [x, y, z] = [0, 1, 2].map((k) => (position[3 * from + k] + position[3 * to + k]) / 2);
  const foot = new Float64Array(6);
  return sides.surfaceOf(face).project(x, y, z, foot) ? sides.edgeNear(foot) : -1;
}

/** The chain cut where its source changes, beginning at such a place. */
function findRuns(region: ContactRegion, chain: readonly BorderStep[], sides: ContactSides): Run[] {
  const sources = chain.map((step): Source => {
    if (step.edge >= 0) return { kind: 'own', edge: step.edge };
    const edge = edgeUnder(region, step, sides);
    return edge >= 0 ? { kind: 'other', edge } : { kind: 'free' };
  });
  const same = (a: Source, b: Source): boolean =>
    a.kind === b.kind && (a.kind === 'free' || a.edge === (b as { edge: number }).edge);
  const n = chain.length;
  const begin = Math.max(
    0,
    sources.findIndex((source, i) => !same(source, sources[(i + n - 1) % n])),
  );
  let runs: Run[] = [];
  for (let k = 0; k < n; k++) {
    const i = (begin + k) % n;
    const last = runs[runs.length - 1];
    if (last !== undefined && same(last.source, sources[i])) last.steps.push(chain[i]);
    else runs.push({ source: sources[i], steps: [chain[i]] });
  }
  const isBrief = ({ source, steps }: Run): boolean =>
    source.kind !== 'own' && steps.reduce((sum, step) => sum + stepLength(region, step), 0) < BRIEF;
  const long = runs.filter((run) => !isBrief(run));
  if (long.length > 0) runs = long;
  // What brief stretches stood between may be one again, also round the start.
  return runs.reduce<Run[]>((kept, run, i) => {
    const last = kept[kept.length - 1];
    if (last !== undefined && same(last.source, run.source)) last.steps.push(...run.steps);
    else if (i === runs.length - 1 && kept.length > 0 && same(kept[0].source, run.source))
      kept[0].steps.unshift(...run.steps);
    else kept.push({ source: run.source, steps: [...run.steps] });
    return kept;
  }, []);
}

function stepLength({ position }: ContactRegion, { from, to }: BorderStep): number {
  const [x, y, z] = [0, 1, 2].map((k) => position[3 * to + k] - position[3 * from + k]);
  return Math.sqrt(x * x + y * y + z * z);
}

/** Throws nothing; makes the error of a contact that has no centre line. */
export function unclear(why: string, place: string): InputError {
  const hint = 'select the band or the edges of the joint instead, or another tolerance_mm';
  return new InputError('contact-unclear', `the contact has no centre line: ${why}`, place, hint);
}

/** The pieces of a closed track from one joint between pieces to another, as an open track. */
export function subTrack({ curve, face }: Track, from: number, to: number): Track {
  const end = wrap(to - from, curve.length) || curve.length;
  const turned = shiftStart(curve, from);
  const first = curve.pieces.findIndex(({ arc }) => Math.abs(arc[0] - from) < 1e-6);
  const pieces = turned.pieces.filter(({ arc }) => (arc[0] + arc[arc.length - 1]) / 2 < end);
  const faces = pieces.map((_, i) => face[(first + i) % face.length]);
  return { curve: buildCurve(pieces, false), face: faces };
}
