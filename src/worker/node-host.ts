// What the planner needs of Node: the files of one job folder, SHA-256, and the CAD importer.
import { createHash } from 'node:crypto';
import { readFile, realpath, stat } from 'node:fs/promises';
import { isAbsolute, relative, resolve, sep } from 'node:path';
import { InputError } from '../model/input-error.ts';
import type { CadImporter } from '../model/raw-import.ts';
import type { Host } from '../planner/host.ts';
import { createNodeImporter } from './node-importer.ts';

/** Largest file that is read, bytes (1 GiB). */
const FILE_LIMIT = 2 ** 30;

/**
 * Host for a job in `jobFolder`. Files resolve inside that folder, with links followed; nothing outside it is read:
 * InputError `file-outside`, `file-missing`, `file-unreadable`, `file-too-large`.
 */
export function createNodeHost(jobFolder: string, importCad: CadImporter = createNodeImporter()): Host {
  return {
    importCad,
    async sha256(bytes) {
      return createHash('sha256').update(bytes).digest('hex');
    },
    async readFile(path) {
      const folder = await realpath(jobFolder).catch(() => {
        throw new InputError('file-missing', 'the folder of the job does not exist', jobFolder, 'check the path');
      });
      const wanted = resolve(folder, path);
      if (!isInside(folder, wanted)) throw outside(path);
      let size: number;
      let real: string;
      try {
        real = await realpath(wanted);
        const info = await stat(real);
        if (!isInside(folder, real)) throw outside(path);
        if (!info.isFile()) throw unreadable(path, 'it is not a regular file');
        size = info.size;
      } catch (error) {
        throw explain(error, path);
      }
      if (size > FILE_LIMIT) {
        const sentence = `the file has ${(size / 2 ** 20).toFixed(0)} MiB, more than ${FILE_LIMIT / 2 ** 20}`;
        throw new InputError('file-too-large', sentence, path, 'export only the parts of this joint');
      }
      try {
        return new Uint8Array(await readFile(real));
      } catch (error) {
        throw explain(error, path);
      }
    },
  };
}

function isInside(folder: string, file: string): boolean {
  const way = relative(folder, file);
  return way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way);
}

function outside(path: string): InputError {
  return new InputError(
    'file-outside',
    'the file lies outside the folder of the job',
    path,
    'copy it beside the job file; nothing outside that folder is read',
  );
}

function unreadable(path: string, why: string): InputError {
  return new InputError('file-unreadable', `the file cannot be read: ${why}`, path, 'check the path and the rights');
}

function explain(error: unknown, path: string): unknown {
  if (error instanceof InputError || !(error instanceof Error)) return error;
  const code = 'code' in error ? String(error.code) : error.message;
  if (code === 'ENOENT' || code === 'ENOTDIR') {
    return new InputError('file-missing', 'the file does not exist', path, 'paths count from the folder of the job');
  }
  return unreadable(path, code);
}
