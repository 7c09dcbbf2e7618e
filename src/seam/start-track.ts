// Where a seam begins and which way it runs. Both follow from geometry and topology alone, so moving the part moves the
// plan: the middle of the longest straightest stretch; counter-clockwise about the mean joint normal, seen from outside.
import { closestPoint } from '../geometry/closest-point.ts';
import { locate, pointAt, shiftStart, wrap } from '../geometry/curve.ts';
import type { Surface } from '../geometry/surface.ts';
import { cross, dot, length } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import type { Point } from '../model/job.ts';
import { type Track, turnTrack } from './join-lines.ts';

/** Places at which curvature and normal are looked at. */
const GRID = 720;

/** Curvature is averaged over this share of the length. */
const WINDOW = 1 / 16;

/** A stretch belongs to the straightest while its mean curvature is within this share of the whole range. */
const STRAIGHT_BAND = 0.02;

/** A loop whose area looks along the mean normal by less than this (cosine) has no handedness about it. */
const FLAT_LOOK = 0.1;

/** A start is taken from no farther than this, mm. */
const START_REACH = 10;

/**
 * Whether `track` is to be run the other way: a closed one counter-clockwise, an open one with the joint face on its left
 * or from the end that is near `startNear`; `reverse` asks for the other. Throws InputError `start-and-reverse`.
 */
export function runsBackward(
  track: Track,
  surfaceOf: (face: number) => Surface,
  startNear: Point | null,
  reverse: boolean,
  place: string,
): boolean {
  const { curve } = track;
  if (curve.closed) return runsClockwise(track, surfaceOf) !== reverse;
  if (startNear === null) return reverse;
  if (reverse) {
    const hint = 'leave one of them out: an open seam begins at one of its ends';
    throw new InputError('start-and-reverse', 'an open seam is directed by its start already', place, hint);
  }
  return closestPoint(curve, startNear[0], startNear[1], startNear[2]).s > curve.length / 2;
}

/** Starts `track`, and turns it when it is to run `backward`. Throws InputError `start-far`. */
export function startTrack(track: Track, backward: boolean, startNear: Point | null, place: string): Track {
  const near = startNear === null ? null : nearest(track, startNear, place);
  const begun = track.curve.closed ? shiftTrack(track, near ?? straightestMiddle(track)) : track;
  return backward ? turnTrack(begun) : begun;
}

function nearest({ curve }: Track, point: Point, place: string): number {
  const { s, distance } = closestPoint(curve, point[0], point[1], point[2]);
  if (distance > START_REACH) {
    const sentence = `the start (${point.join(', ')}) is ${distance.toFixed(1)} mm away from the seam`;
    throw new InputError('start-far', sentence, place, `take a point within ${START_REACH} mm of the seam`);
  }
  return s;
}

/** Arc length of the middle of the longest straightest stretch; the first one where several are alike. */
function straightestMiddle({ curve }: Track): number {
  const at = new Float64Array(9);
  const bend = Float64Array.from({ length: GRID }, (_, i) => {
    pointAt(curve, ((i + 0.5) * curve.length) / GRID, at);
    return length(at, 6);
  });
  const half = Math.round((GRID * WINDOW) / 2);
  const mean = bend.map((_, i) => {
    let sum = 0;
    for (let k = -half; k <= half; k++) sum += bend[(i + k + GRID) % GRID];
    return sum / (2 * half + 1);
  });
  const least = mean.reduce((a, b) => Math.min(a, b));
  const most = mean.reduce((a, b) => Math.max(a, b));
  // A circle, or as good as one, has no straightest stretch: it begins where the model's edge does.
  if (most - least <= 1e-3 * most) return 0;
  const straight = mean.map((value) => (value <= least + STRAIGHT_BAND * (most - least) ? 1 : 0));
  const runs: { from: number; count: number }[] = [];
  for (let i = 0; i < GRID; i++) {
    if (straight[i] === 0 || straight[(i + GRID - 1) % GRID] === 1) continue;
    let count = 1;
    while (straight[(i + count) % GRID] === 1) count++;
    runs.push({ from: i, count });
  }
  const longest = Math.max(...runs.map((run) => run.count));
  // Runs that differ by two places of the grid are alike: rounding must not choose between them.
  const chosen = runs.find((run) => run.count >= longest - 2) as { from: number; count: number };
  return wrap(((chosen.from + chosen.count / 2) * curve.length) / GRID, curve.length);
}

/** Whether the loop runs clockwise about the mean joint normal, seen from outside; never where it has no handedness. */
function runsClockwise({ curve, face }: Track, surfaceOf: (face: number) => Surface): boolean {
  const at = new Float64Array(9);
  const origin = new Float64Array(9);
  const foot = new Float64Array(6);
  const normal = new Float64Array(3);
  const area = new Float64Array(3);
  const piece = new Float64Array(3);
  pointAt(curve, 0, origin);
  for (let i = 0; i < GRID; i++) {
    const s = ((i + 0.5) * curve.length) / GRID;
    pointAt(curve, s, at);
    if (surfaceOf(face[locate(curve, s).piece]).project(at[0], at[1], at[2], foot)) {
      for (let c = 0; c < 3; c++) normal[c] += foot[3 + c] / GRID;
    }
    for (let c = 0; c < 3; c++) at[c] -= origin[c];
    cross(at, 0, at, 3, piece, 0);
    for (let c = 0; c < 3; c++) area[c] += piece[c];
  }
  // A mean normal that all but vanishes (a rim with radial normals) has no outside to look from.
  const look = dot(normal, 0, area, 0) / Math.max(length(area, 0), Number.MIN_VALUE);
  return look < -FLAT_LOOK;
}

/** The same closed track begun at arc length `s`, mm. */
export function shiftTrack(track: Track, s: number): Track {
  const curve = shiftStart(track.curve, s);
  const face = curve.pieces.map(({ arc }) => {
    const middle = (arc[0] + arc[arc.length - 1]) / 2 + s;
    return track.face[locate(track.curve, wrap(middle, track.curve.length)).piece];
  });
  return { curve, face };
}
