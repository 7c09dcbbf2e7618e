// What a job's selection draws, held against what it drew when it was made. Numbers of faces and edges change with every
// export of a part, its shape does not: a selection that no longer finds the same line is sought by the line.
import type { SceneBody } from '../geometry/scene.ts';
import { InputError } from '../model/input-error.ts';
import type { Point, Selection } from '../model/job.ts';
import type { Fingerprint, SelectionMatch } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import type { SeamRequest } from './build-seam.ts';
import { drawContact } from './draw-contact.ts';
import { type Drawn, drawBand, drawEdges } from './draw-edges.ts';
import { drawPoints } from './draw-points.ts';
import type { LineStore } from './edge-lines.ts';
import { edgesNear } from './find-edges.ts';
import { distanceFrom, fingerprintOf, fits } from './fingerprint.ts';
import type { JoinedFaces } from './joined-faces.ts';

export interface DrawnSelection {
  readonly drawn: Drawn;
  readonly fingerprint: Fingerprint;
  readonly match: SelectionMatch;
}

/**
 * Draws the request's selection; where that fails, or gives another line than the fingerprint, whatever line of the same
 * kind fits the fingerprint. Throws InputError as the selection does, and `selection-lost`.
 */
export async function drawSelection(
  request: SeamRequest,
  scene: readonly SceneBody[],
  lines: LineStore,
  joined: (entry: SceneBody) => JoinedFaces,
  place: string,
  task: Task,
): Promise<DrawnSelection> {
  const draw = (select: Selection): Promise<Drawn> => drawOne(select, request, scene, lines, joined, place, task);
  const report = (drawn: Drawn, match: SelectionMatch): DrawnSelection => ({
    drawn,
    fingerprint: fingerprintOf(drawn, lines),
    match,
  });
  const wanted = request.fingerprint ?? null;
  if (wanted === null) return report(await draw(request.select), { kind: 'none', distance: 0, why: '' });
  const first = await attempt(() => draw(request.select));
  if (!(first instanceof InputError) && fits(first.track.curve, wanted)) {
    return report(first, { kind: 'same', distance: distanceFrom(first.track.curve, wanted), why: '' });
  }
  const why = first instanceof InputError ? first.sentence : 'the selection now finds another line';
  for (const select of otherSelections(request.select, wanted, scene)) {
    const found = await attempt(() => draw(select));
    if (found instanceof InputError || !fits(found.track.curve, wanted)) continue;
    return report(found, { kind: 'found', distance: distanceFrom(found.track.curve, wanted), why });
  }
  if (!(first instanceof InputError)) {
    return report(first, { kind: 'changed', distance: distanceFrom(first.track.curve, wanted), why: '' });
  }
  const [x, y, z] = wanted.points[0];
  const sentence = `${first.sentence}, and no line fits the fingerprint of ${wanted.length.toFixed(3)} mm through (${x}, ${y}, ${z})`;
  throw new InputError(
    'selection-lost',
    sentence,
    place,
    'the shape has changed: select anew, and replace or drop "fingerprint"',
  );
}

function drawOne(
  select: Selection,
  request: SeamRequest,
  scene: readonly SceneBody[],
  lines: LineStore,
  joined: (entry: SceneBody) => JoinedFaces,
  place: string,
  task: Task,
): Promise<Drawn> {
  switch (select.kind) {
    case 'edge':
    case 'edges':
      return drawEdges(select, request.head, scene, lines, place, task);
    case 'band':
      return drawBand(select, scene, lines, joined, place, task);
    case 'contact':
      return drawContact(select, scene, lines, joined, place, task);
    case 'points': {
      if (!request.points) throw new Error('a selection by points comes with its points');
      return drawPoints(select, request.points, scene, joined, place, task);
    }
  }
}

/** What `make` gives, or the InputError that it throws. */
async function attempt<T>(make: () => Promise<T>): Promise<T | InputError> {
  try {
    return await make();
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
}

/** Selections that may draw the fingerprint's line, in the order of the scene. */
function otherSelections(select: Selection, wanted: Fingerprint, scene: readonly SceneBody[]): Selection[] {
  const bodies = scene.filter(({ role }) => role === 'absorbing');
  const called = bodies.map(({ query }) => `#${query.body.index}`);
  switch (select.kind) {
    case 'edge':
    case 'edges':
      return bodies.flatMap(({ query }) => {
        const ids = edgesThrough(query.body, wanted.points);
        return ids === null ? [] : [{ kind: 'edges', ids, faceNear: select.faceNear }];
      });
    case 'band':
      return called.flatMap((body) =>
        [...new Set([0, wanted.points.length >> 1])].map(
          (i): Selection => ({ ...select, body, near: wanted.points[i] }),
        ),
      );
    case 'contact':
      return select.near === null ? [{ ...select, near: wanted.points[0] }] : [];
    case 'points':
      return [];
  }
}

/** Ids of the edges that the points lie on, each once; null where a point lies on none. Where edges meet none is meant. */
function edgesThrough(body: SceneBody['query']['body'], points: readonly Point[]): string[] | null {
  const ids = new Set<string>();
  for (const point of points) {
    const near = edgesAround(body, point);
    if (near.length === 0) return null;
    if (near.length === 1) ids.add(body.edges[near[0]].id);
  }
  return ids.size > 0 ? [...ids] : null;
}

function edgesAround(body: SceneBody['query']['body'], point: Point): readonly number[] {
  try {
    return edgesNear(body, point, '');
  } catch (error) {
    if (error instanceof InputError) return [];
    throw error;
  }
}
