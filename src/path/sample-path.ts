// A seam sampled into stations with the Darboux frame of the joint face: t, n, b = n x t and C'' = -k_n n + k_g b,
// n' = k_n t - tau_g b (do Carmo 1976, sec. 4-4, with the sign that makes k_n positive where the face is convex
// towards the head).
import { pointAt, sampleCurve } from '../geometry/curve.ts';
import { differentiate } from '../geometry/differences.ts';
import type { SceneBody } from '../geometry/scene.ts';
import type { Surface } from '../geometry/surface.ts';
import { angleBetween, copy, cross, dot, length, orthonormalise } from '../geometry/vector.ts';
import { InputError } from '../model/input-error.ts';
import type { JobSeam } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { FaceRef, Seam } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { layClosedRows, layOpenRows } from './lay-rows.ts';
import { placeStations } from './place-stations.ts';

/** Faces whose normals differ by more than this where the seam crosses over meet in a crease, rad. */
const CREASE = 0.5 * RAD_PER_DEG;

/** Stations whose normals are asked between two looks at the clock. */
const BATCH = 16;

/** What of a job's seam the path depends on. */
export type PathSettings = Pick<JobSeam, 'spacing' | 'chord' | 'runIn' | 'overlap'> & Partial<Pick<JobSeam, 'runOut'>>;

/**
 * Samples the seam: stations on the joint and the rows that visit them. Normals are those of the faces' true surfaces.
 * Throws InputError `joint-normal` where a face's surface is not defined under the seam.
 */
export async function samplePath(
  seam: Seam,
  settings: PathSettings,
  scene: readonly SceneBody[],
  task: Task,
): Promise<Path> {
  const { curve } = seam;
  const { closed } = curve;
  const corners = seam.corners.map((corner) => corner.s);
  const { runIn, runOut = runIn, spacing } = settings;
  const onCurve = placeStations(curve, corners, spacing, chordOf(seam, settings.chord));
  const s = closed ? onCurve : extend(onCurve, curve.length, runIn, runOut, spacing);
  const n = s.length;
  const onSeam = Uint8Array.from(s, (x) => (x < 0 || x > curve.length ? 0 : 1));
  const { position, tangent, second } = sampleCurve(curve, s);
  const face = Uint32Array.from(s, (x) => faceAt(seam, x));
  const surfaces = seam.faces.map(({ ref }) => surfaceOf(scene, ref));

  const normal = await jointNormals(seam, s, onSeam, position, face, surfaces, task);
  const side = new Float64Array(3 * n);
  const curvature = new Float64Array(n);
  const normalCurvature = new Float64Array(n);
  const geodesicCurvature = new Float64Array(n);
  for (let i = 0, k = 0; i < n; i++, k += 3) {
    orthonormalise(tangent, k, normal, k);
    cross(normal, k, tangent, k, side, k);
    curvature[i] = length(second, k);
    normalCurvature[i] = 0 - dot(second, k, normal, k);
    geodesicCurvature[i] = dot(second, k, side, k);
  }

  const begins = sectionStarts(seam, s, onSeam, surfaces);
  const { first: normalD1 } = differentiate({ s, period: closed ? curve.length : 0, begins }, normal, 3, 5);
  const geodesicTorsion = Float64Array.from(s, (_, i) => (onSeam[i] ? 0 - dot(normalD1, 3 * i, side, 3 * i) : 0));
  const corner = new Float64Array(n);
  for (const { s: at, angle } of seam.corners) corner[firstFrom(s, at)] = angle;

  return {
    closed,
    length: curve.length,
    count: n,
    s,
    onSeam,
    position,
    tangent,
    normal,
    curvature,
    normalCurvature,
    geodesicCurvature,
    geodesicTorsion,
    corner,
    face,
    rows: closed ? layClosedRows(s, curve.length, runIn, runOut, settings.overlap) : layOpenRows(s, curve.length),
  };
}

/** Stations stand close enough on rounded corners to show how far these pass them: chord error over deviation. */
const BLEND_CHORD = 0.05;

/** Largest chord error, mm: the one that is asked for, or what rounded corners need; 0 for none. */
function chordOf({ blends }: Seam, chord: number): number {
  const needed = blends.reduce((least, { deviation }) => Math.min(least, BLEND_CHORD * deviation), Infinity);
  const asked = chord > 0 ? chord : Infinity;
  return Math.min(asked, needed) < Infinity ? Math.min(asked, needed) : 0;
}

/** Stations of an open seam with even ones before its start and beyond its end, as far as run-in and run-out go. */
function extend(onCurve: Float64Array, end: number, runIn: number, runOut: number, spacing: number): Float64Array {
  const countOf = (way: number): number => (way > 0 ? Math.max(1, Math.round(way / spacing)) : 0);
  const before = countOf(runIn);
  const beyond = countOf(runOut);
  const all = new Float64Array(before + onCurve.length + beyond);
  for (let i = 0; i < before; i++) all[i] = (-runIn * (before - i)) / before;
  all.set(onCurve, before);
  for (let i = 0; i < beyond; i++) all[before + onCurve.length + i] = end + (runOut * (i + 1)) / beyond;
  return all;
}

/** Index into `Seam.faces` of the face under an arc length; before the first face's beginning it is the last one's end. */
function faceAt(seam: Seam, s: number): number {
  const { faces, curve } = seam;
  const on = Math.min(Math.max(s, 0), curve.length);
  for (let f = faces.length - 1; f >= 0; f--) if (faces[f].from <= on) return f;
  return curve.closed ? faces.length - 1 : 0;
}

function surfaceOf(scene: readonly SceneBody[], ref: FaceRef): Surface {
  const body = scene.find(({ part }) => part === ref.part);
  if (!body) throw new Error(`the seam lies on part ${ref.part}, which is not in the scene`);
  return body.query.surface(ref.face);
}

/** Unit normals of the joint face at the stations, 3 x n; on the straight extensions those of the seam's ends. */
async function jointNormals(
  seam: Seam,
  s: Float64Array,
  onSeam: Uint8Array,
  position: Float64Array,
  face: Uint32Array,
  surfaces: readonly Surface[],
  task: Task,
): Promise<Float64Array> {
  const n = s.length;
  const normal = new Float64Array(3 * n);
  const out = new Float64Array(6);
  const first = onSeam.indexOf(1);
  const last = onSeam.lastIndexOf(1);
  for (let i = first; i <= last; i++) {
    if ((i - first) % BATCH === 0) await task.pause('reading joint normals', (i - first) / n);
    const k = 3 * i;
    if (!surfaces[face[i]].project(position[k], position[k + 1], position[k + 2], out)) throw noNormal(seam, s[i]);
    copy(out, 3, normal, k);
  }
  for (let i = 0; i < first; i++) copy(normal, 3 * first, normal, 3 * i);
  for (let i = last + 1; i < n; i++) copy(normal, 3 * last, normal, 3 * i);
  return normal;
}

function noNormal(seam: Seam, s: number): InputError {
  return new InputError(
    'joint-normal',
    `the surface of the joint face is not defined under seam ${seam.name} at ${s.toFixed(2)} mm`,
    `seam ${seam.name}`,
    'import with a finer tessellation, or choose another joint face or a smaller offset',
  );
}

/** 1 where a stencil along the normals must not reach back: at corners, kinks, creases and the ends of an open seam. */
function sectionStarts(seam: Seam, s: Float64Array, onSeam: Uint8Array, surfaces: readonly Surface[]): Uint8Array {
  const begins = new Uint8Array(s.length);
  const mark = (at: number) => {
    const i = firstFrom(s, at);
    begins[i < s.length ? i : 0] = 1;
  };
  for (const { s: at } of [...seam.corners, ...seam.kinks]) mark(at);
  seam.faces.forEach(({ from }, f) => {
    const before = f > 0 ? f - 1 : surfaces.length - 1;
    if ((f > 0 || seam.curve.closed) && isCrease(seam, from, surfaces[before], surfaces[f])) mark(from);
  });
  for (let i = 1; i < s.length; i++) if (onSeam[i] !== onSeam[i - 1]) begins[i] = 1;
  return begins;
}

function isCrease(seam: Seam, s: number, before: Surface, after: Surface): boolean {
  if (before === after) return false;
  const at = new Float64Array(9);
  pointAt(seam.curve, s, at);
  const a = new Float64Array(6);
  const b = new Float64Array(6);
  const known = before.project(at[0], at[1], at[2], a) && after.project(at[0], at[1], at[2], b);
  return !known || angleBetween(a, 3, b, 3) > CREASE;
}

/** Index of the first station at or beyond an arc length; n where there is none. */
function firstFrom(s: Float64Array, at: number): number {
  let low = 0;
  let high = s.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (s[middle] < at) low = middle + 1;
    else high = middle;
  }
  return low;
}
