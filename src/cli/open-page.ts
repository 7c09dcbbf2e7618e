// `open`: serves the built page until it is ended, with a job where one is named.
import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { InputError } from '../model/input-error.ts';
import { parseJobFile, urdfOf } from '../model/parse-job.ts';
import { createNodeHost } from '../worker/node-host.ts';
import { readInputText } from './open-job.ts';
import { type PageServer, type ServedJob, servePage } from './page-server.ts';
import { EXIT, type Terminal } from './terminal.ts';

export interface OpenOptions {
  /** Empty where the page is to go on with what it had. */
  readonly job: string;
  /** 0 for the usual one, or a free one where that is taken. */
  readonly port: number;
  readonly browser: boolean;
}

/** The usual port: a browser keeps what it keeps by address, so the address should stay the same. */
const USUAL_PORT = 47_110;

/** The page lies beside the built command's folder, and in a checkout at its top. */
const FOLDERS = ['../dist', '../../dist'];

export async function openPage({ job, port, browser }: OpenOptions, terminal: Terminal): Promise<number> {
  const served = job === '' ? null : await readServedJob(job);
  const server = await listen(port, served);
  terminal.out(`${server.address}\n`);
  if (browser) showInBrowser(server.address);
  await new Promise<void>((done) => {
    if (terminal.signal.aborted) done();
    else terminal.signal.addEventListener('abort', () => done(), { once: true });
  });
  await server.close();
  return EXIT.done;
}

async function listen(port: number, job: ServedJob | null): Promise<PageServer> {
  const folder = pageFolder();
  if (port !== 0) return servePage(folder, port, job);
  try {
    return await servePage(folder, USUAL_PORT, job);
  } catch (error) {
    if (error instanceof InputError && error.code === 'port-taken') return servePage(folder, 0, job);
    throw error;
  }
}

function pageFolder(): string {
  const folders = FOLDERS.map((folder) => fileURLToPath(new URL(folder, import.meta.url)));
  return folders.find((folder) => existsSync(folder)) ?? (folders[0] as string);
}

/** The job, checked as a whole, with the files that it names; they are read when they are asked for. */
export async function readServedJob(path: string): Promise<ServedJob> {
  const name = basename(path);
  const text = await readInputText(path, 'job');
  const jobFile = parseJobFile(text, name);
  const urdf = urdfOf(jobFile);
  const named = [...jobFile.parts.map((part) => part.file), ...(urdf === null ? [] : [urdf.file])];
  const host = createNodeHost(dirname(path));
  return { name, text, files: [...new Set(named)], read: (file) => host.readFile(file) };
}

/** Asks the system for the browser of the person; where there is none, the address stands on the terminal. */
function showInBrowser(address: string): void {
  const [command, ...words] =
    process.platform === 'darwin'
      ? ['open', address]
      : process.platform === 'win32'
        ? ['cmd', '/c', 'start', '', address]
        : ['xdg-open', address];
  const child = spawn(command as string, words, { stdio: 'ignore', detached: true });
  child.on('error', () => undefined);
  child.unref();
}
