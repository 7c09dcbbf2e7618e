// Corners rounded on the joint face: a quintic from a place before the corner to one as far behind it, with the tangents and
// curvature vectors that the seam has there (quintic Hermite interpolation, Farin 2002, Curves and Surfaces for CAGD, sec.
// 7.6), so that neither direction nor curvature jumps. Its size follows from how far it may pass the corner.
import { closestPoint } from '../geometry/closest-point.ts';
import { breaks, buildCurve, cutCurve, locate, pointAt, wrap } from '../geometry/curve.ts';
import { interpolate, type Spline } from '../geometry/spline.ts';
import type { Surface } from '../geometry/surface.ts';
import { angleBetween } from '../geometry/vector.ts';
import type { Break, Curve } from '../model/curve.ts';
import type { Blend } from '../model/seam.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import type { Track } from './join-lines.ts';
import { shiftTrack } from './start-track.ts';

/**
 * Speed of the quintic at its ends over the distance d to the corner. Of the speeds tried (1.4 to 2.5) those about this one
 * give the least curvature for a deviation at 60 to 90 degrees: at 90 degrees 0.47 / deviation, an arc has 0.41.
 */
const END_SPEED = 1.7;

/** Deviation of such a quintic between straight lines over d |T1 - T0|: (1 + 5 (1 - v/5) + 10 (1 - 2v/5)) / 32. */
const DEVIATION = 0.234375;

/** Share of the way to the next corner, or to the end of an open seam, that a blend may take. */
const SHARE_TO_CORNER = 0.48;
const SHARE_TO_END = 0.9;

/** Faces that fold by more in the corner have no surface to round it on. */
const FOLD = 5 * RAD_PER_DEG;

/** Turn from one place of a blend to the next, and fewest steps. */
const TURN = 2 * RAD_PER_DEG;
const FEWEST = 16;

/** A blend smaller than this, mm, is no blend. */
const LEAST = 0.01;

const ROUNDS = 8;

export interface Rounded {
  readonly track: Track;
  /** Where the blends lie on a curve that is the track's, begun or run otherwise. */
  blendsOn(curve: Curve): readonly Blend[];
}

interface Arc {
  readonly corner: Break;
  readonly reach: number;
  readonly spline: Spline;
  readonly deviation: number;
  /** Places at its start, in its middle and at its end. */
  readonly marks: readonly Float64Array[];
}

/** Rounds the corners (breaks of more than `angle`, rad) that lie on smooth faces, each to pass at most `wanted` mm off. */
export function blendCorners(
  given: Track,
  surfaceOf: (face: number) => Surface,
  wanted: number,
  angle: number,
): Rounded {
  if (!(wanted > 0)) return { track: given, blendsOn: () => [] };
  const track = awayFromCorner(given, angle);
  const { curve, face } = track;
  const corners = breaks(curve, angle);
  const arcs = corners.flatMap((corner, k) => {
    const room = roomAt(curve, corners, k);
    const arc = roundCorner(track, surfaceOf, corner, room, wanted);
    return arc === null ? [] : [arc];
  });
  if (arcs.length === 0) return { track: given, blendsOn: () => [] };
  const cuts = arcs.flatMap(({ corner, reach }) => [corner.s - reach, corner.s + reach]);
  const cut = cutCurve(curve, cuts);
  const splines: Spline[] = [];
  const faces: number[] = [];
  const done = new Set<Arc>();
  for (const piece of cut.pieces) {
    const middle = (piece.arc[0] + piece.arc[piece.arc.length - 1]) / 2;
    const under = face[locate(curve, middle).piece];
    const arc = arcs.find(({ corner, reach }) => Math.abs(middle - corner.s) < reach);
    if (arc !== undefined && done.has(arc)) continue;
    if (arc !== undefined) done.add(arc);
    splines.push(arc?.spline ?? piece);
    faces.push(under);
  }
  const rounded = { curve: buildCurve(splines, curve.closed), face: faces };
  return {
    track: rounded,
    blendsOn: (final) => arcs.map((arc) => placeBlend(arc, final, wanted)).sort((a, b) => a.from - b.from),
  };
}

/** A closed track begun in the middle of its longest stretch between corners. */
function awayFromCorner(track: Track, angle: number): Track {
  const { curve } = track;
  const corners = breaks(curve, angle);
  if (!curve.closed || corners.length === 0) return track;
  let best = 0;
  let longest = 0;
  corners.forEach(({ s }, k) => {
    const next = k + 1 < corners.length ? corners[k + 1].s : corners[0].s + curve.length;
    if (next - s <= longest) return;
    longest = next - s;
    best = (s + next) / 2;
  });
  return shiftTrack(track, wrap(best, curve.length));
}

/** How far a blend may reach to either side of corner k, mm. */
function roomAt(curve: Curve, corners: readonly Break[], k: number): number {
  const { s } = corners[k];
  // A closed curve begins in the middle of a stretch: what lies before its start is as long again.
  const before = k > 0 ? (s - corners[k - 1].s) * SHARE_TO_CORNER : s * SHARE_TO_END;
  const after = k + 1 < corners.length ? (corners[k + 1].s - s) * SHARE_TO_CORNER : (curve.length - s) * SHARE_TO_END;
  return Math.min(before, after);
}

/** The blend of a corner; null where there is no room, or the faces fold there. */
function roundCorner(
  { curve, face }: Track,
  surfaceOf: (face: number) => Surface,
  corner: Break,
  room: number,
  wanted: number,
): Arc | null {
  const after = locate(curve, corner.s).piece;
  const at = new Float64Array(9);
  pointAt(curve, corner.s, at);
  const one = surfaceOf(face[after - 1]);
  const two = surfaceOf(face[after]);
  const a = new Float64Array(6);
  const b = new Float64Array(6);
  const known = one.project(at[0], at[1], at[2], a) && two.project(at[0], at[1], at[2], b);
  if (!known || angleBetween(a, 3, b, 3) > FOLD || room < LEAST) return null;
  const apart = 2 * Math.max(0.01, chordOf(corner.angle));
  let reach = Math.min(room, wanted / (DEVIATION * apart));
  let best: Arc | null = null;
  for (let round = 0; round < ROUNDS; round++) {
    const arc = layBlend(curve, one, corner, reach, at);
    if (arc.deviation <= wanted * (1 + 1e-3)) best = arc;
    const next = Math.min(room, (reach * wanted) / arc.deviation);
    if (Math.abs(next - reach) < 1e-4 * reach) break;
    reach = next;
  }
  return best;
}

/** Sine of half the angle, from its cosine's series: good to 1e-3 up to a right angle and enough to begin with beyond. */
function chordOf(angle: number): number {
  const x = angle / 2;
  return x * (1 - (x * x) / 6 + (x * x * x * x) / 120);
}

function layBlend(curve: Curve, surface: Surface, corner: Break, reach: number, tip: Float64Array): Arc {
  const from = new Float64Array(9);
  const to = new Float64Array(9);
  pointAt(curve, corner.s - reach, from);
  pointAt(curve, corner.s + reach, to);
  const speed = END_SPEED * reach;
  const count = Math.max(FEWEST, 2 * Math.ceil(corner.angle / TURN));
  const points = new Float64Array(3 * (count + 1));
  const foot = new Float64Array(6);
  for (let k = 0; k <= count; k++) {
    const u = k / count;
    for (let c = 0; c < 3; c++) points[3 * k + c] = quintic(u, from, to, speed, c);
    if (k === 0 || k === count || !surface.project(points[3 * k], points[3 * k + 1], points[3 * k + 2], foot)) continue;
    points.set(foot.subarray(0, 3), 3 * k);
  }
  const spline = interpolate(points, from.slice(3, 6), to.slice(3, 6));
  const deviation = closestPoint(buildCurve([spline], false), tip[0], tip[1], tip[2]).distance;
  const middle = points.slice(3 * (count >> 1), 3 * (count >> 1) + 3);
  return { corner, reach, spline, deviation, marks: [from.slice(0, 3), middle, to.slice(0, 3)] };
}

/** Coordinate c of the quintic: Bernstein form, second derivatives speed^2 C'' at the ends. */
function quintic(u: number, from: Float64Array, to: Float64Array, speed: number, c: number): number {
  const v = 1 - u;
  const [p0, p5] = [from[c], to[c]];
  const p1 = p0 + (speed / 5) * from[3 + c];
  const p4 = p5 - (speed / 5) * to[3 + c];
  const p2 = 2 * p1 - p0 + ((speed * speed) / 20) * from[6 + c];
  const p3 = 2 * p4 - p5 + ((speed * speed) / 20) * to[6 + c];
  const [u2, v2] = [u * u, v * v];
  return (
    p0 * v2 * v2 * v +
    5 * p1 * u * v2 * v2 +
    10 * p2 * u2 * v2 * v +
    10 * p3 * u2 * u * v2 +
    5 * p4 * u2 * u2 * v +
    p5 * u2 * u2 * u
  );
}

function placeBlend({ corner, deviation, marks }: Arc, curve: Curve, wanted: number): Blend {
  const [a, middle, b] = marks.map(([x, y, z]) => closestPoint(curve, x, y, z).s);
  const ahead = (from: number, to: number): number => (curve.closed ? wrap(to - from, curve.length) : to - from);
  const forward = curve.closed ? ahead(a, middle) <= ahead(a, b) : a <= b;
  const [from, to] = forward ? [a, b] : [b, a];
  return { from, to, angle: corner.angle, deviation, wanted };
}
