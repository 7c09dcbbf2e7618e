// The job as the text of its file, and the files that it names.
import type { PageFile } from '../../worker/page/protocol.ts';
import { valueAt } from '../store/json-pointer.ts';
import { draftParts } from '../store/questions.ts';
import type { JobDraft } from '../store/state.ts';

/** As people write it: two spaces, a line feed at the end. */
export const jobText = (job: JobDraft): string => `${JSON.stringify(job, null, 2)}\n`;

/** Names of the files that a job reads: those of its parts, and the model of its arm. */
export function namedFiles(job: JobDraft): readonly string[] {
  const urdf = valueAt(job, '/arm/model/file');
  const names = draftParts(job).map((part) => part.file);
  return [...new Set([...names, urdf].filter((name) => typeof name === 'string'))];
}

/** The files at hand that the job names. */
export function usedFiles(job: JobDraft, files: ReadonlyMap<string, Uint8Array>): readonly PageFile[] {
  return namedFiles(job).flatMap((name) => {
    const bytes = files.get(name);
    return bytes === undefined ? [] : [{ name, bytes }];
  });
}
