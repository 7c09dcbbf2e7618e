// What the built page has beside its code: the content policy in its head, the sample, and the list of files that it keeps for working
// without a network.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import type { Plugin } from 'vite';
import { CONTENT_POLICY } from '../src/cli/content-policy.ts';

/** The policy as a meta tag, for places that send no headers. */
export const contentPolicy = (): Plugin => ({
  name: 'content-policy',
  apply: 'build',
  transformIndexHtml: () => [
    {
      tag: 'meta',
      attrs: { 'http-equiv': 'Content-Security-Policy', content: CONTENT_POLICY },
      injectTo: 'head-prepend',
    },
  ],
});

/** The job that the page opens where no other is there, with the files that it names; and that no job was named by a server. */
export const sampleJob = (folder: URL, name: string): Plugin => ({
  name: 'sample-job',
  apply: 'build',
  generateBundle() {
    const text = readFileSync(new URL(name, folder), 'utf8');
    const parts = (JSON.parse(text) as { parts: { file: string }[] }).parts;
    const files = [...new Set(parts.map((part) => part.file))];
    const emit = (fileName: string, source: string | Uint8Array) => this.emitFile({ type: 'asset', fileName, source });
    emit('sample/index.json', `${JSON.stringify({ job: name, files })}\n`);
    emit(`sample/${name}`, text);
    for (const file of files) emit(`sample/${file}`, readFileSync(new URL(file, folder)));
    emit('job/index.json', `${JSON.stringify({ job: null, files: [] })}\n`);
  },
});

const PLACEHOLDER = '__FILES_TO_KEEP__';

/** Writes the names of all files of the page, and a name made of their contents, into the worker that keeps them. */
export const filesToKeep = (worker: string, publicFiles: readonly string[]): Plugin => ({
  name: 'files-to-keep',
  apply: 'build',
  enforce: 'post',
  generateBundle(_options, bundle) {
    const hash = createHash('sha256');
    const names: string[] = [];
    for (const [name, item] of Object.entries(bundle)) {
      if (name === worker) continue;
      names.push(name);
      hash.update(name).update(item.type === 'chunk' ? item.code : item.source);
    }
    const chunk = bundle[worker];
    if (chunk?.type !== 'chunk' || !chunk.code.includes(PLACEHOLDER)) {
      throw new Error(`${worker} has no place for the list of files`);
    }
    const list = ['./', ...names.filter((name) => name !== 'index.html'), ...publicFiles].sort();
    const kept = JSON.stringify({ version: hash.digest('hex').slice(0, 16), files: list });
    chunk.code = chunk.code.replace(PLACEHOLDER, kept.replaceAll('\\', '\\\\').replaceAll("'", "\\'"));
  },
});
