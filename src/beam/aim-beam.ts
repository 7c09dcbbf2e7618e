// The beam stage: how the head stands over every station of a path, and what the light meets on its way to the joint.
import type { SceneBody } from '../geometry/scene.ts';
import { toMatrix } from '../geometry/quaternion.ts';
import { addScaled, copy } from '../geometry/vector.ts';
import type { Aim } from '../model/aim.ts';
import type { Job, Limits, NominalHead } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { Seam } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import { absorberIndex, clearBodies, statedLayer } from './clear-bodies.ts';
import { type Clipping, createClipping } from './clipping.ts';
import type { Obstacle } from './cone-rays.ts';
import { settleContact } from './contact.ts';
import { faceBorders } from './face-borders.ts';
import { headPath } from './head-path.ts';
import { passedShare } from './polarised-share.ts';
import { spotCapture } from './spot-share.ts';
import { toolFrames } from './tool-frames.ts';
import { createTracer, type Traced } from './trace-stations.ts';

/** What the stage reads of a job. */
export type AimJob = Pick<Job, 'optics' | 'layer' | 'materials'> & {
  readonly limits: Pick<Limits, 'contact' | 'lateral'>;
};

/** Stations between two looks at the clock; a multiple of the clipping's group. */
const STRIDE = 32;
/** How far borders of the joint face are looked for at least, mm. */
const BORDER_REACH = 5;
/** Rays against tooling end this far above the entry surface, mm: a clamp lies on it. */
const TOOLING_CLEARANCE = 0.05;

/**
 * Aims the beam at every station (all arrays as in `Aim`). A value that could not be computed is NaN: everything but the axis where a ray gave
 * no answer; gap and shares where no wall of a transmissive body lies over the joint (`walls` 0, `layer` 0); all optical values
 * off the seam, where the head keeps the pose of the seam's end. Without a transmissive body and without a stated layer the beam
 * falls on the bare joint: layer 0, transmitted 1, walls 0. A free turn is kept constant here, for only an arm could use it.
 * Unit `axes` in air (3 x n) take the place of those that `head` asks for. Throws InputError `material-incomplete`, `transmittance-impossible`.
 */
export async function aimBeam(
  path: Path,
  seam: Seam,
  jobSeam: { readonly head: NominalHead },
  scene: readonly SceneBody[],
  job: AimJob,
  task: Task,
  axes: Float64Array | null = null,
): Promise<Aim> {
  const { head } = jobSeam;
  const { optics, materials, limits } = job;
  const { count, onSeam } = path;
  const bodies = clearBodies(scene, materials);
  const stated = statedLayer(job.layer, bodies, materials);
  const below = seam.faces.map(({ ref }) => absorberIndex(ref.part, scene, materials));
  const { traced, trace } = createTracer(path, {
    head,
    optics,
    bodies,
    stated,
    axes,
    absorberIndex: (station) => below[path.face[station]] ?? Number.NaN,
  });
  for (let i = 0; i < count; i++) {
    if (i % STRIDE === 0) await task.pause('tracing rays', (0.7 * i) / count);
    if (onSeam[i]) trace(i);
  }
  extendEnds(path, traced);

  const frame = toolFrames(path, traced.axis, typeof head.turn === 'number' ? head.turn : 0);
  const headPoint = new Float64Array(3 * count);
  for (let k = 0; k < 3 * count; k += 3) addScaled(traced.tcp, k, -head.standoff, traced.axis, k, headPoint, k);

  const gap = settleContact(traced.rawGap, limits.contact, path.closed);
  const { transmitted, throughGap } = passedShare(path, traced, frame, optics.polarisation);
  const clipping = await clip(path, traced, headPoint, frame, scene, job, stated !== null || bodies.length > 0, task);
  const delivered = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const arriving = gap[i] > 0 ? throughGap[i] : gap[i] === 0 ? transmitted[i] : Number.NaN;
    delivered[i] = arriving * (1 - clipping.clipped[i]);
  }

  const widest = largest(traced.spotAcross);
  const reach = Math.max(BORDER_REACH, 3 * widest + limits.lateral);
  const borders = await faceBorders(path, seam, scene, reach, task);
  const capture = spotCapture(optics.profile, borders, traced.spotAcross, limits.lateral);
  await task.pause('following the head', 0.98);

  return {
    count,
    axis: traced.axis,
    tcp: traced.tcp,
    frame,
    head: headPoint,
    ...headPath(path, headPoint, frame),
    entry: traced.entry,
    incidenceEntry: traced.incidenceEntry,
    incidenceJoint: traced.incidenceJoint,
    layer: traced.layer,
    walls: traced.walls,
    gap,
    rawGap: traced.rawGap,
    transmitted,
    delivered,
    clipped: clipping.clipped,
    clippedBy: clipping.clippedBy,
    capture: capture.nominal,
    captureLateral: capture.lateral,
    borderLeft: borders.left,
    borderRight: borders.right,
    spotAlong: traced.spotAlong,
    spotAcross: traced.spotAcross,
    focusShift: traced.focusShift,
  };
}

/** Off the seam: axis of the end next to it, tool centre point moved along. */
function extendEnds({ count, position, onSeam }: Path, { axis, tcp }: Traced): void {
  const first = onSeam.indexOf(1);
  const last = onSeam.lastIndexOf(1);
  for (let i = 0; i < count; i++) {
    if (onSeam[i] || first < 0) continue;
    const end = i < first ? 3 * first : 3 * last;
    const k = 3 * i;
    copy(axis, end, axis, k);
    for (let c = 0; c < 3; c++) tcp[k + c] = tcp[end + c] + position[k + c] - position[end + c];
  }
}

async function clip(
  path: Path,
  traced: Traced,
  head: Float64Array,
  frame: Float64Array,
  scene: readonly SceneBody[],
  { optics }: AimJob,
  layered: boolean,
  task: Task,
): Promise<Clipping> {
  const { count } = path;
  const out = { clipped: new Float64Array(count), clippedBy: new Int32Array(count) };
  const rows = new Float64Array(9 * count);
  for (let i = 0; i < count; i++) toMatrix(frame, 4 * i, rows, 9 * i);
  const { entry, entryNormal, entryRadius: radius } = traced;
  const widest = largest(radius);
  // Rays stop short of what they are meant to meet, by the spot's radius: curved faces rise beside the point of entry.
  const obstacles: Obstacle[] = scene.map(({ part, query, role }) => ({
    part,
    query,
    clearance: role === 'tooling' && layered ? TOOLING_CLEARANCE : widest,
  }));
  const cones = { count, profile: optics.profile, exit: optics.exitRadius, head, rows, entry, entryNormal, radius };
  const clipStations = createClipping(cones, obstacles);
  for (let from = 0; from < count; from += STRIDE) {
    await task.pause('looking for shadows', 0.7 + (0.25 * from) / count);
    clipStations(from, Math.min(from + STRIDE, count), out);
  }
  return out;
}

/** Largest value, unknown ones left out; 0 when there is none. */
function largest(values: Float64Array): number {
  let most = 0;
  for (const value of values) if (value > most) most = value;
  return most;
}
