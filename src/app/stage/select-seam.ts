// What a pick means for the job: the selection of its seam, or a first seam where it has none yet.
import type { BodyView, SceneView } from '../../output/view/plan-view.ts';
import type { JobDraft, Json, PageState } from '../store/state.ts';

export interface Edit {
  readonly pointer: string;
  /** Undefined takes away what is there. */
  readonly value: Json | undefined;
}

export interface SeamPick {
  readonly kind: 'edge' | 'band';
  readonly body: BodyView;
  /** mm from the scene's centre. */
  readonly point: readonly [number, number, number];
  /** A point on the joint face, mm from the centre, where the pick says which of the edge's faces is meant. */
  readonly facePoint?: readonly [number, number, number];
}

/** What a job begins with where nobody has said: to be changed, and marked as assumed. */
export const ASSUMED_PROCESS = { speed_mm_s: 50, line_energy_J_mm: 0.35 } as const;

/** Entry of the job's parts that names this body; -1 where none does. */
export function partOf(job: JobDraft, body: BodyView, bodiesOfFile: number): number {
  const parts = Array.isArray(job.parts) ? (job.parts as readonly JobDraft[]) : [];
  return parts.findIndex(
    (part) =>
      part.file === body.file &&
      (part.body === undefined ? bodiesOfFile === 1 : part.body === body.name || part.body === `#${body.index}`),
  );
}

/** The body's role in the job, or null where the job does not say. */
export function roleOf(job: JobDraft, scene: SceneView, body: BodyView): string | null {
  const bodies = scene.bodies.filter((other) => other.file === body.file).length;
  const part = partOf(job, body, bodies);
  const role = part < 0 ? undefined : (job.parts as readonly JobDraft[])[part].role;
  return typeof role === 'string' ? role : null;
}

/** How a selection names a body: by name where that is unique among the scene's bodies, else by its position. */
function bodyWord(scene: SceneView, body: BodyView): string {
  return scene.bodies.filter((other) => other.name === body.name).length === 1 ? body.name : `#${body.index}`;
}

/** Edits that make the pick the selection of seam `seam`; the process is assumed where the job has none. */
export function selectionEdits(job: JobDraft, scene: SceneView, seam: number, pick: SeamPick): Edit[] {
  const inPart = (point: readonly [number, number, number]): Json =>
    point.map((value, c) => Number((value + scene.centre[c]).toFixed(4)));
  const body = bodyWord(scene, pick.body);
  const near_mm = inPart(pick.point);
  const face = pick.facePoint === undefined ? {} : { face_near_mm: inPart(pick.facePoint) };
  const select: Json =
    pick.kind === 'edge'
      ? { edge: { body, near_mm, follow: 'tangent', ...face } }
      : { band: { body, near_mm, follow: 'tangent' } };
  const seams = Array.isArray(job.seams) ? (job.seams as readonly JobDraft[]) : [];
  const edits: Edit[] = [];
  if (seams.length === 0) edits.push({ pointer: '/seams', value: [{ name: 'seam-1', select }] });
  else {
    const at = Math.min(seam, seams.length - 1);
    edits.push({ pointer: `/seams/${at}/select`, value: select });
    // Where another seam was to start says nothing about this one.
    if (seams[at].start_near_mm !== undefined) edits.push({ pointer: `/seams/${at}/start_near_mm`, value: undefined });
  }
  return [...edits, ...assumedProcess(job)];
}

function assumedProcess(job: JobDraft): Edit[] {
  if (job.process === undefined || job.process === null) {
    return [{ pointer: '/process', value: { ...ASSUMED_PROCESS } }];
  }
  const process = job.process as JobDraft;
  return Object.entries(ASSUMED_PROCESS)
    .filter(([key]) => process[key] === undefined)
    .map(([key, value]) => ({ pointer: `/process/${key}`, value }));
}

/** Makes the pick the seam, as one step of undo, and marks what was assumed. */
export function selectSeam(state: PageState, pick: SeamPick, mark: (pointers: readonly string[]) => void): void {
  const { scene, job, seam } = state;
  if (scene === null) return;
  const edits = selectionEdits(job, scene, seam, pick);
  state.editAll(edits);
  const assumed = edits.flatMap(({ pointer }) =>
    pointer === '/process'
      ? Object.keys(ASSUMED_PROCESS).map((key) => `/process/${key}`)
      : pointer.startsWith('/process/')
        ? [pointer]
        : [],
  );
  if (assumed.length > 0) mark(assumed);
}
