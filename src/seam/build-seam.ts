// A selection becomes a seam: edges or the middle of a band, as one curve on the joint face, directed and started.
import { closestPoint } from '../geometry/closest-point.ts';
import { breaks } from '../geometry/curve.ts';
import type { SceneBody } from '../geometry/scene.ts';
import type { Curve } from '../model/curve.ts';
import type { HeadSettings, JobSeam } from '../model/job.ts';
import type { PointList } from '../model/point-list.ts';
import type { FitReport, Seam } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { assignFaces } from './assign-faces.ts';
import { blendCorners } from './blend-corners.ts';
import { drawSelection } from './draw-selection.ts';
import { createLineStore } from './edge-lines.ts';
import { createJoinedFaces, type JoinedFaces } from './joined-faces.ts';
import { offsetTrack } from './offset-track.ts';
import { runsBackward, startTrack } from './start-track.ts';

/** Fields of a job's seam that this stage reads. */
export type SeamRequest = Pick<JobSeam, 'name' | 'select' | 'offset' | 'startNear' | 'reverse'> &
  Partial<Pick<JobSeam, 'fingerprint' | 'cornerBlend'>> & {
    readonly head: Pick<HeadSettings, 'axis'>;
    /** What the file of a selection by points holds. */
    readonly points?: PointList | null;
  };

/** Tangent breaks above these are kinks, and corners. */
const KINK = 0.1 * RAD_PER_DEG;
const CORNER = 5 * RAD_PER_DEG;

/**
 * Builds the seam that `request` selects in `scene`. Its curve runs on the joint face, arc lengths in mm from its start.
 * Throws InputError with place `seam <name>` for a selection that matches nothing, several things, or nothing usable.
 */
export async function buildSeam(request: SeamRequest, scene: readonly SceneBody[], task: Task): Promise<Seam> {
  const place = `seam ${request.name}`;
  await task.pause('drawing the seam', 0);
  const joined = createJoinedStore();
  const { drawn, fingerprint, match } = await drawSelection(request, scene, createLineStore(), joined, place, task);
  const fit = measureFit(drawn.track.curve, drawn.check);
  await task.pause('drawing the seam', 0.5);
  const faces = joined(drawn.entry);
  // An offset counts from the seam as it is driven: run backward, the drawn line has b on its other side.
  const backward = runsBackward(drawn.track, faces.surface, request.startNear, request.reverse, place);
  const aside = backward ? -request.offset : request.offset;
  const moved =
    aside === 0 ? drawn.track : assignFaces(await offsetTrack(drawn.track, faces.surface, aside, place, task), faces);
  const rounded = blendCorners(moved, faces.surface, request.cornerBlend ?? 0, CORNER);
  const { curve, face } = startTrack(rounded.track, backward, request.startNear, place);
  const broken = breaks(curve, KINK);
  await task.pause('drawing the seam', 1);
  return {
    name: request.name,
    curve,
    corners: broken.filter(({ angle }) => angle > CORNER),
    kinks: broken.filter(({ angle }) => angle <= CORNER),
    blends: rounded.blendsOn(curve),
    faces: facesAlong(curve, face, drawn.entry.part),
    edgeIds: drawn.edgeIds,
    faceChoice: drawn.faceChoice,
    fit: reportOnSeam(fit, drawn.check, curve),
    fingerprint,
    match,
  };
}

/** Each body's faces joined once. */
function createJoinedStore(): (entry: SceneBody) => JoinedFaces {
  const store = new Map<SceneBody, JoinedFaces>();
  return (entry) => {
    const faces = store.get(entry) ?? createJoinedFaces(entry.query);
    store.set(entry, faces);
    return faces;
  };
}

interface Fit extends Omit<FitReport, 'at'> {
  /** Where the largest distance is, index into the points. */
  readonly worst: number;
}

function measureFit(curve: Curve, check: Float64Array): Fit {
  let largest = 0;
  let worst = 0;
  let sum = 0;
  for (let i = 0; i < check.length; i += 3) {
    const { distance } = closestPoint(curve, check[i], check[i + 1], check[i + 2]);
    sum += distance * distance;
    if (distance > largest) {
      largest = distance;
      worst = i / 3;
    }
  }
  const points = check.length / 3;
  return { points, largest, rms: Math.sqrt(sum / Math.max(points, 1)), worst };
}

/** The report with the arc length of the finished seam next to where the fit is worst. */
function reportOnSeam({ points, largest, rms, worst }: Fit, check: Float64Array, curve: Curve): FitReport {
  const at = points > 0 ? closestPoint(curve, check[3 * worst], check[3 * worst + 1], check[3 * worst + 2]).s : 0;
  return { points, largest, rms, at };
}

function facesAlong(curve: Curve, face: readonly number[], part: number): Seam['faces'] {
  const faces: { from: number; ref: { part: number; face: number } }[] = [];
  curve.pieces.forEach(({ arc }, i) => {
    if (i === 0 || face[i] !== face[i - 1]) faces.push({ from: arc[0], ref: { part, face: face[i] } });
  });
  return faces;
}
