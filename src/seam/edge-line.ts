// The points of a model edge, fit for a spline: where both of its faces have a recognised surface, its vertices are
// polished onto both (Newton's method on the two distances, smallest move) and points are put between them until the
// turn from one to the next is small; otherwise its vertices as the importer gave them.
import type { BodyQuery } from '../geometry/body-query.ts';
import { evaluate } from '../geometry/curve.ts';
import { interpolate } from '../geometry/spline.ts';
import type { Surface } from '../geometry/surface.ts';
import { angleBetween, cross, distance, dot, normalise } from '../geometry/vector.ts';
import type { Edge } from '../model/part.ts';
import { RAD_PER_DEG } from '../model/units.ts';

/** A stretch of an edge without corners. */
export interface Line {
  /** 3 x n, mm; a closed line does not repeat its first point. */
  readonly point: Float64Array;
  readonly closed: boolean;
  /** Unit tangents at the ends, pointing onward. */
  readonly start: Float64Array;
  readonly end: Float64Array;
  /** Tangents come from the two surfaces; else they are estimates from the points. */
  readonly exact: boolean;
}

/** Faces that fold by less than this do not fix the line where they meet. */
const LEAST_FOLD = 3 * RAD_PER_DEG;

/** A vertex that polishing would move further than this, mm, does not belong to these surfaces. */
const LARGEST_MOVE = 1e-3;

/** Between neighbouring points: largest turn, and largest distance unless the line is straight. */
const LARGEST_TURN = 2 * RAD_PER_DEG;
const LARGEST_STEP = 1;
const SMALLEST_STEP = 0.02;

/** A chord whose tangents turn by less and whose middle lies closer to the line, mm, is a straight line. */
const STRAIGHT_TURN = 1e-6;
const STRAIGHT_SAG = 1e-7;

/** An edge is cut at a vertex that turns by more than this and by more than three times what its neighbours turn. */
const CUT_TURN = 15 * RAD_PER_DEG;
const CUT_RATIO = 3;
/** No tessellation turns a smooth line by this much at a vertex: it is a corner, whatever its neighbours are. */
const SURE_CUT = 75 * RAD_PER_DEG;

/** Lines of an edge in its own direction: one, or several where it has corners of its own. */
export function linesOfEdge(query: BodyQuery, edge: Edge): readonly Line[] {
  const vertex = new Float64Array(3 * edge.vertex.length);
  edge.vertex.forEach((v, i) => {
    vertex.set(query.body.position.subarray(3 * v, 3 * v + 3), 3 * i);
  });
  const meeting = createMeeting(query, edge);
  return cutAtCorners(vertex, edge.closed).map(({ point, closed }) => {
    const polished = meeting && polishLine(meeting, point, closed);
    return polished ?? asGiven(point, closed, meeting);
  });
}

/**
 * Moves `point` (3 numbers at an offset) onto the line where the two faces meet and writes the unit tangent there;
 * `along` (3 numbers at an offset) says which way it points. False where the two do not meet nearby, or touch.
 */
type Meeting = (
  point: Float64Array,
  i: number,
  along: Float64Array,
  j: number,
  tangent: Float64Array,
  k: number,
) => boolean;

/** Null along an open border. With a fitted surface on a side it serves for tangents, not for points. */
function createMeeting(query: BodyQuery, edge: Edge): (Meeting & { recognised: boolean }) | null {
  if (edge.faces[1] < 0) return null;
  const [one, two] = edge.faces.map((face) => query.surface(face)) as [Surface, Surface];
  const a = new Float64Array(6);
  const b = new Float64Array(6);
  const from = new Float64Array(3);
  const meet: Meeting = (point, i, along, j, tangent, k) => {
    from.set(point.subarray(i, i + 3));
    for (let step = 0; step < 12; step++) {
      const [x, y, z] = [point[i], point[i + 1], point[i + 2]];
      if (!one.project(x, y, z, a) || !two.project(x, y, z, b)) return false;
      const da = (x - a[0]) * a[3] + (y - a[1]) * a[4] + (z - a[2]) * a[5];
      const db = (x - b[0]) * b[3] + (y - b[1]) * b[4] + (z - b[2]) * b[5];
      const cosine = dot(a, 3, b, 3);
      cross(a, 3, b, 3, tangent, k);
      const sine = normalise(tangent, k);
      if (sine < LEAST_FOLD) return false;
      // The smallest move that brings both distances to zero lies in the plane of the two normals.
      const fa = (-da + cosine * db) / (sine * sine);
      const fb = (-db + cosine * da) / (sine * sine);
      for (let c = 0; c < 3; c++) point[i + c] += fa * a[3 + c] + fb * b[3 + c];
      if (Math.abs(da) + Math.abs(db) < 1e-9) {
        if (dot(tangent, k, along, j) < 0) for (let c = 0; c < 3; c++) tangent[k + c] *= -1;
        return distance(from, 0, point, i) < LARGEST_STEP;
      }
    }
    return false;
  };
  return Object.assign(meet, { recognised: one.kind !== 'fitted' && two.kind !== 'fitted' });
}

/** The polished and densified line, or null where the two surfaces do not give one. */
function polishLine(meet: Meeting & { recognised: boolean }, vertex: Float64Array, closed: boolean): Line | null {
  if (!meet.recognised) return null;
  const n = vertex.length / 3;
  const point = vertex.slice();
  const tangent = new Float64Array(3 * n);
  const along = new Float64Array(3);
  for (let i = 0; i < n; i++) {
    const before = closed ? (i + n - 1) % n : Math.max(i - 1, 0);
    const after = closed ? (i + 1) % n : Math.min(i + 1, n - 1);
    for (let c = 0; c < 3; c++) along[c] = vertex[3 * after + c] - vertex[3 * before + c];
    if (!meet(point, 3 * i, along, 0, tangent, 3 * i)) return null;
    if (distance(point, 3 * i, vertex, 3 * i) > LARGEST_MOVE) return null;
  }
  const dense: number[] = [];
  const last = closed ? n : n - 1;
  for (let i = 0; i < last; i++) {
    const j = (i + 1) % n;
    dense.push(...point.subarray(3 * i, 3 * i + 3));
    const inside = fillChord(
      meet,
      { point: point.slice(3 * i, 3 * i + 3), tangent: tangent.slice(3 * i, 3 * i + 3) },
      { point: point.slice(3 * j, 3 * j + 3), tangent: tangent.slice(3 * j, 3 * j + 3) },
    );
    if (inside === null) return null;
    for (const knot of inside) dense.push(...knot.point);
  }
  if (!closed) dense.push(...point.subarray(3 * last));
  const end = closed ? tangent.slice(0, 3) : tangent.slice(3 * last);
  return { point: Float64Array.from(dense), closed, start: tangent.slice(0, 3), end, exact: true };
}

interface Knot {
  readonly point: Float64Array;
  readonly tangent: Float64Array;
}

/** Points to put between two, by halving; null where the surfaces lose each other on the way. */
function fillChord(meet: Meeting, a: Knot, b: Knot): Knot[] | null {
  const step = distance(a.point, 0, b.point, 0);
  const turn = angleBetween(a.tangent, 0, b.tangent, 0);
  if (step < SMALLEST_STEP || (turn <= LARGEST_TURN && step <= LARGEST_STEP)) return [];
  const chord = new Float64Array(3);
  const point = new Float64Array(3);
  const tangent = new Float64Array(3);
  for (let c = 0; c < 3; c++) {
    chord[c] = b.point[c] - a.point[c];
    point[c] = (a.point[c] + b.point[c]) / 2;
  }
  const middle = point.slice();
  if (!meet(point, 0, chord, 0, tangent, 0)) return null;
  if (turn < STRAIGHT_TURN && distance(middle, 0, point, 0) < STRAIGHT_SAG) return [];
  const knot = { point, tangent };
  const before = fillChord(meet, a, knot);
  const after = fillChord(meet, knot, b);
  return before && after && [...before, knot, ...after];
}

/** The vertices as they are. Tangents are those of a spline through them, of the surfaces where there are too few. */
function asGiven(point: Float64Array, closed: boolean, meet: Meeting | null): Line {
  const n = point.length / 3;
  const open = closed ? Float64Array.of(...point, ...point.subarray(0, 3)) : point;
  const spline = interpolate(open, null, null);
  const spans = spline.knot.length - 1;
  const first = new Float64Array(9);
  const last = new Float64Array(9);
  evaluate(spline, 0, 0, first);
  evaluate(spline, spans - 1, spline.knot[spans] - spline.knot[spans - 1], last);
  const line = { point, closed, start: first.slice(3, 6), end: last.slice(3, 6), exact: false };
  if (n >= 4 || closed || meet === null) return line;
  const start = new Float64Array(3);
  const end = new Float64Array(3);
  const met =
    meet(point.slice(0, 3), 0, line.start, 0, start, 0) && meet(point.slice(3 * n - 3), 0, line.end, 0, end, 0);
  return met ? { ...line, start, end, exact: true } : line;
}

/** Cuts a polyline where it has a corner; a closed one that has none stays closed. */
function cutAtCorners(point: Float64Array, closed: boolean): { point: Float64Array; closed: boolean }[] {
  const n = point.length / 3;
  const turn = new Float64Array(n);
  const chord = new Float64Array(6);
  for (let i = closed ? 0 : 1; i < (closed ? n : n - 1); i++) {
    for (let c = 0; c < 3; c++) {
      chord[c] = point[3 * i + c] - point[3 * ((i + n - 1) % n) + c];
      chord[3 + c] = point[3 * ((i + 1) % n) + c] - point[3 * i + c];
    }
    turn[i] = angleBetween(chord, 0, chord, 3);
  }
  const cuts: number[] = [];
  for (let i = 0; i < n; i++) {
    const neighbour = Math.max(turn[(i + n - 1) % n], turn[(i + 1) % n]);
    if (turn[i] > CUT_TURN && turn[i] > Math.min(CUT_RATIO * neighbour, SURE_CUT)) cuts.push(i);
  }
  if (closed && cuts.length === 0) return [{ point, closed }];
  const marks = closed ? [...cuts, cuts[0] + n] : [0, ...cuts, n - 1];
  return marks.slice(1).map((to, k) => {
    const part: number[] = [];
    for (let i = marks[k]; i <= to; i++) part.push(...point.subarray(3 * (i % n), 3 * (i % n) + 3));
    return { point: Float64Array.from(part), closed: false };
  });
}

/** The same line run the other way. */
export function turnedLine(line: Line): Line {
  const n = line.point.length / 3;
  const point = new Float64Array(3 * n);
  for (let i = 0; i < n; i++) {
    // A closed line keeps its first point.
    const j = line.closed ? (n - i) % n : n - 1 - i;
    point.set(line.point.subarray(3 * j, 3 * j + 3), 3 * i);
  }
  return { ...line, point, start: line.end.map((c) => -c), end: line.start.map((c) => -c) };
}
