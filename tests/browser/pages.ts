// Pages to test: each in a browser profile of its own, from a server of its own, the product's. Whatever happens in a test, a page
// must not complain on its console, break its content policy, or ask any other place for anything.
import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import { unzipSync } from 'fflate';
import type { Browser, BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, inject } from 'vitest';
import { readServedJob } from '../../src/cli/open-page.ts';
import { type PageServer, servePage } from '../../src/cli/page-server.ts';
import { launchBrowser } from './browser.ts';

/** Longest wait for anything, ms: tests share their machine. */
const PATIENCE = 90_000;

export interface PageSettings extends BrowserContextOptions {
  /** Name of a sample job that the server is started for; without one the page begins as it does for everybody. */
  readonly job?: string;
  /** Begins with the work of another page: the same profile and server. */
  readonly like?: OpenedPage;
  /** Draws with antialiasing and shadows, as for people. */
  readonly fine?: boolean;
  /** Complaints that belong to the test. */
  readonly expected?: readonly RegExp[];
}

export interface OpenedPage {
  readonly page: Page;
  readonly context: BrowserContext;
  readonly server: PageServer;
}

/** What the software renderer says about itself. */
const OF_THE_DRIVER = /GL Driver Message|GPU stall due to ReadPixels/;

/** A browser for the tests of one file; the function opens pages in it. */
export function testPages(): (settings?: PageSettings) => Promise<OpenedPage> {
  let browser: Browser;
  let complaints: string[] = [];
  let opened: OpenedPage[] = [];
  beforeAll(async () => {
    browser = await launchBrowser();
  });
  afterEach(async () => {
    for (const { context, server } of opened) {
      await context.close();
      await server.close();
    }
    opened = [];
    const heard = complaints;
    complaints = [];
    expect(heard, 'what the page complained of').toEqual([]);
  });
  afterAll(() => browser?.close());

  return async ({ job, like, fine = false, expected = [], ...options } = {}) => {
    const served = job === undefined ? null : await readServedJob(sample(`${job}.job.json`));
    const server = like?.server ?? (await servePage(inject('builtPage'), 0, served));
    const context = like?.context ?? (await browser.newContext({ ...STANDARD, ...options }));
    const page = await context.newPage();
    page.setDefaultTimeout(PATIENCE);
    const complain = (what: string): void => {
      if (![...expected, OF_THE_DRIVER].some((pattern) => pattern.test(what))) complaints.push(what);
    };
    await watch(page, server.address, complain);
    await page.goto(server.address + (fine ? '' : '?light'));
    // Keys are heard once the page has been painted.
    await page.locator('main').waitFor();
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done))));
    const made = { page, context, server };
    if (like === undefined) opened.push(made);
    return made;
  };
}

const STANDARD: BrowserContextOptions = {
  viewport: { width: 1280, height: 800 },
  reducedMotion: 'reduce',
  colorScheme: 'light',
};

async function watch(page: Page, address: string, complain: (what: string) => void): Promise<void> {
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complain(`${message.type()}: ${message.text()}`);
  });
  page.on('pageerror', (error) => complain(`uncaught: ${error.message}`));
  page.on('crash', () => complain('the page crashed'));
  page.context().on('request', (request) => {
    const url = request.url();
    if (!url.startsWith(address) && !/^(blob|data):/.test(url)) complain(`asked for ${url}`);
  });
  await page.exposeFunction('complainOfPolicy', complain);
  await page.addInitScript(() => {
    const { complainOfPolicy } = window as unknown as { complainOfPolicy(what: string): void };
    addEventListener('securitypolicyviolation', (event) => {
      complainOfPolicy(`policy: ${event.violatedDirective} ${event.blockedURI} ${event.sourceFile}`);
    });
  });
}

/** Path of a sample. */
export const sample = (name: string): string => fileURLToPath(new URL(`../../sample-parts/${name}`, import.meta.url));

/** Something to drop: a path, or a name with content. */
export type Dropped = string | readonly [name: string, content: Uint8Array | string];

/** Drops files on the middle of the page, as a hand does: it comes in, hovers, lets go. */
export async function drop(page: Page, ...things: readonly Dropped[]): Promise<void> {
  const files = await Promise.all(
    things.map(async (thing) => {
      const [name, content] = typeof thing === 'string' ? [basename(thing), await readFile(thing)] : thing;
      return { name, base64: Buffer.from(content as Uint8Array).toString('base64') };
    }),
  );
  const dataTransfer = await page.evaluateHandle((all) => {
    const transfer = new DataTransfer();
    for (const { name, base64 } of all) {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      transfer.items.add(new File([bytes], name));
    }
    return transfer;
  }, files);
  for (const kind of ['dragenter', 'dragover', 'drop']) await page.dispatchEvent('main', kind, { dataTransfer });
}

/** Drops the files of a job and waits until it has taken the place of the one before, which has another title. */
export async function dropJob(page: Page, ...things: readonly Dropped[]): Promise<void> {
  const title = page.getByRole('textbox', { name: 'Title of the job' });
  const before = await title.inputValue();
  await drop(page, ...things);
  await expect.poll(() => title.inputValue(), { timeout: PATIENCE }).not.toBe(before);
}

/** Waits until the plan on the screen is complete and of the job on the screen. */
export async function planned(page: Page): Promise<void> {
  await until(page, 'planned');
}

/** Waits until the plan on the screen is of the job on the screen; its heat may still come. */
export async function shown(page: Page): Promise<void> {
  await page.locator('.state-words.planned, .state-words.heat').waitFor();
}

/** Waits for a state of the plan by the class of its words, among them `no-seam`, `failed`, `empty`, `stale`, `asking`. */
export async function until(page: Page, state: string): Promise<void> {
  await page.locator(`.state-words.${state}`).waitFor();
}

/** What a press hands over as a download. */
export async function downloaded(page: Page, press: () => Promise<unknown>): Promise<{ name: string; bytes: Buffer }> {
  const [download] = await Promise.all([page.waitForEvent('download'), press()]);
  return { name: download.suggestedFilename(), bytes: await readFile(await download.path()) };
}

/** The titles of the findings listed, with their severities: `blocks Spot off the joint`. */
export async function findings(page: Page): Promise<readonly string[]> {
  return page
    .locator('.finding')
    .evaluateAll((all) =>
      all.map(
        (one) => `${one.querySelector('.finding-word')?.textContent} ${one.querySelector('strong')?.textContent}`,
      ),
    );
}

export interface SavedJob {
  /** The archive that the page hands over. */
  readonly bytes: Buffer;
  readonly names: readonly string[];
  readonly job: Readonly<Record<string, unknown>>;
}

/** The job as the page saves it: all that it knows, with the files. Equal bytes are an equal job. */
export async function savedJob(page: Page): Promise<SavedJob> {
  const { bytes } = await downloaded(page, () => page.getByRole('button', { name: 'Save', exact: true }).click());
  const entries = unzipSync(bytes);
  const names = Object.keys(entries);
  const job = names.find((name) => name.endsWith('.job.json'));
  if (job === undefined) throw new Error('the saved job has no job in it');
  return { bytes, names, job: JSON.parse(Buffer.from(entries[job]).toString('utf8')) };
}
