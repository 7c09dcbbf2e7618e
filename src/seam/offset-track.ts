// Moves a track sideways across its joint face, along the surface: every knot walks the geodesic at a right angle to the
// seam (so the new tangent is at a right angle to the walk's end: Gauss' lemma, do Carmo 1976, sec. 4-6). At breaks the
// moved pieces are cut, or led on straight, to where they cross.
import { evaluate, pointAt } from '../geometry/curve.ts';
import type { Surface } from '../geometry/surface.ts';
import { angleBetween, copy, cross } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import type { Curve, CurvePiece } from '../model/curve.ts';
import type { Task } from '../model/task.ts';
import type { Line } from './edge-line.ts';
import { joinAtCrossings } from './join-at-crossings.ts';
import { joinLines, type Track } from './join-lines.ts';
import { startWalk, walk } from './walk-surface.ts';

/**
 * `track` moved by `offset` mm towards b = n x t. Throws InputError `offset-too-large` where the moved line would run
 * back or leaves the face's surface.
 */
export async function offsetTrack(
  track: Track,
  surfaceOf: (face: number) => Surface,
  offset: number,
  place: string,
  task: Task,
): Promise<Track> {
  const { pieces, closed } = track.curve;
  const whole = closed && pieces.length === 1 && isSmooth(track.curve);
  const lines: Line[] = [];
  for (let i = 0; i < pieces.length; i++) {
    lines.push(moveKnots(pieces[i], surfaceOf(track.face[i]), offset, whole, place));
    await task.pause('offsetting the seam', i / pieces.length);
  }
  if (whole) return joinLines(lines, track.face, true);
  return joinAtCrossings(lines, track.face, closed, () => tooLarge(null, offset, place));
}

function isSmooth(curve: Curve): boolean {
  const a = new Float64Array(9);
  const b = new Float64Array(9);
  pointAt(curve, 0, a);
  const [piece] = curve.pieces;
  const last = piece.knot.length - 2;
  evaluate(piece, last, piece.knot[last + 1] - piece.knot[last], b);
  return angleBetween(a, 3, b, 3) < 1e-6;
}

/** The knots of a piece, moved; a whole closed piece drops its last, which is its first. */
function moveKnots(piece: CurvePiece, surface: Surface, offset: number, whole: boolean, place: string): Line {
  const spans = piece.knot.length - 1;
  const count = whole ? spans : spans + 1;
  const point = new Float64Array(3 * count);
  const tangent = new Float64Array(3 * count);
  const at = new Float64Array(9);
  const foot = new Float64Array(6);
  const across = new Float64Array(3);
  for (let j = 0; j < count; j++) {
    const span = Math.min(j, spans - 1);
    evaluate(piece, span, piece.knot[j] - piece.knot[span], at);
    const found = surface.project(at[0], at[1], at[2], foot);
    cross(foot, 3, at, 3, across, 0);
    const walker = found ? startWalk(surface, at, across) : null;
    if (walker === null || !walk(surface, walker, offset)) throw tooLarge(piece.arc[j], offset, place);
    copy(walker, 0, point, 3 * j);
    cross(walker, 3, walker, 6, tangent, 3 * j);
    if (j === 0) continue;
    let ahead = 0;
    for (let c = 0; c < 3; c++) ahead += (point[3 * j + c] - point[3 * j - 3 + c]) * tangent[3 * j + c];
    if (ahead <= 0) throw tooLarge(piece.arc[j], offset, place);
  }
  const end = whole ? tangent.slice(0, 3) : tangent.slice(3 * count - 3);
  return { point, closed: whole, start: tangent.slice(0, 3), end, exact: true };
}

/** `s` is where along its edge, mm, or null at the end of an edge; the side is not told: it depends on the way driven. */
function tooLarge(s: number | null, offset: number, place: string): InputError {
  const where = s === null ? 'where two edges meet' : `about ${s.toFixed(1)} mm along the edge`;
  const sentence = `an offset of ${Math.abs(offset)} mm cannot be laid on the joint face ${where}`;
  return new InputError('offset-too-large', sentence, place, 'take a smaller offset, or the other side');
}
