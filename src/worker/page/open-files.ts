// What a person dropped or chose: a saved job in one archive, a job file with the files it names, or part files. Everything is read
// before anything changes, so that wrong files leave all as it was.
import { unzipSync } from 'fflate';
import { detectFormat } from '../../intake/detect-format.ts';
import { InputError } from '../../model/input-error.ts';
import type { Task } from '../../model/task.ts';
import type { CoarseImports } from './coarse-imports.ts';
import type { Opened, PageFile } from './protocol.ts';
import { readDraft } from './read-draft.ts';

/** Largest file that is unpacked, bytes (1 GiB). */
const FILE_LIMIT = 2 ** 30;

/**
 * Throws InputError for files that are no job and no parts, that cannot be read, or, `files-missing`, where a job names files that
 * are not among them. Part files are imported coarsely to see that they can be.
 */
export async function openFiles(chosen: readonly PageFile[], coarse: CoarseImports, task: Task): Promise<Opened> {
  const files = chosen.flatMap((file) => (isZip(file.bytes) ? unpack(file) : [file]));
  const jobs = files.filter(({ name }) => /\.json$/i.test(name));
  if (jobs.length > 1) {
    const names = jobs.map((job) => job.name).join(', ');
    throw new InputError('jobs-many', 'there is more than one job among the files', names, 'open one at a time');
  }
  const [job] = jobs;
  if (job === undefined) {
    const parts = files.map((file) => ({ ...file, name: baseName(file.name) }));
    for (const file of parts) await tryPart(file, 0, coarse, task);
    return { how: 'parts', files: parts };
  }
  return openJob(job, files, coarse, task);
}

async function openJob(job: PageFile, files: readonly PageFile[], coarse: CoarseImports, task: Task): Promise<Opened> {
  const name = baseName(job.name);
  const jobText = textOf(job);
  const { importable, files: named } = readDraft(jobText, name);
  // The files of a job lie beside it; what was dropped without folders is known by its own name.
  const folder = job.name.slice(0, job.name.length - name.length);
  const find = (wanted: string): PageFile | undefined =>
    files.find((file) => file.name === folder + wanted) ?? files.find((file) => file.name === baseName(wanted));
  const missing = named.filter((wanted) => find(wanted) === undefined);
  if (missing.length > 0) {
    const sentence = `the job needs ${missing.join(', ')}`;
    throw new InputError('files-missing', sentence, name, 'drop these files too, or all together with the job');
  }
  const extra = files.filter((file) => file !== job && file.name.startsWith(folder));
  const used = new Map(extra.map((file) => [file.name.slice(folder.length), file.bytes]));
  for (const wanted of named) used.set(wanted, (find(wanted) as PageFile).bytes);
  for (const { file, unitScale } of importable.parts) {
    await tryPart({ name: file, bytes: used.get(file) as Uint8Array }, unitScale, coarse, task);
  }
  return { how: 'job', name, jobText, files: Array.from(used, ([file, bytes]) => ({ name: file, bytes })) };
}

/** Throws where the file is no part; a mesh file without a unit is tried in millimetres. */
async function tryPart(file: PageFile, unitScale: number, coarse: CoarseImports, task: Task): Promise<void> {
  const format = detectFormat(file.name, file.bytes);
  if (format === 'stl' && !/\.stl$/i.test(file.name)) {
    throw new InputError('stl-name', 'the file holds a mesh in STL form', file.name, 'name it with the ending .stl');
  }
  await coarse.one(file.name, file.bytes, format === 'stl' && unitScale === 0 ? 1 : unitScale, task);
}

const isZip = (bytes: Uint8Array): boolean =>
  bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 0x03 && bytes[3] === 0x04;

function unpack({ name, bytes }: PageFile): PageFile[] {
  const refuse = (sentence: string) =>
    new InputError('zip-unreadable', `the archive cannot be opened: ${sentence}`, name, 'save it again');
  let entries: Record<string, Uint8Array>;
  try {
    entries = unzipSync(bytes, {
      filter: (entry) => {
        if (entry.originalSize > FILE_LIMIT) throw refuse(`${entry.name} is larger than 1 GiB`);
        return !entry.name.endsWith('/') && !entry.name.startsWith('__MACOSX/');
      },
    });
  } catch (error) {
    if (error instanceof InputError) throw error;
    throw refuse(error instanceof Error ? error.message : 'it is damaged');
  }
  const files = Object.entries(entries).map(([entry, content]) => ({ name: entry, bytes: content }));
  if (files.length === 0) throw refuse('it is empty');
  return files;
}

function textOf({ name, bytes }: PageFile): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new InputError('job-encoding', 'the job file is not UTF-8 text', name, 'save it as UTF-8');
  }
}

const baseName = (path: string): string => path.slice(path.lastIndexOf('/') + 1);
