// What the page knows, in slices by topic. Components read it and call its actions; geometry and plans come from the worker.
import type { PageError, PageFile } from '../../worker/page/protocol.ts';
import type { PlanView, SceneView } from '../../output/view/plan-view.ts';

/** A JSON value of the job as the person wrote it: defaults are not filled in. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };
export type JobDraft = { readonly [key: string]: Json };

/** Something that only the person knows: the unit of an STL file, the body's role. Answered by `edit(pointer, answer)`. */
export interface Question {
  readonly kind: 'unit' | 'role';
  /** File, and body where it is given. */
  readonly about: string;
  /** Where the answer goes: `/parts/2/unit`. */
  readonly pointer: string;
  readonly choices: readonly string[];
}

/** The job and its files. Every change of either can be undone. */
export interface JobSlice {
  /** Name of the job file, without folder. */
  readonly jobName: string;
  readonly job: JobDraft;
  /** Bytes of all files that the job may name, by name. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** The sample as it came, nothing changed: files dropped on it begin a job of their own. */
  readonly untouchedSample: boolean;
  /** Pointers of values that the page guessed from names: `/parts/0/role`. Shown as guesses until the person sets them. */
  readonly guessed: readonly string[];
  /** What has to be answered before the job can be planned. */
  readonly questions: readonly Question[];
  /** Sets (or with undefined removes) the value at a JSON pointer such as `/seams/0/width_mm`. `merge`: edits under one name within a second undo as one. */
  edit(pointer: string, value: Json | undefined, merge?: string): void;
  /** Several edits that undo as one. */
  editAll(edits: readonly { readonly pointer: string; readonly value: Json | undefined }[], merge?: string): void;
  /** Says that values at these pointers, just set, were the page's guess. */
  markGuessed(pointers: readonly string[]): void;
  /** Replaces all at once. */
  openJob(name: string, job: JobDraft, files: ReadonlyMap<string, Uint8Array>, sample?: boolean): void;
  /** An empty job. */
  newJob(): void;
  /** Adds or replaces files, with parts for those that no part names yet; on an untouched sample, as a new job. */
  addFiles(files: ReadonlyMap<string, Uint8Array>): void;
  undo(): void;
  redo(): void;
  readonly canUndo: boolean;
  readonly canRedo: boolean;
}

export type RunState = 'idle' | 'running' | 'failed';

/** What the worker made of the job. */
export interface PlanSlice {
  readonly run: RunState;
  readonly what: string;
  /** 0 .. 1 */
  readonly fraction: number;
  /** What came last, kept while a newer one is computed. */
  readonly scene: SceneView | null;
  readonly plan: PlanView | null;
  /** The plan on the screen is not of the job on the screen. */
  readonly stale: boolean;
  /** Plan without its heat: heat still to come. */
  readonly heatPending: boolean;
  readonly error: PageError | null;
  /** The last run was cancelled: what is shown is as far as it got. */
  readonly cancelled: boolean;
  /** Something that is not the person's fault, said once: a worker replaced, a context lost. */
  readonly notice: string | null;
  readonly pinned: PlanView | null;
  /** What was opened last and could not be: everything stayed as it was. */
  readonly openError: PageError | null;
  cancel(): void;
  /** Plans again, after a cancel or a failure. */
  planAgain(): void;
  pin(): void;
  unpin(): void;
  /** Takes notice and openError away. */
  dismiss(): void;
}

/** Output files, the same bytes as the command line writes. */
export interface ExportSlice {
  readonly exportOpen: boolean;
  /** Of the complete plan on the screen; null until they are there, and again when the plan changes. */
  readonly outputs: readonly PageFile[] | null;
  /** The caution was read: it is shown once. */
  readonly cautionSeen: boolean;
  /** Opens the export dialog and asks for the outputs. */
  openExport(): void;
  closeExport(): void;
  seenCaution(): void;
}

/** Where the person looks. */
export interface ViewSlice {
  /** Index of the seam shown in strip and findings. */
  readonly seam: number;
  /** Row of the cursor in that seam. */
  readonly row: number;
  readonly playing: boolean;
  /** Name of the quantity that colours the ribbon: a column of waypoints.csv, or of the heat ribbon. */
  readonly colourBy: string;
  /** Edge or body under the pointer or chosen in a list: id. */
  readonly hoverEdge: string | null;
  /** What a click on the stage does. */
  readonly tool: 'look' | 'pick-edge' | 'measure' | 'probe';
  readonly projection: 'perspective' | 'orthographic';
  /** Section plane: axis in the part frame and place along it, mm from the centre; null: none. */
  readonly section: { readonly axis: 'x' | 'y' | 'z'; readonly at: number } | null;
  readonly show: { readonly arm: boolean; readonly beam: boolean; readonly tooling: boolean; readonly edges: boolean };
  readonly theme: 'light' | 'dark' | 'system';
  /** Asks the stage for a view; the number makes each request new. */
  readonly viewRequest: { readonly view: StandardView; readonly number: number };
  readonly paletteOpen: boolean;
  /** What stands beside the stage; on a narrow page the job sheet is one of them, on a wide one it has its own place. */
  readonly side: 'job' | 'findings' | 'window' | 'edges' | 'compare';
  /** Index in the plan's findings of the one that was gone to; the stage may stress it. */
  readonly finding: number | null;
  /** Columns that the strip shows besides its tracks, by name. */
  readonly extraTracks: readonly string[];
  set(patch: Partial<ViewSlice>): void;
}

export type StandardView = 'fit' | 'front' | 'back' | 'left' | 'right' | 'top' | 'bottom' | 'corner' | 'cursor';

/** Files in and out. */
export interface FilesSlice {
  /** What was dropped or chosen: CAD files, a job with its parts, a saved job. What cannot be read sets `openError` and leaves all as it was. */
  openFiles(files: readonly File[]): Promise<void>;
  /** Hands the job and its files to the person as one file. */
  saveJob(): void;
  /** Hands one output file to the person, or with null all of them as one. */
  download(name: string | null): void;
}

export type PageState = JobSlice & PlanSlice & ExportSlice & ViewSlice & FilesSlice;
