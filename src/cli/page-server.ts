// Serves the built page, and the job that it is to open, on the loopback address: read-only, to this machine, with headers that let the
// page do nothing but its work.
import { readFile, realpath } from 'node:fs/promises';
import { createServer, type IncomingMessage, type OutgoingHttpHeaders, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, relative, sep } from 'node:path';
import { InputError } from '../model/input-error.ts';
import { CONTENT_POLICY } from './content-policy.ts';

/** A job that the page is to open: only the files listed are handed out. */
export interface ServedJob {
  /** Name of the job file, without folder. */
  readonly name: string;
  readonly text: string;
  /** Files that the job names, as it names them. */
  readonly files: readonly string[];
  /** Bytes of one of them; throws InputError where it cannot be read. */
  read(file: string): Promise<Uint8Array>;
}

export interface PageServer {
  /** `http://127.0.0.1:4173/` */
  readonly address: string;
  close(): Promise<void>;
}

/** The only address that is listened on. */
const LOOPBACK = '127.0.0.1';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
  '.wasm': 'application/wasm',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
};

const HEADERS: OutgoingHttpHeaders = {
  'content-security-policy': `${CONTENT_POLICY}; frame-ancestors 'none'`,
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-embedder-policy': 'require-corp',
  'cross-origin-resource-policy': 'same-origin',
  'permissions-policy': 'camera=(), geolocation=(), microphone=(), usb=(), serial=()',
};

/**
 * Listens on `port`, 0 for a free one, and serves `folder`, the built page. Throws InputError `port-taken` where another program has the
 * port, `page-missing` where the folder holds no page.
 */
export async function servePage(folder: string, port: number, job: ServedJob | null): Promise<PageServer> {
  const root = await realpath(folder).catch(() => '');
  const page = root === '' ? null : await readFile(join(root, 'index.html')).catch(() => null);
  if (page === null) throw new InputError('page-missing', 'the page is not built', folder, 'npm run build');
  const server = createServer((request, response) => {
    answer(request, response, root, job).catch(() => send(response, 500, 'text/plain', 'fault'));
  });
  await new Promise<void>((done, refuse) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      const sentence = `the port ${port} cannot be used: ${error.code}`;
      refuse(new InputError('port-taken', sentence, LOOPBACK, 'choose another with --port, or none'));
    });
    server.listen(port, LOOPBACK, done);
  });
  const { port: taken } = server.address() as AddressInfo;
  return {
    address: `http://${LOOPBACK}:${taken}/`,
    close: () =>
      new Promise((done) => {
        server.close(() => done());
        server.closeAllConnections();
      }),
  };
}

async function answer(
  request: IncomingMessage,
  response: ServerResponse,
  root: string,
  job: ServedJob | null,
): Promise<void> {
  if (!isOurs(request)) return send(response, 421, 'text/plain', 'not the address of this page');
  if (request.method !== 'GET' && request.method !== 'HEAD') {
    response.setHeader('allow', 'GET, HEAD');
    return send(response, 405, 'text/plain', 'only reading is possible');
  }
  const path = pathOf(request.url ?? '/');
  const found = path === null ? null : ((await jobFile(path, job)) ?? (await pageFile(path, root)));
  if (path === null || found === null) return send(response, 404, 'text/plain', 'there is no such file');
  response.setHeader('cache-control', path.startsWith('assets/') ? 'max-age=31536000, immutable' : 'no-cache');
  send(
    response,
    200,
    TYPES[extname(path === '' ? 'index.html' : path)] ?? 'application/octet-stream',
    found,
    request.method,
  );
}

/** A page elsewhere that got itself a name for this address (DNS rebinding) has that name in its requests. */
function isOurs({ headers, socket }: IncomingMessage): boolean {
  const port = socket.localPort;
  return headers.host === `${LOOPBACK}:${port}` || headers.host === `localhost:${port}`;
}

/** The path below the root, decoded, without the first slash; null where it is none that a page would ask for. */
function pathOf(address: string): string | null {
  try {
    const path = decodeURIComponent(address.split(/[?#]/)[0] ?? '').slice(1);
    const steps = path.split('/');
    const odd = path.includes('\0') || path.includes('\\') || steps.some((step) => step === '..' || step === '.');
    return odd ? null : path;
  } catch {
    return null;
  }
}

/** A file of the job; null where the path is none, or none that the job names. */
async function jobFile(path: string, job: ServedJob | null): Promise<Uint8Array | string | null> {
  if (job === null || !path.startsWith('job/')) return null;
  const name = path.slice('job/'.length);
  if (name === 'index.json') return `${JSON.stringify({ job: job.name, files: job.files })}\n`;
  if (name === job.name) return job.text;
  return job.files.includes(name) ? job.read(name).catch(() => null) : null;
}

/** A file of the page; null where there is none inside `root`, with links followed. */
async function pageFile(path: string, root: string): Promise<Uint8Array | null> {
  try {
    const file = await realpath(join(root, path === '' ? 'index.html' : path));
    const inside = relative(root, file);
    if (inside === '' || inside === '..' || inside.startsWith(`..${sep}`)) return null;
    return await readFile(file);
  } catch {
    return null;
  }
}

function send(response: ServerResponse, status: number, type: string, body: Uint8Array | string, method = 'GET'): void {
  const length = typeof body === 'string' ? Buffer.byteLength(body) : body.length;
  response.writeHead(status, { ...HEADERS, 'content-type': type, 'content-length': length });
  response.end(method === 'HEAD' ? undefined : body);
}
