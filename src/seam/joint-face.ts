// Which of an edge's two faces is the joint: the one that is given, else the one that the transmissive body covers, else
// the one that looks more towards the light.
import type { BodyQuery } from '../geometry/body-query.ts';
import type { SceneBody } from '../geometry/scene.ts';
import { cross, dot } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import type { HeadSettings, Point } from '../model/job.ts';
import type { Seam } from '../model/seam.ts';
import { type EdgeChain, type EdgeUse, leftFace, rightFace, turned, turnedChain } from './edge-chain.ts';
import { faceWithin, PICK_REACH } from './find-edges.ts';
import type { LinesOf } from './follow-edges.ts';
import { startWalk, walk } from './walk-surface.ts';

export interface JointChoice {
  /** The edge used so that the joint face is on its left. */
  readonly use: EdgeUse;
  readonly why: Seam['faceChoice'];
}

/** How deep inside a face its probes stand, mm, and how close the transmissive body must be there to cover it. */
const PROBE_DEPTH = 1;
const COVER_REACH = 0.3;

/** Probes along an edge. */
const PROBES = 9;

/** Two faces that look equally far towards the light to within this (cosine) leave the choice open. */
const EQUAL_LOOK = 0.02;

/** Chooses for one edge, without a given face. Throws InputError `joint-face-ambiguous` when nothing decides. */
export function chooseJointFace(
  query: BodyQuery,
  edge: number,
  scene: readonly SceneBody[],
  head: Pick<HeadSettings, 'axis'>,
  linesOf: LinesOf,
  place: string,
): JointChoice {
  const { body } = query;
  const along: EdgeUse = { edge, against: false };
  // Along an open border there is but one face.
  if (rightFace(body, along) < 0) return { use: along, why: 'towards-beam' };
  const uses = [along, turned(along)] as const;
  const layers = scene.filter((entry) => entry.role === 'transmissive');
  const covered = uses.map((use) => coveredShare(query, use, layers, linesOf));
  if (covered[0] > 0.5 !== covered[1] > 0.5) return { use: uses[covered[0] > 0.5 ? 0 : 1], why: 'covered' };
  const light = lightDirection(query, along, layers, head, linesOf);
  if (light !== null) {
    const look = uses.map((use) => lookAgainst(query, use, light, linesOf));
    if (Math.abs(look[0] - look[1]) > EQUAL_LOOK) return { use: uses[look[0] > look[1] ? 0 : 1], why: 'towards-beam' };
  }
  const { id, faces } = body.edges[edge];
  const sentence = `nothing tells which of the faces ${faces[0]} and ${faces[1]} of edge ${id} is the joint`;
  throw new InputError('joint-face-ambiguous', sentence, place, 'add "face_near_mm": a point near the joint face');
}

/** The chain turned so that the face near `point` is on its left. Throws InputError `selection-empty`, `joint-face-ambiguous`. */
export function faceGivenSide(query: BodyQuery, chain: EdgeChain, point: Point, place: string): EdgeChain {
  const found = faceWithin(query, point[0], point[1], point[2], PICK_REACH);
  const onLeft = chain.uses.some((use) => leftFace(query.body, use) === found);
  const onRight = chain.uses.some((use) => rightFace(query.body, use) === found);
  if (found < 0) {
    const sentence = `no face lies within ${PICK_REACH} mm of (${point.join(', ')})`;
    throw new InputError(
      'selection-empty',
      sentence,
      place,
      'take a point on the joint face, a little inside its border',
    );
  }
  if (onLeft === onRight) {
    const left = chain.uses.map((use) => leftFace(query.body, use));
    const right = chain.uses.map((use) => rightFace(query.body, use));
    const faces = [...new Set([...left, ...right])].filter((face) => face >= 0).join(', ');
    const why = onLeft ? 'lies on both sides of the edges' : `is not one of the edges' faces (${faces})`;
    const hint = 'take a point on the joint face, a little inside its border';
    throw new InputError('joint-face-ambiguous', `the face near (${point.join(', ')}), ${found}, ${why}`, place, hint);
  }
  return onLeft ? chain : turnedChain(chain);
}

/** Calls `visit` with surface point, normal and inward direction at places along the left face's border. */
function visitProbes(
  query: BodyQuery,
  use: EdgeUse,
  linesOf: LinesOf,
  visit: (point: Float64Array, normal: Float64Array, inward: Float64Array) => void,
): void {
  const surface = query.surface(leftFace(query.body, use));
  const foot = new Float64Array(6);
  const inward = new Float64Array(3);
  const chord = new Float64Array(3);
  for (const { point } of linesOf(use)) {
    const n = point.length / 3;
    for (let k = 0; k < PROBES; k++) {
      const i = Math.min(n - 2, Math.floor(((k + 0.5) * (n - 1)) / PROBES));
      const middle = [0, 1, 2].map((c) => (point[3 * i + c] + point[3 * i + 3 + c]) / 2);
      if (!surface.project(middle[0], middle[1], middle[2], foot)) continue;
      for (let c = 0; c < 3; c++) chord[c] = point[3 * i + 3 + c] - point[3 * i + c];
      cross(foot, 3, chord, 0, inward, 0);
      visit(foot.slice(0, 3), foot.slice(3, 6), inward);
    }
  }
}

/** Share of the probes inside the left face that a layer lies on. */
function coveredShare(query: BodyQuery, use: EdgeUse, layers: readonly SceneBody[], linesOf: LinesOf): number {
  const surface = query.surface(leftFace(query.body, use));
  let asked = 0;
  let covered = 0;
  visitProbes(query, use, linesOf, (point, _normal, inward) => {
    const walker = startWalk(surface, point, inward);
    asked++;
    if (walker === null || !walk(surface, walker, PROBE_DEPTH)) return;
    const [x, y, z] = walker;
    if (layers.some((layer) => faceWithin(layer.query, x, y, z, COVER_REACH) >= 0)) covered++;
  });
  return asked > 0 ? covered / asked : 0;
}

/** Direction in which the light travels, as far as it is known before anything is aimed; null where it is not. */
function lightDirection(
  query: BodyQuery,
  use: EdgeUse,
  layers: readonly SceneBody[],
  head: Pick<HeadSettings, 'axis'>,
  linesOf: LinesOf,
): Float64Array | null {
  if (typeof head.axis !== 'string') return Float64Array.from(head.axis);
  // The light comes through the layer: from where the layer is closest.
  const sum = new Float64Array(3);
  const out = new Float64Array(6);
  visitProbes(query, use, linesOf, (point) => {
    for (const layer of layers) {
      if (layer.query.closest(point[0], point[1], point[2], Number.POSITIVE_INFINITY, out) < 0) continue;
      for (let c = 0; c < 3; c++) sum[c] += point[c] - out[c];
    }
  });
  const length = Math.sqrt(dot(sum, 0, sum, 0));
  return length > 1e-6 ? sum.map((c) => c / length) : null;
}

/** Mean cosine between the left face's normals and the way back to the light. */
function lookAgainst(query: BodyQuery, use: EdgeUse, light: Float64Array, linesOf: LinesOf): number {
  let sum = 0;
  let count = 0;
  visitProbes(query, use, linesOf, (_point, normal) => {
    sum -= dot(normal, 0, light, 0);
    count++;
  });
  return count > 0 ? sum / count : 0;
}
