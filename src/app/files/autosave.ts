// Keeps the job and its files in the browser's own store, so that neither a closed tab nor a crash loses them. A page that goes has no
// time left for that store: what was changed last then goes, without the files, where it is written at once.
import { delMany, getMany, setMany } from 'idb-keyval';
import type { PageStore } from '../store/create-page-store.ts';
import type { JobDraft } from '../store/state.ts';
import { namedFiles } from './job-text.ts';

/** Changes closer together than this are kept together, ms. */
const DELAY = 400;

const JOB = 'job';
const FILES = 'files';
/** Where a page that goes leaves its job. */
const LAST = 'raythread.last-job';

interface KeptJob {
  readonly jobName: string;
  readonly job: JobDraft;
  readonly guessed: readonly string[];
}

/** Keeps what changes from now on; files are written only when they change. Where the store refuses, it says so once. `restored`: what the page shows is what was kept. */
export function startAutosave(store: PageStore, restored: boolean): void {
  let due: ReturnType<typeof setTimeout> | undefined;
  let keptFiles: ReadonlyMap<string, Uint8Array> | null = restored ? store.getState().files : null;
  let refused = false;

  const present = (): KeptJob => {
    const { jobName, job, guessed } = store.getState();
    return { jobName, job, guessed };
  };

  const save = (): void => {
    clearTimeout(due);
    due = undefined;
    const { files, untouchedSample } = store.getState();
    const kept = present();
    forgetLast();
    const entries: [string, unknown][] = [[JOB, kept]];
    if (files !== keptFiles) entries.push([FILES, files]);
    keptFiles = untouchedSample ? null : files;
    const work = untouchedSample ? delMany([JOB, FILES]) : setMany(entries);
    work.catch(() => {
      keptFiles = null;
      if (!refused)
        store.setState({ notice: 'This browser does not keep the job: save it as a file before you leave.' });
      refused = true;
    });
  };

  store.subscribe((state, before) => {
    if (state.job === before.job && state.files === before.files && state.jobName === before.jobName) return;
    due ??= setTimeout(save, DELAY);
  });
  addEventListener('pagehide', () => {
    if (due === undefined) return;
    const { files, untouchedSample } = store.getState();
    // Where the files themselves are not kept yet, a job without them would be of no use.
    const known = files === keptFiles;
    save();
    if (!untouchedSample && known) leaveLast(present());
  });
}

/** Opens what was kept; false where there is nothing, or nothing that can be read. */
export async function restoreJob(store: PageStore): Promise<boolean> {
  try {
    const [kept, files] = (await getMany([JOB, FILES])) as [
      KeptJob | undefined,
      ReadonlyMap<string, Uint8Array> | undefined,
    ];
    if (kept === undefined || files === undefined || !(files instanceof Map)) return false;
    const last = lastLeft();
    const { jobName, job, guessed } =
      last !== null && namedFiles(last.job).every((name) => files.has(name)) ? last : kept;
    store.getState().openJob(jobName, job, files);
    store.setState({ guessed });
    return true;
  } catch {
    return false;
  }
}

function leaveLast(kept: KeptJob): void {
  try {
    localStorage.setItem(LAST, JSON.stringify(kept));
  } catch {
    // Then what was kept before is what there is.
  }
}

function forgetLast(): void {
  try {
    localStorage.removeItem(LAST);
  } catch {
    // Nothing can be there.
  }
}

function lastLeft(): KeptJob | null {
  try {
    return JSON.parse(localStorage.getItem(LAST) ?? 'null') as KeptJob | null;
  } catch {
    return null;
  }
}
