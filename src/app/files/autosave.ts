// Keeps the job and its files in the browser's own store, so that neither a closed tab nor a crash loses them.
import { delMany, getMany, setMany } from 'idb-keyval';
import type { PageStore } from '../store/create-page-store.ts';
import type { JobDraft } from '../store/state.ts';

/** Changes closer together than this are kept together, ms. */
const DELAY = 400;

const JOB = 'job';
const FILES = 'files';

interface KeptJob {
  readonly jobName: string;
  readonly job: JobDraft;
  readonly guessed: readonly string[];
}

/** Keeps what changes from now on; files are written only when they change. Where the store refuses, it says so once. */
export function startAutosave(store: PageStore): void {
  let due: ReturnType<typeof setTimeout> | undefined;
  let keptFiles: ReadonlyMap<string, Uint8Array> | null = null;
  let refused = false;

  const save = (): void => {
    clearTimeout(due);
    due = undefined;
    const { jobName, job, guessed, files, untouchedSample } = store.getState();
    const kept: KeptJob = { jobName, job, guessed };
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
    if (due !== undefined) save();
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
    store.getState().openJob(kept.jobName, kept.job, files);
    store.setState({ guessed: kept.guessed });
    return true;
  } catch {
    return false;
  }
}
