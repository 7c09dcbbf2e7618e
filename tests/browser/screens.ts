// Pictures of the page's main states, light and dark, wide and narrow, for a person to look at:
// node --import tsx tests/browser/screens.ts [--only WORDS] [--page FOLDER] -> tests/out/screens/; with --readme the two that the README shows.
import { mkdir } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import type { Page } from 'playwright-core';
import { readServedJob } from '../../src/cli/open-page.ts';
import { servePage } from '../../src/cli/page-server.ts';
import { launchBrowser } from './browser.ts';

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

const { values } = parseArgs({
  options: {
    only: { type: 'string', default: '' },
    readme: { type: 'boolean', default: false },
    /** Folder of the built page. */
    page: { type: 'string', default: at('../../dist') },
  },
});

/** Time for a frame to be drawn in software, ms. */
const SETTLE = 900;
const sample = (name: string): string => at(`../../sample-parts/${name}`);

interface Screen {
  readonly name: string;
  readonly job?: string;
  act(page: Page): Promise<void>;
}

const planned = (page: Page) => page.locator('.state-words.planned').waitFor();
const press = (page: Page, key: string) => page.locator('body').press(key);

async function command(page: Page, words: string): Promise<void> {
  await press(page, 'Control+k');
  await page.getByRole('combobox', { name: 'Find a command' }).fill(words);
  await page.keyboard.press('Enter');
}

async function choose(page: Page, file: string | { name: string; mimeType: string; buffer: Buffer }): Promise<void> {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), press(page, 'Control+o')]);
  await chooser.setFiles(file);
}

const SCREENS: readonly Screen[] = [
  {
    name: 'planned',
    async act(page) {
      await planned(page);
      await press(page, 'g');
    },
  },
  {
    name: 'window',
    async act(page) {
      await planned(page);
      await press(page, 'w');
    },
  },
  {
    name: 'blocked',
    job: 'wave-pod-far',
    async act(page) {
      await planned(page);
      await press(page, 'g');
      await page.locator('.finding').first().click();
    },
  },
  {
    name: 'arm',
    job: 'wave-pod-arm',
    async act(page) {
      await planned(page);
      await press(page, 'g');
      await press(page, 'f');
    },
  },
  {
    name: 'shadow',
    job: 'wave-pod-shadow',
    async act(page) {
      await planned(page);
      await press(page, 'n');
    },
  },
  {
    name: 'cut',
    async act(page) {
      await planned(page);
      await command(page, 'cut open across x');
      await press(page, '3');
    },
  },
  {
    name: 'picking',
    job: 'stadium',
    async act(page) {
      await planned(page);
      await press(page, 'e');
      await press(page, 'l');
      await page.locator('.edge').first().hover();
    },
  },
  {
    name: 'compared',
    job: 'disc',
    async act(page) {
      await planned(page);
      await press(page, 'k');
      await page.getByRole('textbox', { name: 'Speed', exact: true }).fill('80');
      await page.keyboard.press('Enter');
      await planned(page);
      await page.getByRole('button', { name: 'Differences' }).click();
    },
  },
  {
    name: 'export',
    async act(page) {
      await planned(page);
      await press(page, 'x');
      await page.getByRole('button', { name: 'Download plan.json' }).waitFor();
    },
  },
  {
    name: 'palette',
    async act(page) {
      await planned(page);
      await press(page, 'Control+k');
    },
  },
  {
    name: 'no-seam',
    async act(page) {
      await choose(page, sample('disc.step'));
      await page.locator('.state-words.no-seam').waitFor();
    },
  },
  {
    name: 'question',
    async act(page) {
      await choose(page, sample('wave-pod-clamp.stl'));
      await page.locator('.questions').first().waitFor();
    },
  },
  {
    name: 'refused',
    async act(page) {
      await planned(page);
      await choose(page, { name: 'part.step', mimeType: '', buffer: Buffer.from('rubbish') });
      await page.getByRole('alert').waitFor();
    },
  },
  {
    name: 'empty',
    async act(page) {
      await command(page, 'begin an empty');
      await page.locator('.state-words.empty').waitFor();
    },
  },
  { name: 'busy', job: 'tide-pod', act: (page) => page.locator('.busy-stage').waitFor() },
];

const SIZES = [
  { width: 1440, height: 900 },
  { width: 1024, height: 768 },
] as const;

const SCHEMES = ['light', 'dark'] as const;

const folder = at('../../tests/out/screens');
await mkdir(folder, { recursive: true });
const browser = await launchBrowser();
try {
  const screens = values.readme ? SCREENS.slice(0, 1) : SCREENS.filter(({ name }) => name.includes(values.only));
  for (const screen of screens)
    await shoot(screen).catch((error: Error) => console.log(`${screen.name}: ${error.message}`));
} finally {
  await browser.close();
}

/** One visit: the page changes its theme and its size as it would under a person's hands. */
async function shoot({ name, job, act }: Screen): Promise<void> {
  const served = job === undefined ? null : await readServedJob(sample(`${job}.job.json`));
  const server = await servePage(values.page, 0, served);
  // The README's pictures are small files: fewer pixels for the same page.
  const deviceScaleFactor = values.readme ? 0.75 : 1;
  const context = await browser.newContext({ viewport: SIZES[0], deviceScaleFactor, reducedMotion: 'reduce' });
  try {
    const page = await context.newPage();
    page.setDefaultTimeout(120_000);
    await page.goto(server.address);
    await act(page);
    for (const viewport of values.readme ? SIZES.slice(0, 1) : SIZES) {
      await page.setViewportSize(viewport);
      for (const colorScheme of SCHEMES) {
        await page.emulateMedia({ colorScheme });
        await page.waitForTimeout(SETTLE);
        const path = values.readme
          ? at(`../../public/page-${colorScheme}.png`)
          : `${folder}/${name}-${viewport.width}-${colorScheme}.png`;
        await page.screenshot({ path });
        console.log(path);
      }
    }
  } finally {
    await context.close();
    await server.close();
  }
}
