// What the page and the worker that plans for it say to each other. The worker has one run at a time: a new one ends the one before.
import type { PlanView, SceneView } from '../../output/view/plan-view.ts';

/** Bad input, as InputError has it. */
export interface PageError {
  readonly code: string;
  readonly sentence: string;
  readonly place: string;
  readonly hint: string;
}

export interface PageFile {
  /** As in the job, with forward slashes. */
  readonly name: string;
  readonly bytes: Uint8Array;
}

/** What dropped files turned out to be. */
export type Opened =
  /** A job with all files that it names. */
  | { readonly how: 'job'; readonly name: string; readonly jobText: string; readonly files: readonly PageFile[] }
  /** Part files, each of which can be read. */
  | { readonly how: 'parts'; readonly files: readonly PageFile[] }
  | { readonly how: 'refused'; readonly error: PageError }
  | { readonly how: 'cancelled' };

export type ToWorker =
  /** All files that jobs may name from now on; what was there before is forgotten. */
  | { readonly kind: 'files'; readonly files: readonly PageFile[] }
  /** Plans a job, or, where it has no seam yet, imports its parts only. `hasScene`: the page shows a scene, one is needed if it changes. */
  | {
      readonly kind: 'plan';
      readonly run: number;
      readonly jobText: string;
      readonly place: string;
      readonly hasScene: boolean;
    }
  /** Ends the run, and what is being opened. */
  | { readonly kind: 'cancel' }
  /** The output files of the last complete plan. */
  | { readonly kind: 'export'; readonly request: number }
  /** Looks at files that a person chose, unpacks and reads them; nothing is kept but coarse imports. */
  | { readonly kind: 'open'; readonly request: number; readonly files: readonly PageFile[] }
  /** One zip archive of files. */
  | { readonly kind: 'pack'; readonly request: number; readonly files: readonly PageFile[] };

export type FromWorker =
  | { readonly kind: 'ready' }
  | { readonly kind: 'progress'; readonly run: number; readonly what: string; readonly fraction: number }
  /** New geometry: sent when it changed. */
  | { readonly kind: 'scene'; readonly run: number; readonly scene: SceneView }
  /** Once without heat where heat takes time, and once complete. */
  | { readonly kind: 'plan'; readonly run: number; readonly view: PlanView }
  /** The run has ended: with a plan, with its parts imported only, cancelled, or with bad input. */
  | {
      readonly kind: 'ended';
      readonly run: number;
      readonly how: 'planned' | 'imported' | 'cancelled' | 'refused';
      readonly error: PageError | null;
    }
  | { readonly kind: 'exported'; readonly request: number; readonly files: readonly PageFile[] | null }
  | { readonly kind: 'opened'; readonly request: number; readonly opened: Opened }
  | { readonly kind: 'packed'; readonly request: number; readonly bytes: Uint8Array };
