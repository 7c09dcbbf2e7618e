// The centre line of the contact of two bodies: the middle between both borders of the region where their faces touch.
import { breaks } from '../geometry/curve.ts';
import type { SceneBody } from '../geometry/scene.ts';
import { InputError } from '../model/input-error.ts';
import type { Selection } from '../model/job.ts';
import type { Task } from '../model/task.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { assignFaces } from './assign-faces.ts';
import { borderTrack, type ContactSides, subTrack, unclear } from './contact-border.ts';
import { createContactMesh } from './contact-mesh.ts';
import { type ContactRegion, findContactRegions } from './contact-region.ts';
import { createTouches } from './contact-touch.ts';
import type { Drawn } from './draw-edges.ts';
import type { LineStore } from './edge-lines.ts';
import { createEdgeNear } from './edge-near.ts';
import { findBody, PICK_REACH } from './find-edges.ts';
import type { JoinedFaces } from './joined-faces.ts';
import { type Track, turnTrack } from './join-lines.ts';
import { findMidLine } from './mid-line.ts';

/** A contact's one border has a corner where it breaks by more. */
const CORNER = 30 * RAD_PER_DEG;

/** Corners of the body asked how far the other one is away, where none touches. */
const ASKED = 400;

type ContactSelection = Extract<Selection, { kind: 'contact' }>;

/**
 * Draws it on the absorbing one of the two. Throws InputError `body-unknown`, `body-role`, `contact-none`,
 * `contact-several`, `contact-unclear`, `band-unclear`.
 */
export async function drawContact(
  select: ContactSelection,
  scene: readonly SceneBody[],
  lines: LineStore,
  joined: (entry: SceneBody) => JoinedFaces,
  place: string,
  task: Task,
): Promise<Drawn> {
  const { own, other } = findPair(select, scene, place);
  const { tolerance } = select;
  const faces = joined(own);
  const surfaceOf = (face: number) => own.query.surface(face);
  const mesh = await createContactMesh(own.query, other.query, surfaceOf, tolerance, task);
  const regions = await findContactRegions(mesh, createTouches(surfaceOf, other.query, tolerance), task);
  const region = chooseRegion(regions, select, own, other, place);
  const edgeNear = createEdgeNear(other.query.body, tolerance);
  const sides: ContactSides = { own, other, surfaceOf: faces.surface, lines, edgeNear };
  const borders = [];
  for (const chain of region.borders) borders.push(await borderTrack(region, chain, sides, place, task));
  const { right, left } = twoSides(
    borders.map(({ track }) => track),
    place,
  );
  const { track, check } = await findMidLine(right, left, faces.surface, place, task);
  const edgeIds = borders.flatMap((border) => border.edgeIds);
  return { entry: own, track: assignFaces(track, faces), check, edgeIds, faceChoice: 'contact' };
}

function findPair(
  { bodies }: ContactSelection,
  scene: readonly SceneBody[],
  place: string,
): { own: SceneBody; other: SceneBody } {
  const [one, two] = bodies.map((name) => findBody(scene, name, place));
  const absorbing = [one, two].filter(({ role }) => role === 'absorbing');
  if (one === two || absorbing.length !== 1) {
    const what = one === two ? `"${bodies[0]}" twice` : `"${one.name}" ${one.role}, "${two.name}" ${two.role}`;
    const hint = 'name an absorbing body and the one that lies on it';
    throw new InputError('body-role', `a joint is between an absorbing body and another: ${what}`, place, hint);
  }
  return absorbing[0] === one ? { own: one, other: two } : { own: two, other: one };
}

function chooseRegion(
  regions: readonly ContactRegion[],
  { near, tolerance }: ContactSelection,
  own: SceneBody,
  other: SceneBody,
  place: string,
): ContactRegion {
  if (regions.length === 0) {
    const sentence = `"${own.name}" and "${other.name}" touch nowhere to within ${tolerance} mm but for specks`;
    throw new InputError('contact-none', sentence, place, distanceHint(own, other));
  }
  if (regions.length === 1 && near === null) return regions[0];
  const around = near === null ? regions : regions.filter((region) => isNear(region, near));
  if (around.length === 1) return around[0];
  const list = regions
    .slice(0, 6)
    .map(({ area, inside }) => `${area.toFixed(1)} mm2 at (${inside.map((x) => x.toFixed(2)).join(', ')})`)
    .join('; ');
  const sentence =
    near === null
      ? `"${own.name}" and "${other.name}" touch in ${regions.length} places`
      : `${around.length === 0 ? 'no contact lies' : `${around.length} contacts lie`} within ${PICK_REACH} mm of (${near.join(', ')})`;
  throw new InputError('contact-several', sentence, place, `give "near_mm", a point on one of them: ${list}`);
}

/** Whether a point is within reach of one of a region's corners, which stand no farther apart than that. */
function isNear({ position, corners }: ContactRegion, near: readonly number[]): boolean {
  return corners.some((v) => {
    const [x, y, z] = [0, 1, 2].map((k) => position[3 * v + k] - near[k]);
    return x * x + y * y + z * z <= PICK_REACH * PICK_REACH;
  });
}

/** How close the bodies come, by corners of both. */
function distanceHint(own: SceneBody, other: SceneBody): string {
  const least = Math.min(cornersApart(own, other), cornersApart(other, own));
  const rough = Number.isFinite(least) ? `they come as close as about ${least.toFixed(2)} mm; ` : '';
  return `${rough}check the assembly, or give a larger "tolerance_mm"`;
}

function cornersApart(one: SceneBody, two: SceneBody): number {
  const { position } = one.query.body;
  const out = new Float64Array(6);
  const stride = 3 * Math.max(1, Math.floor(position.length / 3 / ASKED));
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < position.length; i += stride) {
    const [x, y, z] = position.subarray(i, i + 3);
    if (two.query.closest(x, y, z, Number.POSITIVE_INFINITY, out) < 0) continue;
    least = Math.min(least, Math.sqrt((out[0] - x) ** 2 + (out[1] - y) ** 2 + (out[2] - z) ** 2));
  }
  return least;
}

/** Right and left side of the region, run the same way: two loops, or the long sides of one loop with four corners. */
function twoSides(borders: readonly Track[], place: string): { right: Track; left: Track } {
  if (borders.length === 2) {
    const [outer, inner] = [...borders].sort((a, b) => b.curve.length - a.curve.length);
    return { right: outer, left: turnTrack(inner) };
  }
  if (borders.length > 2)
    throw unclear(`it has ${borders.length} borders, a band has two, or one with four corners`, place);
  const [loop] = borders;
  const corners = breaks(loop.curve, CORNER);
  if (corners.length !== 4) {
    throw unclear(`its border has ${corners.length} corners, a band has four, or two borders`, place);
  }
  const four = corners.map(({ s }, k) => subTrack(loop, s, corners[(k + 1) % 4].s));
  const long = four[0].curve.length + four[2].curve.length >= four[1].curve.length + four[3].curve.length ? 0 : 1;
  return { right: four[long], left: turnTrack(four[long + 2]) };
}
