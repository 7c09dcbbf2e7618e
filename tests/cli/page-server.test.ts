import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { request as httpRequest, type IncomingHttpHeaders } from 'node:http';
import { connect } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openPage, readServedJob } from '../../src/cli/open-page.ts';
import { type PageServer, servePage } from '../../src/cli/page-server.ts';
import { runCommand } from '../../src/cli/run-command.ts';

const JOB = {
  format: 'raythread-job/1',
  parts: [{ file: 'parts/tub a.step', role: 'absorbing', material: 'pc-carbon-black' }],
  seams: [{ select: { edges: ['tub:0-1'] } }],
  process: { speed_mm_s: 50, line_energy_J_mm: 0.35 },
};

let folder = '';
let server: PageServer;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'raythread-page-'));
  mkdirSync(join(folder, 'dist/assets'), { recursive: true });
  mkdirSync(join(folder, 'job/parts'), { recursive: true });
  writeFileSync(join(folder, 'dist/index.html'), '<!doctype html>page');
  writeFileSync(join(folder, 'dist/assets/a-1.js'), 'code');
  writeFileSync(join(folder, 'dist/assets/b.wasm'), Uint8Array.of(0, 97, 115, 109));
  writeFileSync(join(folder, 'secret.txt'), 'secret');
  writeFileSync(join(folder, 'job/pod.job.json'), JSON.stringify(JOB));
  writeFileSync(join(folder, 'job/parts/tub a.step'), 'ISO-10303-21;');
  writeFileSync(join(folder, 'job/other.step'), 'not of the job');
  symlinkSync(join(folder, 'secret.txt'), join(folder, 'dist/link.txt'));
  server = await servePage(join(folder, 'dist'), 0, await readServedJob(join(folder, 'job/pod.job.json')));
});

afterAll(async () => {
  await server.close();
  rmSync(folder, { recursive: true, force: true });
});

interface Answer {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

/** A request whose path goes out as it stands: `fetch` would tidy it up. */
function ask(path: string, headers: Record<string, string> = {}, method = 'GET'): Promise<Answer> {
  const { hostname, port } = new URL(server.address);
  return new Promise((done, refuse) => {
    httpRequest({ hostname, port, path, method, headers }, (response) => {
      let body = '';
      response.on('data', (chunk) => {
        body += String(chunk);
      });
      response.on('end', () => done({ status: response.statusCode ?? 0, headers: response.headers, body }));
    })
      .on('error', refuse)
      .end();
  });
}

describe('the server of the page', () => {
  it.each([
    ['/', 'text/html; charset=utf-8', '<!doctype html>page'],
    ['/?light', 'text/html; charset=utf-8', '<!doctype html>page'],
    ['/assets/a-1.js', 'text/javascript; charset=utf-8', 'code'],
    ['/assets/b.wasm', 'application/wasm', '\0asm'],
    ['/job/index.json', 'application/json', '{"job":"pod.job.json","files":["parts/tub a.step"]}\n'],
    ['/job/pod.job.json', 'application/json', JSON.stringify(JOB)],
    ['/job/parts/tub%20a.step', 'application/octet-stream', 'ISO-10303-21;'],
  ])('hands out %s', async (path, type, body) => {
    const answer = await ask(path);
    expect([answer.status, answer.headers['content-type'], answer.body]).toEqual([200, type, body]);
  });

  it('lets the page do nothing but its work, whatever is asked for', async () => {
    for (const path of ['/', '/assets/a-1.js', '/job/index.json', '/nowhere']) {
      const { headers } = await ask(path);
      const policy = String(headers['content-security-policy']).split('; ');
      expect(policy).toContain("default-src 'none'");
      expect(policy).toContain("script-src 'self' 'wasm-unsafe-eval'");
      expect(policy).toContain("style-src 'self'");
      expect(policy).toContain("connect-src 'self'");
      expect(policy).toContain("frame-ancestors 'none'");
      expect(policy.join()).not.toMatch(/'unsafe-inline'|'unsafe-eval'|\*|https?:/);
      expect(headers).toMatchObject({
        'x-content-type-options': 'nosniff',
        'referrer-policy': 'no-referrer',
        'cross-origin-opener-policy': 'same-origin',
        'cross-origin-resource-policy': 'same-origin',
      });
      expect(headers['access-control-allow-origin']).toBeUndefined();
    }
  });

  it.each([
    '/../secret.txt',
    '/assets/../../secret.txt',
    '/%2e%2e/secret.txt',
    '/..%2fsecret.txt',
    '/assets/..%2f..%2fsecret.txt',
    '/..\\secret.txt',
    '/%2e%2e%5csecret.txt',
    '//secret.txt',
    '/link.txt',
    '/%00',
    '/%zz',
    '/assets',
    '/job/other.step',
    '/job/../secret.txt',
    '/job/parts/..%2f..%2fsecret.txt',
    '/job/',
  ])('has no such file as %s', async (path) => {
    const { status, body } = await ask(path);
    expect([status, body]).toEqual([404, 'there is no such file']);
  });

  it('answers only requests that were meant for it, and only reads', async () => {
    expect((await ask('/', { host: 'evil.example' })).status).toBe(421);
    expect((await ask('/', { host: `evil.example:${new URL(server.address).port}` })).status).toBe(421);
    expect((await ask('/', { host: `localhost:${new URL(server.address).port}` })).status).toBe(200);
    for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS']) {
      expect((await ask('/', {}, method)).status).toBe(405);
    }
    const head = await ask('/', {}, 'HEAD');
    expect([head.status, head.headers['content-length'], head.body]).toEqual([200, '19', '']);
  });

  it('listens on the loopback address alone', async () => {
    const { hostname, port } = new URL(server.address);
    expect(hostname).toBe('127.0.0.1');
    const others = Object.values(networkInterfaces())
      .flatMap((list) => list ?? [])
      .filter(({ family, internal }) => family === 'IPv4' && !internal);
    for (const { address } of others) {
      const reached = await new Promise<boolean>((done) => {
        const socket = connect(Number(port), address);
        socket.on('connect', () => {
          socket.destroy();
          done(true);
        });
        socket.on('error', () => done(false));
      });
      expect(reached).toBe(false);
    }
  });

  it('says when its port is taken, and when the page is not built', async () => {
    const port = Number(new URL(server.address).port);
    await expect(servePage(join(folder, 'dist'), port, null)).rejects.toMatchObject({ code: 'port-taken' });
    await expect(servePage(join(folder, 'nothing'), 0, null)).rejects.toMatchObject({ code: 'page-missing' });
  });
});

describe('the command open', () => {
  const terminal = (signal: AbortSignal) => {
    const said: string[] = [];
    return { said, out: (text: string) => void said.push(text), err: () => undefined, isTerminal: false, signal };
  };

  it('refuses a job that is none before it serves anything', async () => {
    const path = join(folder, 'bad.job.json');
    writeFileSync(path, '{"format": "raythread-job/1"}');
    const options = { job: path, port: 0, browser: false };
    await expect(openPage(options, terminal(new AbortController().signal))).rejects.toMatchObject({
      code: 'job-key-missing',
    });
  });

  it.each([
    ['plan x --out y --port 80'],
    ['check x --browser'],
    ['open --port 0'],
    ['open --port 65536'],
    ['open a b'],
    ['open --out x'],
  ])('is not meant by "%s"', async (words) => {
    const { said, ...rest } = terminal(new AbortController().signal);
    expect([await runCommand(words.split(' '), rest), said]).toEqual([2, []]);
  });
});
