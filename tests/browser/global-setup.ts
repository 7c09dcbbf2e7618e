// Before the browser tests: unpacks the browser once (several at a time would write the same file), and builds the page once, into a
// folder of its own, as it is shipped.
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import type { TestProject } from 'vitest/node';
import { browserPath } from './browser.ts';

declare module 'vitest' {
  interface ProvidedContext {
    /** Folder of the built page. */
    readonly builtPage: string;
  }
}

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

export async function setup(project: TestProject): Promise<() => Promise<void>> {
  await browserPath();
  const folder = await mkdtemp(join(tmpdir(), 'raythread-page-'));
  await buildPage(folder);
  project.provide('builtPage', folder);
  return () => rm(folder, { recursive: true, force: true });
}

/** The page as `npm run build` makes it, in `folder`. */
async function buildPage(folder: string): Promise<void> {
  const mode = process.env.NODE_ENV;
  // Tests run in a mode of their own, in which libraries check more and are slower.
  process.env.NODE_ENV = 'production';
  const configFile = join(ROOT, 'vite.config.ts');
  await build({ configFile, mode: 'production', logLevel: 'error', build: { outDir: folder, emptyOutDir: true } });
  if (mode === undefined) delete process.env.NODE_ENV;
  else process.env.NODE_ENV = mode;
}
