// Times the built page in a browser, as medians of several runs, and says how busy the machine was:
// node --import tsx tests/browser/time-page.ts [--runs 5] [--page FOLDER]
import { loadavg } from 'node:os';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import type { Browser, Page } from 'playwright-core';
import { servePage } from '../../src/cli/page-server.ts';
import { launchBrowser } from './browser.ts';

const { values } = parseArgs({
  options: {
    runs: { type: 'string', default: '5' },
    page: { type: 'string', default: fileURLToPath(new URL('../../dist', import.meta.url)) },
  },
});
const runs = Number(values.runs);

const load = (): string => loadavg()[0].toFixed(1);
const median = (all: readonly number[]): number => all.toSorted((a, b) => a - b)[Math.floor(all.length / 2)];
const say = (what: string, all: readonly number[]): void => {
  const [low, high] = [Math.min(...all), Math.max(...all)].map((ms) => ms.toFixed(0));
  console.log(`${what.padEnd(58)} ${median(all).toFixed(0).padStart(6)} ms  (${low} to ${high}, ${all.length} runs)`);
};

/** First paint, whole workspace, and first plan of a page that the browser has never seen, ms after the start of navigation. */
async function coldPage(browser: Browser): Promise<readonly [paint: number, plan: number]> {
  const server = await servePage(values.page, 0, null);
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  try {
    const page = await context.newPage();
    await page.goto(server.address);
    await page.locator('.track').first().waitFor({ timeout: 120_000 });
    const plan = await page.evaluate(() => performance.now());
    const paint = await page.evaluate(
      () => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? Number.NaN,
    );
    return [paint, plan];
  } finally {
    await context.close();
    await server.close();
  }
}

/**
 * From the slider's event to the strip with the plan of the job on the screen, ms: when it stands in the page, and at the end of the
 * frame in which it is painted. Measured in the page, so that the test's own messages do not count.
 */
function sliderToStrip(page: Page, name: string, value: number): Promise<readonly [standing: number, painted: number]> {
  return page.getByRole('slider', { name: `${name}, slider` }).evaluate((slider, wanted) => {
    const input = slider as HTMLInputElement;
    const strip = document.querySelector('.strip-scroll');
    return new Promise<readonly [number, number]>((resolve) => {
      const start = performance.now();
      let wasStale = false;
      const watcher = new MutationObserver(() => {
        const stale = strip?.classList.contains('stale') === true;
        if (wasStale && !stale) {
          watcher.disconnect();
          const standing = performance.now() - start;
          requestAnimationFrame(() => requestAnimationFrame(() => resolve([standing, performance.now() - start])));
        }
        wasStale ||= stale;
      });
      watcher.observe(document.body, { subtree: true, childList: true, attributes: true, attributeFilter: ['class'] });
      // What React hears is the change of the value as the browser itself makes it.
      Object.getOwnPropertyDescriptor(HTMLInputElement.prototype, 'value')?.set?.call(input, String(wanted));
      input.dispatchEvent(new Event('input', { bubbles: true }));
    });
  }, value);
}

async function sliders(browser: Browser, light: boolean): Promise<void> {
  const server = await servePage(values.page, 0, null);
  const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
  try {
    const page = await context.newPage();
    page.setDefaultTimeout(120_000);
    await page.goto(server.address + (light ? '?light' : ''));
    await page.locator('.state-words.planned').waitFor();
    const closed = page.locator('.sheet-section:not([open]) > summary');
    while ((await closed.count()) > 0) await closed.first().click();
    const drawn = light ? 'plain' : 'fine';
    for (const [name, from, step, asked] of [
      ['Speed', 51, 1, 'asked 150'],
      ['Line energy', 0.355, 0.005, 'asked 150'],
      ['Standoff', 151, 1, 'asked 700'],
      ['Tilt', 0.5, 0.5, 'asked 700'],
    ] as const) {
      const times: (readonly [number, number])[] = [];
      for (let k = 0; k < runs; k++) {
        await page.locator('.state-words.planned').waitFor();
        times.push(await sliderToStrip(page, name, from + k * step));
      }
      say(
        `${name} slider to new strip (${asked})`,
        times.map(([standing]) => standing),
      );
      say(
        `  and to its painting, stage in software, ${drawn}`,
        times.map(([, painted]) => painted),
      );
    }
  } finally {
    await context.close();
    await server.close();
  }
}

const browser = await launchBrowser();
try {
  console.log(`load ${load()} at the start`);
  const cold: (readonly [number, number])[] = [];
  for (let k = 0; k < runs; k++) cold.push(await coldPage(browser));
  say(
    'cold page: first paint (asked 1500)',
    cold.map(([paint]) => paint),
  );
  say(
    'cold page: first plan in the strip',
    cold.map(([, plan]) => plan),
  );
  for (const light of [true, false]) await sliders(browser, light);
  console.log(`load ${load()} at the end`);
} finally {
  await browser.close();
}
