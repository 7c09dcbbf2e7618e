// Finds what a selection points at: a body by name, edges near a point, edges by id.
import type { BodyQuery } from '../geometry/body-query.ts';
import type { SceneBody } from '../geometry/scene.ts';
import { InputError } from '../model/input-error.ts';
import type { Point } from '../model/job.ts';
import type { Body } from '../model/part.ts';
import { type EdgeChain, type EdgeUse, endVertex, startVertex, turned, usesFrom } from './edge-chain.ts';

/** An edge is picked within this distance, mm. */
export const PICK_REACH = 2;

/** Edges whose distances differ by less, mm, are equally close: chords may hide that much. */
const TIE = 0.01;

/** The body called `name` (or `#index`). Throws InputError `body-unknown`, `selection-ambiguous`. */
export function findBody(scene: readonly SceneBody[], name: string, place: string): SceneBody {
  const called = bodiesCalled(scene, name, place);
  if (called.length === 1) return called[0];
  const sentence = `${called.length} bodies are called "${name}"`;
  throw new InputError('selection-ambiguous', sentence, place, 'call the body by its name, or rename one in the file');
}

function bodiesCalled(scene: readonly SceneBody[], name: string, place: string): SceneBody[] {
  const called = scene.filter((entry) => entry.name === name || `#${entry.query.body.index}` === name);
  if (called.length > 0) return called;
  const hint = `the job's bodies are ${scene.map((entry) => `"${entry.name}"`).join(', ')}`;
  throw new InputError('body-unknown', `the job has no body "${name}"`, place, hint);
}

/** The absorbing body called `name` (or `#index`). Throws InputError `body-unknown`, `body-role`, `selection-ambiguous`. */
export function findSeamBody(scene: readonly SceneBody[], name: string, place: string): SceneBody {
  const called = bodiesCalled(scene, name, place);
  const absorbing = called.filter((entry) => entry.role === 'absorbing');
  if (absorbing.length === 1) return absorbing[0];
  if (absorbing.length > 1) {
    const sentence = `${absorbing.length} absorbing bodies are called "${name}"`;
    throw new InputError(
      'selection-ambiguous',
      sentence,
      place,
      'call the body by its name, or rename one in the file',
    );
  }
  const sentence = `the body "${name}" is ${called[0].role}, a seam lies on an absorbing body`;
  throw new InputError('body-role', sentence, place, 'select on the absorbing body, or change the role');
}

/**
 * Edges closest to `near`: one, or several at the same distance. Throws InputError `selection-empty` when none lies
 * within 2 mm.
 */
export function edgesNear(body: Body, near: Point, place: string): readonly number[] {
  const distances = body.edges.map((_, edge) => distanceToEdge(body, edge, near));
  const order = distances.map((_, edge) => edge).sort((a, b) => distances[a] - distances[b] || a - b);
  const least = order.length > 0 ? distances[order[0]] : Number.POSITIVE_INFINITY;
  if (!(least <= PICK_REACH)) {
    const closest = order.slice(0, 3).map((edge) => `${body.edges[edge].id} at ${distances[edge].toFixed(2)} mm`);
    const hint = closest.length > 0 ? `the closest are ${closest.join(', ')}` : 'the body has no edges';
    throw new InputError(
      'selection-empty',
      `no edge lies within ${PICK_REACH} mm of (${near.join(', ')})`,
      place,
      hint,
    );
  }
  return order.filter((edge) => distances[edge] <= least + TIE);
}

/** Face of the body closest to (x, y, z), or -1 when it is farther than `reach` mm. */
export function faceWithin(query: BodyQuery, x: number, y: number, z: number, reach: number): number {
  const foot = new Float64Array(6);
  const face = query.closest(x, y, z, reach, foot);
  const dx = foot[0] - x;
  const dy = foot[1] - y;
  const dz = foot[2] - z;
  return face >= 0 && dx * dx + dy * dy + dz * dz <= reach * reach ? face : -1;
}

/** Distance of a point from the chords of an edge, mm. */
function distanceToEdge(body: Body, edge: number, near: Point): number {
  const { vertex, closed } = body.edges[edge];
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < (closed ? vertex.length : vertex.length - 1); i++) {
    const a = 3 * vertex[i];
    const b = 3 * vertex[(i + 1) % vertex.length];
    let along = 0;
    let square = 0;
    for (let c = 0; c < 3; c++) {
      const d = body.position[b + c] - body.position[a + c];
      along += (near[c] - body.position[a + c]) * d;
      square += d * d;
    }
    const f = square > 0 ? Math.min(1, Math.max(0, along / square)) : 0;
    let sum = 0;
    for (let c = 0; c < 3; c++) {
      const d = near[c] - body.position[a + c] - f * (body.position[b + c] - body.position[a + c]);
      sum += d * d;
    }
    least = Math.min(least, sum);
  }
  return Math.sqrt(least);
}

/** The body that holds edges `ids` and their indices. Throws InputError `edge-unknown`, `selection-ambiguous`, `body-role`. */
export function findEdgesById(
  scene: readonly SceneBody[],
  ids: readonly string[],
  place: string,
): { readonly entry: SceneBody; readonly edges: readonly number[] } {
  const holders = ids.map((id) => scene.filter((entry) => edgeById(entry.query.body, id) >= 0));
  const missing = holders.findIndex((list) => list.length === 0);
  if (missing >= 0) throw unknownEdge(scene, ids[missing], place);
  const common = scene.filter((entry) => holders.every((list) => list.includes(entry)));
  if (common.length === 0) {
    throw new InputError(
      'selection-ambiguous',
      'the edges belong to different bodies',
      place,
      'take the edges of one body',
    );
  }
  const absorbing = common.filter((entry) => entry.role === 'absorbing');
  if (absorbing.length === 0) {
    const sentence = `the body "${common[0].name}" is ${common[0].role}, a seam lies on an absorbing body`;
    throw new InputError('body-role', sentence, place, 'select on the absorbing body, or change the role');
  }
  if (absorbing.length > 1) {
    const sentence = `edge "${ids[0]}" is in several absorbing bodies`;
    throw new InputError('selection-ambiguous', sentence, place, 'select the edge by a point near it');
  }
  const edges = ids.map((id) => edgeById(absorbing[0].query.body, id));
  const twice = edges.findIndex((edge, i) => edges.indexOf(edge) !== i);
  if (twice >= 0) {
    throw new InputError('edge-twice', `edge "${ids[twice]}" is named twice`, place, 'name each edge once');
  }
  return { entry: absorbing[0], edges };
}

/** Index of an edge by its id, also when the id begins with `#index` instead of the name; -1 when there is none. */
function edgeById(body: Body, id: string): number {
  const colon = id.lastIndexOf(':');
  const rest = id.slice(colon);
  const named = id.slice(0, colon) === `#${body.index}`;
  return body.edges.findIndex((edge) => edge.id === id || (named && edge.id.endsWith(rest)));
}

function unknownEdge(scene: readonly SceneBody[], id: string, place: string): InputError {
  const body = id.slice(0, id.lastIndexOf(':'));
  const entry = scene.find((candidate) => candidate.name === body);
  if (entry === undefined) {
    const hint = `the job's bodies are ${scene.map((candidate) => `"${candidate.name}"`).join(', ')}`;
    return new InputError('edge-unknown', `there is no edge "${id}"`, place, hint);
  }
  const ids = entry.query.body.edges.map((edge) => edge.id);
  const hint = `it has ${ids.slice(0, 12).join(', ')}${ids.length > 12 ? ' ..' : ''}`;
  return new InputError('edge-unknown', `the body "${body}" has no edge "${id}"`, place, hint);
}

/**
 * Puts edges in order, end to end, beginning at the first one named where the chain is closed. Throws InputError
 * `edges-apart` when they do not make one chain.
 */
export function orderEdges(body: Body, edges: readonly number[], place: string): EdgeChain {
  const first: EdgeUse = { edge: edges[0], against: false };
  if (edges.length === 1) {
    const { closed } = body.edges[edges[0]];
    return { uses: [first], closed: closed || startVertex(body, first) === endVertex(body, first) };
  }
  const left = new Set(edges.slice(1));
  const extend = (from: EdgeUse): EdgeUse[] => {
    const walked: EdgeUse[] = [];
    for (let at = from; ; ) {
      const next = usesFrom(body, endVertex(body, at)).filter((use) => left.has(use.edge));
      if (next.length !== 1) return walked;
      at = next[0];
      left.delete(at.edge);
      walked.push(at);
    }
  };
  const ahead = extend(first);
  const behind = extend(turned(first)).map(turned).reverse();
  const uses = [...behind, first, ...ahead];
  if (left.size > 0) {
    const names = [...left].map((edge) => body.edges[edge].id).join(', ');
    const sentence = `the edges do not make one chain: ${names} cannot be reached from ${body.edges[edges[0]].id}`;
    throw new InputError(
      'edges-apart',
      sentence,
      place,
      'name the edges between them, or plan them as seams of their own',
    );
  }
  return { uses, closed: endVertex(body, uses[uses.length - 1]) === startVertex(body, uses[0]) };
}
