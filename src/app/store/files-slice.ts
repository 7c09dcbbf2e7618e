// Files in and out: what a person drops or chooses is looked at in the worker before anything changes; what leaves is packed there.
import type { PageFile } from '../../worker/page/protocol.ts';
import type { Engine } from '../engine/engine.ts';
import { fileTitle, handOver } from '../files/hand-over.ts';
import { jobText, usedFiles } from '../files/job-text.ts';
import type { JobTools } from './job-slice.ts';
import type { FilesSlice, JobDraft } from './state.ts';

export interface FilesTools extends Pick<JobTools, 'set' | 'get'> {
  readonly engine: () => Engine;
}

export function createFilesSlice({ set, get, engine }: FilesTools): FilesSlice {
  /** A job that waits for the files it names: the next ones are looked at together with it. */
  let waiting: readonly PageFile[] = [];

  const title = (): string => fileTitle(String(get().job.title ?? ''));

  return {
    async openFiles(chosen) {
      if (chosen.length === 0) return;
      const before = get().run;
      const names = chosen.map((file) => file.name).join(', ');
      set({ run: 'running', what: `reading ${names}`, fraction: 0, openError: null });
      const files = await Promise.all(
        chosen.map(
          async (file): Promise<PageFile> => ({ name: file.name, bytes: new Uint8Array(await file.arrayBuffer()) }),
        ),
      ).catch(() => null);
      const settle = () => set({ run: before === 'running' ? get().run : before });
      if (files === null) {
        settle();
        const sentence = 'the browser cannot read what was chosen';
        set({ openError: { code: 'file-unreadable', sentence, place: names, hint: 'choose files, not folders' } });
        return;
      }
      const together = [...waiting.filter((old) => !files.some((file) => file.name === old.name)), ...files];
      const opened = await engine().open(together);
      waiting = [];
      settle();
      if (opened.how === 'job') {
        get().openJob(opened.name, JSON.parse(opened.jobText) as JobDraft, byName(opened.files));
      } else if (opened.how === 'parts') {
        get().addFiles(byName(opened.files));
      } else if (opened.how === 'refused') {
        if (opened.error.code === 'files-missing') waiting = together;
        set({ openError: opened.error });
      }
    },
    saveJob() {
      const { job, jobName, files } = get();
      const bytes = new TextEncoder().encode(jobText(job));
      const entries = [{ name: jobName, bytes }, ...usedFiles(job, files)];
      const name = `${title()}.raythread.zip`;
      void engine()
        .pack(entries)
        .then((packed) => {
          if (packed !== null) handOver(name, packed);
        });
    },
    download(name) {
      const { outputs } = get();
      if (outputs === null) return;
      const one = outputs.find((file) => file.name === name);
      if (one !== undefined) handOver(one.name, one.bytes);
      if (name !== null) return;
      const archive = `${title()}-outputs.zip`;
      void engine()
        .pack(outputs)
        .then((packed) => {
          if (packed !== null) handOver(archive, packed);
        });
    },
  };
}

const byName = (files: readonly PageFile[]): ReadonlyMap<string, Uint8Array> =>
  new Map(files.map(({ name, bytes }) => [name, bytes]));
