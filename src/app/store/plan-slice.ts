// What the worker made of the job: requests go out when job or files change, answers come in as messages.
import type { FromWorker } from '../../worker/page/protocol.ts';
import type { Engine, EngineNews } from '../engine/engine.ts';
import { type JobTools, settleParts } from './job-slice.ts';
import { draftParts } from './questions.ts';
import { followFinding } from './follow-finding.ts';
import type { ExportSlice, PlanSlice } from './state.ts';

export interface PlanTools extends Omit<JobTools, 'now'> {
  readonly engine: () => Engine;
}

export interface Planning {
  readonly slice: PlanSlice & ExportSlice;
  /** Plans the job as it now is. */
  request(): void;
  /** Takes what the engine has to say. */
  hear(news: EngineNews): void;
}

export function createPlanning({ set, get, history, engine }: PlanTools): Planning {
  /** Number of the newest request, and of the run that gave the plan on the screen. */
  let newest = 0;
  let shown = 0;
  let lastFiles: ReadonlyMap<string, Uint8Array> | null = null;

  function request(): void {
    const { job, jobName, files, plan, scene } = get();
    newest += 1;
    // Another job was opened: what is still under way is not of it.
    if (plan === null && scene === null && files !== lastFiles) shown = newest;
    lastFiles = files;
    if (draftParts(job).length === 0) {
      if (newest > 1) engine().cancel();
      shown = newest;
      set({
        run: 'idle',
        cancelled: false,
        what: '',
        fraction: 0,
        scene: null,
        plan: null,
        stale: false,
        heatPending: false,
        error: null,
      });
      return;
    }
    set({
      cancelled: false,
      run: 'running',
      what: 'reading the job',
      fraction: 0,
      stale: plan !== null,
      // The heat that was still to come was of the job before.
      heatPending: false,
      outputs: null,
      error: null,
    });
    engine().plan({ run: newest, jobText: JSON.stringify(job), place: jobName, files, hasScene: scene !== null });
  }

  function takeMessage(message: FromWorker): void {
    if (message.kind === 'exported') {
      if (message.request !== newest) return;
      // A worker that took the place of a lost one has no plan: it makes it anew, and the files follow.
      if (message.files === null && get().exportOpen) request();
      else set({ outputs: message.files });
      return;
    }
    if (!('run' in message) || message.run < shown) return;
    const current = message.run === newest;
    if (message.kind === 'progress') {
      if (current) set({ what: message.what, fraction: message.fraction });
    } else if (message.kind === 'scene') {
      set({ scene: message.scene });
      if (current) settleParts(message.scene, { set, get, history });
    } else if (message.kind === 'plan') {
      shown = message.run;
      const { seam, row, finding, plan: before } = get();
      const inSeam = message.view.seams[seam] ?? message.view.seams[0];
      set({
        plan: message.view,
        stale: !current,
        heatPending: !message.view.complete,
        seam: message.view.seams[seam] === undefined ? 0 : seam,
        row: Math.max(0, Math.min(row, (inSeam?.count ?? 1) - 1)),
        finding: followFinding(before?.findings ?? [], finding, message.view.findings),
      });
    } else if (current) {
      const { exportOpen } = get();
      if (message.how === 'refused') set({ run: 'failed', error: message.error, heatPending: false });
      else set({ run: 'idle', heatPending: false, cancelled: message.how === 'cancelled' });
      if (message.how === 'imported') set({ plan: null, stale: false });
      if (message.how === 'planned' && exportOpen) engine().exportFiles(newest);
    }
  }

  return {
    request,
    hear(news) {
      if (news.kind === 'message') takeMessage(news.message);
      else if (news.kind === 'replaced') set({ notice: news.notice });
      else set({ run: 'failed', heatPending: false, error: news.error });
    },
    slice: {
      run: 'idle',
      what: '',
      fraction: 0,
      scene: null,
      plan: null,
      stale: false,
      heatPending: false,
      error: null,
      cancelled: false,
      notice: null,
      pinned: null,
      openError: null,
      cancel() {
        engine().cancel();
      },
      planAgain: request,
      pin() {
        set({ pinned: get().plan });
      },
      unpin() {
        set({ pinned: null });
      },
      dismiss() {
        set({ notice: null, openError: null });
      },
      exportOpen: false,
      outputs: null,
      cautionSeen: false,
      openExport() {
        set({ exportOpen: true });
        const { plan, stale, outputs } = get();
        if (plan?.complete === true && !stale && outputs === null) engine().exportFiles(newest);
      },
      closeExport() {
        set({ exportOpen: false });
      },
      seenCaution() {
        set({ cautionSeen: true });
      },
    },
  };
}
