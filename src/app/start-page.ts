// How the page begins: with the job that the server was started for, else with the one that was being worked on, else with the sample.
import { restoreJob, startAutosave } from './files/autosave.ts';
import { keepPage } from './offline/keep-page.ts';
import type { PageStore } from './store/create-page-store.ts';
import type { JobDraft } from './store/state.ts';

/** A folder of the server with a job and the files that it names. */
interface ServedJob {
  readonly job: string | null;
  readonly files: readonly string[];
}

export async function startPage(store: PageStore): Promise<void> {
  keepPage();
  let restored = false;
  try {
    if (!(await openServed(store, 'job/', false))) {
      restored = await restoreJob(store);
      if (!restored) await openServed(store, 'sample/', true);
    }
  } catch (error) {
    const sentence = error instanceof Error ? error.message : String(error);
    const hint = 'open a job or a part from this machine';
    store.setState({ openError: { code: 'start', sentence, place: 'the job to begin with', hint } });
  }
  // What the page begins with is nothing that one can undo.
  store.temporal.getState().clear();
  startAutosave(store, restored);
}

/** Opens the job of a folder; false where the folder has none. */
async function openServed(store: PageStore, folder: string, sample: boolean): Promise<boolean> {
  const get = async (name: string): Promise<Response> => {
    const path = name.split('/').map(encodeURIComponent).join('/');
    const response = await fetch(new URL(folder + path, document.baseURI));
    if (!response.ok) throw new Error(`${folder}${name} cannot be fetched: ${response.status}`);
    return response;
  };
  const { job, files }: ServedJob = await get('index.json').then((response) => response.json());
  if (job === null) return false;
  const draft: JobDraft = await get(job).then((response) => response.json());
  const bytes = await Promise.all(
    files.map(async (name) => [name, new Uint8Array(await (await get(name)).arrayBuffer())] as const),
  );
  store.getState().openJob(job, draft, new Map(bytes), sample);
  return true;
}
