// The job and its files, with undo over both: zundo keeps what was there before each edit.
import type { TemporalState } from 'zundo';
import type { SceneView } from '../../output/view/plan-view.ts';
import { withValueAt } from './json-pointer.ts';
import { guessPart } from './part-guesses.ts';
import { draftParts, openQuestions } from './questions.ts';
import { splitParts } from './split-parts.ts';
import type { JobDraft, JobSlice, Json, PageState } from './state.ts';

/** What undo brings back. */
export type Undoable = Pick<PageState, 'jobName' | 'job' | 'files' | 'untouchedSample' | 'guessed' | 'questions'>;

export const undoable = ({ jobName, job, files, untouchedSample, guessed, questions }: PageState): Undoable => ({
  jobName,
  job,
  files,
  untouchedSample,
  guessed,
  questions,
});

export const sameUndoable = (a: Undoable, b: Undoable): boolean =>
  a.jobName === b.jobName && a.job === b.job && a.files === b.files;

export interface JobTools {
  readonly set: (patch: Partial<PageState>) => void;
  readonly get: () => PageState;
  readonly history: () => TemporalState<Undoable>;
  /** Monotonic, ms. */
  readonly now: () => number;
}

/** Edits under one name closer together than this undo as one, ms. */
const MERGE = 1000;

const EMPTY_JOB: JobDraft = { format: 'raythread-job/1', title: '', parts: [], seams: [] };
const EMPTY_NAME = 'untitled.job.json';

export function createJobSlice({ set, get, history, now }: JobTools): JobSlice {
  let last: { readonly name: string; readonly at: number } | null = null;

  /** Changes what `amend` says, without a step of its own in the history where `quiet`. */
  function change(patch: Partial<Undoable>, quiet: boolean): void {
    if (quiet) history().pause();
    set({ ...patch, ...(patch.job === undefined ? {} : { questions: openQuestions(patch.job) }) });
    if (quiet) history().resume();
  }

  function replaceJob(patch: Partial<Undoable>): void {
    last = null;
    set({ scene: null, plan: null, pinned: null, outputs: null, openError: null, seam: 0, row: 0, playing: false });
    change(patch, false);
  }

  const editAll: JobSlice['editAll'] = (edits, merge) => {
    const { job: before, guessed } = get();
    const job = edits.reduce<Json>((value, edit) => withValueAt(value, edit.pointer, edit.value), before) as JobDraft;
    if (job === before) return;
    const at = now();
    const merged = merge !== undefined && last !== null && last.name === merge && at - last.at < MERGE;
    last = merge === undefined ? null : { name: merge, at };
    const still = edits.reduce<readonly string[]>(guessesAfter, guessed);
    change({ job, untouchedSample: false, guessed: still }, merged);
  };

  return {
    jobName: EMPTY_NAME,
    job: EMPTY_JOB,
    files: new Map(),
    untouchedSample: false,
    guessed: [],
    questions: [],
    canUndo: false,
    canRedo: false,
    editAll,
    edit(pointer, value, merge) {
      editAll([{ pointer, value }], merge);
    },
    markGuessed(pointers) {
      set({ guessed: [...new Set([...get().guessed, ...pointers])] });
    },
    openJob(jobName, job, files, sample = false) {
      replaceJob({ jobName, job, files, untouchedSample: sample, guessed: [] });
    },
    newJob() {
      replaceJob({ jobName: EMPTY_NAME, job: EMPTY_JOB, files: new Map(), untouchedSample: false, guessed: [] });
    },
    addFiles(added) {
      const { untouchedSample, job: present, files: there, guessed } = get();
      const first = [...added.keys()][0] ?? '';
      const fresh = untouchedSample || draftParts(present).length === 0;
      const title = first.replace(/\.[^.]*$/, '');
      const job = untouchedSample ? { ...EMPTY_JOB, title } : present;
      const parts = [...draftParts(job)];
      const named = new Set(parts.map((part) => part.file));
      const guesses = untouchedSample ? [] : [...guessed];
      for (const file of added.keys()) {
        if (named.has(file)) continue;
        const { part, guessed: keys } = guessPart(file, undefined);
        guesses.push(...keys.map((key) => `/parts/${parts.length}/${key}`));
        parts.push(part);
      }
      const patch: Partial<Undoable> = {
        job: { ...job, ...(fresh && job.title === '' ? { title } : {}), parts },
        files: new Map([...(untouchedSample ? [] : there), ...added]),
        untouchedSample: false,
        guessed: guesses,
        ...(fresh ? { jobName: `${title === '' ? 'untitled' : title}.job.json` } : {}),
      };
      if (fresh) replaceJob(patch);
      else change(patch, false);
      last = null;
    },
    undo() {
      last = null;
      history().undo();
    },
    redo() {
      last = null;
      history().redo();
    },
  };
}

/** Parts become one a body where their file has several, without a step in the history. Called when the bodies are known. */
export function settleParts(scene: SceneView, { set, get, history }: Omit<JobTools, 'now'>): void {
  const { job, guessed } = get();
  const split = splitParts(job, guessed, scene);
  if (split === null) return;
  history().pause();
  set({ ...split, questions: openQuestions(split.job) });
  history().resume();
}

/** The guesses that still stand after an edit; those of later parts move up where a part is removed. */
function guessesAfter(
  guessed: readonly string[],
  { pointer, value }: { readonly pointer: string; readonly value: Json | undefined },
): readonly string[] {
  const left = guessed.filter((guess) => guess !== pointer && !guess.startsWith(`${pointer}/`));
  const removed = value === undefined ? /^\/parts\/(\d+)$/.exec(pointer) : null;
  if (removed === null) return left;
  return left.map((guess) =>
    guess.replace(/^\/parts\/(\d+)/, (_all, at: string) => {
      const index = Number(at);
      return `/parts/${index > Number(removed[1]) ? index - 1 : index}`;
    }),
  );
}
