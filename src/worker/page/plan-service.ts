// What the plan worker does with a message: one run at a time, a new one ends the one before. Knows no worker itself: what it needs
// of its surroundings is handed in.
import { Cancelled, InputError } from '../../model/input-error.ts';
import type { Catalogue } from '../../model/catalogue.ts';
import { parseJobFile } from '../../model/parse-job.ts';
import type { Part } from '../../model/part.ts';
import type { CadImporter } from '../../model/raw-import.ts';
import type { Task } from '../../model/task.ts';
import { renderOutputs } from '../../output/render-outputs.ts';
import { buildPlanView } from '../../output/view/build-plan-view.ts';
import { buildSceneView } from '../../output/view/build-scene-view.ts';
import { planBuffers, sceneBuffers } from '../../output/view/view-buffers.ts';
import type { Plan } from '../../planner/plan.ts';
import { createPlanner } from '../../planner/planner.ts';
import { createTask } from '../../planner/task-runner.ts';
import { createCoarseImports } from './coarse-imports.ts';
import { openFiles } from './open-files.ts';
import { packFiles } from './pack-files.ts';
import type { FromWorker, PageError, PageFile, ToWorker } from './protocol.ts';
import { type Draft, readDraft } from './read-draft.ts';

export interface PlanServiceSettings {
  readonly catalogue: Catalogue;
  readonly importCad: CadImporter;
  /** Lower-case hex. */
  sha256(bytes: Uint8Array): Promise<string>;
  /** Monotonic clock, ms. */
  now(): number;
  /** Lets messages come in, then goes on. */
  yieldTurn(): Promise<void>;
  post(message: FromWorker, buffers: readonly ArrayBufferLike[]): void;
  /** Takes what is a fault of this program. */
  fail(error: unknown): void;
}

type PlanOrder = Extract<ToWorker, { kind: 'plan' }>;
type Ended = Extract<FromWorker, { kind: 'ended' }>;

/** `take` answers every message; it returns when all that the message asked for is done. */
export function createPlanService(settings: PlanServiceSettings): { take(message: ToWorker): Promise<void> } {
  const { catalogue, importCad, sha256, post, fail } = settings;
  let files: ReadonlyMap<string, Uint8Array> = new Map();
  let present = new AbortController();
  let opening = new AbortController();
  let centre: readonly [number, number, number] | null = null;
  /** Parts of the scene that was sent last; compared by identity. */
  let shown: readonly Part[] = [];
  let last: { readonly run: number; readonly plan: Plan } | null = null;
  const coarse = createCoarseImports({ importCad, sha256 });
  const planner = createPlanner({ importCad, sha256, readFile }, catalogue);

  async function readFile(name: string): Promise<Uint8Array> {
    const bytes = files.get(name);
    if (bytes !== undefined) return bytes;
    throw new InputError('file-missing', 'the file is not here', name, 'drop it on the page');
  }

  function taskOf(signal: AbortSignal, run: number): Task {
    return createTask({
      now: settings.now,
      yieldTurn: settings.yieldTurn,
      signal,
      progress: (what, fraction) => post({ kind: 'progress', run, what, fraction }, []),
    });
  }

  function showScene(run: number, parts: readonly Part[], isCoarse: boolean): void {
    if (parts.length === shown.length && parts.every((part, k) => part === shown[k])) return;
    shown = parts;
    const scene = buildSceneView(parts, isCoarse, centre);
    centre = scene.centre;
    post({ kind: 'scene', run, scene }, sceneBuffers(scene));
  }

  /** Shows the parts, coarsely first where they are new, and finely at last. */
  async function importScene(run: number, { importable }: Draft, task: Task): Promise<void> {
    const quick = new AbortController();
    const stop = () => quick.abort();
    task.signal.addEventListener('abort', stop);
    const first = coarse.of(importable.parts, files, shown, taskOf(quick.signal, run)).then((parts) => {
      if (parts !== null && !quick.signal.aborted) showScene(run, parts, true);
    });
    // A file that cannot be read is told of by the fine import.
    first.catch(() => undefined);
    try {
      const parts = await planner.importParts(importable, task);
      stop();
      showScene(run, parts, false);
    } finally {
      stop();
      task.signal.removeEventListener('abort', stop);
    }
  }

  function showPlan(run: number, plan: Plan, complete: boolean): void {
    const view = buildPlanView(plan, centre ?? [0, 0, 0], complete);
    post({ kind: 'plan', run, view }, planBuffers(view));
  }

  async function plan({ run, jobText, place, hasScene }: PlanOrder): Promise<void> {
    present.abort();
    if (!hasScene) shown = [];
    present = new AbortController();
    const { signal } = present;
    const task = taskOf(signal, run);
    const ended = (how: Ended['how'], error: PageError | null = null) => post({ kind: 'ended', run, how, error }, []);
    try {
      const draft = readDraft(jobText, place);
      await importScene(run, draft, task);
      if (!draft.hasSeams) return ended('imported');
      const made = await planner.plan(parseJobFile(jobText, place), place, task, (early) =>
        showPlan(run, early, false),
      );
      last = { run, plan: made };
      showPlan(run, made, true);
      ended('planned');
    } catch (error) {
      if (error instanceof Cancelled || signal.aborted) ended('cancelled');
      else if (error instanceof InputError) ended('refused', pageError(error));
      else throw error;
    }
  }

  async function open(request: number, chosen: readonly PageFile[]): Promise<void> {
    opening.abort();
    opening = new AbortController();
    const task = taskOf(opening.signal, 0);
    try {
      const opened = await openFiles(chosen, coarse, task);
      post({ kind: 'opened', request, opened }, []);
    } catch (error) {
      if (error instanceof Cancelled) post({ kind: 'opened', request, opened: { how: 'cancelled' } }, []);
      else if (error instanceof InputError) {
        post({ kind: 'opened', request, opened: { how: 'refused', error: pageError(error) } }, []);
      } else throw error;
    }
  }

  function outputs(request: number): PageFile[] | null {
    if (last?.run !== request) return null;
    const encoder = new TextEncoder();
    return renderOutputs(last.plan).map(({ name, content }) => ({
      name,
      bytes: typeof content === 'string' ? encoder.encode(content) : content,
    }));
  }

  async function answer(message: ToWorker): Promise<void> {
    switch (message.kind) {
      case 'files':
        files = new Map(message.files.map(({ name, bytes }) => [name, bytes]));
        return;
      case 'plan':
        return plan(message);
      case 'cancel':
        present.abort();
        opening.abort();
        return;
      case 'export':
        return post({ kind: 'exported', request: message.request, files: outputs(message.request) }, []);
      case 'open':
        return open(message.request, message.files);
      case 'pack': {
        const bytes = packFiles(message.files);
        return post({ kind: 'packed', request: message.request, bytes }, [bytes.buffer]);
      }
    }
  }

  return {
    async take(message) {
      await answer(message).catch(fail);
    },
  };
}

const pageError = ({ code, sentence, place, hint }: InputError): PageError => ({ code, sentence, place, hint });
