// What the page knows, in slices by topic. Components read it and call its actions; geometry and plans come from the worker.
import type { PageError, PageFile } from '../../worker/page/protocol.ts';
import type { PlanView, SceneView } from '../../output/view/plan-view.ts';

/** A JSON value of the job as the person wrote it: defaults are not filled in. */
export type Json = null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };
export type JobDraft = { readonly [key: string]: Json };

/** The job and its files. Every change of either can be undone. */
export interface JobSlice {
  /** Name of the job file, without folder. */
  readonly jobName: string;
  readonly job: JobDraft;
  /** Bytes of all files that the job may name, by name. */
  readonly files: ReadonlyMap<string, Uint8Array>;
  /** Sets (or with undefined removes) the value at a JSON pointer such as `/seams/0/width_mm`. `merge`: edits under one name within a second undo as one. */
  edit(pointer: string, value: Json | undefined, merge?: string): void;
  /** Replaces all at once. */
  openJob(name: string, job: JobDraft, files: ReadonlyMap<string, Uint8Array>): void;
  /** Adds or replaces files, with parts for those that no part names yet. */
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
  /** Something that is not the person's fault, said once: a worker replaced, a context lost. */
  readonly notice: string | null;
  readonly pinned: PlanView | null;
  cancel(): void;
  pin(): void;
  unpin(): void;
  dismiss(): void;
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
  readonly exportOpen: boolean;
  /** What stands beside the stage. */
  readonly side: 'findings' | 'window' | 'edges' | 'compare';
  /** Index in the plan's findings of the one that was gone to; the stage may stress it. */
  readonly finding: number | null;
  /** Columns that the strip shows besides its tracks, by name. */
  readonly extraTracks: readonly string[];
  set(patch: Partial<ViewSlice>): void;
}

export type StandardView = 'fit' | 'front' | 'back' | 'left' | 'right' | 'top' | 'bottom' | 'corner' | 'cursor';

/** Files in and out. */
export interface FilesSlice {
  /** What was dropped or chosen: CAD files, a job with its parts, a saved job. What cannot be read sets `error` and leaves all as it was. */
  openFiles(files: readonly File[]): Promise<void>;
  /** Hands the job and its files to the person as one file. */
  saveJob(): void;
  /** The output files of the plan on the screen; null until they are made. */
  readonly exported: readonly PageFile[] | null;
  /** Has the output files made. */
  prepareExport(): void;
  /** Hands one output file to the person, or with null all of them as one. */
  download(name: string | null): void;
  /** The cautions have been shown and read. */
  readonly cautioned: boolean;
  setCautioned(): void;
  /** Pointers of values that were guessed and not yet touched by hand, such as `/parts/0/role`. */
  readonly guesses: readonly string[];
}

export type PageState = JobSlice & PlanSlice & ViewSlice & FilesSlice;
