// A selection by its geometry: length, closed or not, and points, one in the middle of each edge and a few between. Moving
// the start, turning the way or cutting the line into other edges leaves it as it is.
import { closestPoint } from '../geometry/closest-point.ts';
import type { BodyQuery } from '../geometry/body-query.ts';
import { pointAt } from '../geometry/curve.ts';
import type { Curve } from '../model/curve.ts';
import type { Fingerprint } from '../model/seam.ts';
import type { Drawn } from './draw-edges.ts';
import { type Line, linesOfEdge } from './edge-line.ts';
import type { LineStore } from './edge-lines.ts';
import { joinLines } from './join-lines.ts';

/** Two lines are one where their points are this close, mm, and their lengths, mm and share. */
const SAME_PLACE = 0.02;
const SAME_LENGTH = 0.02;
const SAME_SHARE = 1e-4;

/** Points along the line beside those of the edges. */
const POINTS = 8;

/** Digits after the point that a fingerprint keeps: um. */
const GRAIN = 1e4;

/** Of a seam before offset, start and direction. */
export function fingerprintOf({ track, along, entry }: Drawn, lines: LineStore): Fingerprint {
  return fingerprint(track.curve, (along ?? []).map(lines(entry)));
}

/** Of one edge of a body, as a selection of it alone has. */
export function fingerprintOfEdge(query: BodyQuery, edge: number): Fingerprint {
  const lines = linesOfEdge(query, query.body.edges[edge]);
  const { curve } = joinLines(lines, new Array(lines.length).fill(0), query.body.edges[edge].closed);
  return fingerprint(curve, [lines]);
}

function fingerprint(curve: Curve, edges: readonly (readonly Line[])[]): Fingerprint {
  const points: [number, number, number][] = [];
  const keep = (x: number, y: number, z: number): void => {
    points.push([rounded(x), rounded(y), rounded(z)]);
  };
  for (const lines of edges) {
    // Inside the longest line of the edge: every other edge is farther away.
    const { point } = lines.reduce((a, b) => (b.point.length > a.point.length ? b : a));
    const i = 3 * ((point.length / 3 - 1) >> 1);
    if (point.length > 6) keep(point[i], point[i + 1], point[i + 2]);
    else keep((point[0] + point[3]) / 2, (point[1] + point[4]) / 2, (point[2] + point[5]) / 2);
  }
  const at = new Float64Array(9);
  for (let k = 0; k < POINTS; k++) {
    pointAt(curve, ((k + 0.5) * curve.length) / POINTS, at);
    keep(at[0], at[1], at[2]);
  }
  return { length: rounded(curve.length), closed: curve.closed, points };
}

/** Whether a curve has the length, the ends and the points of a fingerprint. */
export function fits(curve: Curve, fingerprint: Fingerprint): boolean {
  const apart = Math.abs(curve.length - fingerprint.length);
  return (
    curve.closed === fingerprint.closed &&
    apart <= SAME_LENGTH + SAME_SHARE * fingerprint.length &&
    distanceFrom(curve, fingerprint) <= SAME_PLACE
  );
}

/** Largest distance of the fingerprint's points from a curve, mm. */
export function distanceFrom(curve: Curve, { points }: Fingerprint): number {
  return points.reduce((most, [x, y, z]) => Math.max(most, closestPoint(curve, x, y, z).distance), 0);
}

function rounded(x: number): number {
  return Math.round(x * GRAIN) / GRAIN + 0;
}
