// The whole story without a pointer.
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { downloaded, findings, planned, sample, savedJob, shown, testPages, until } from './pages.ts';

const open = testPages();

/** Most stops of the Tab key on the page: more would be a trap. */
const MOST_STOPS = 300;

interface Stop {
  readonly name: string;
  readonly seen: boolean;
}

/** The element with the focus: its name, and whether one sees that it has it. */
const focused = (page: Page): Promise<Stop> =>
  page.evaluate(() => {
    const element = document.activeElement ?? document.body;
    const label = 'labels' in element ? (element as HTMLInputElement).labels?.[0] : undefined;
    const words = element.getAttribute('aria-label') ?? label?.textContent ?? element.textContent ?? '';
    const drawn = (one: Element | null): boolean => {
      if (one === null) return false;
      const { outlineStyle, outlineWidth, boxShadow } = getComputedStyle(one);
      return (outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 1) || boxShadow !== 'none';
    };
    const box = element.getBoundingClientRect();
    const size = box.width > 0 && box.height > 0;
    return { name: words.replace(/\s+/g, ' ').trim(), seen: size && (drawn(element) || drawn(element.parentElement)) };
  });

/** Presses Tab until the element of that name has the focus. */
async function tabTo(page: Page, name: string | RegExp): Promise<void> {
  for (let k = 0; k < MOST_STOPS; k++) {
    await page.keyboard.press('Tab');
    const stop = await focused(page);
    if (typeof name === 'string' ? stop.name === name : name.test(stop.name)) return;
  }
  throw new Error(`Tab does not come to ${name}`);
}

async function command(page: Page, words: string): Promise<void> {
  await page.keyboard.press('Control+k');
  await page.getByRole('dialog', { name: 'Commands' }).waitFor();
  await page.keyboard.type(words);
  await page.keyboard.press('Enter');
}

it('from opening a file to the exported files by keys alone', async () => {
  const { page } = await open();
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.keyboard.press('Control+o')]);
  await chooser.setFiles(sample('disc.step'));
  await until(page, 'no-seam');

  // The rim, from the list.
  await page.keyboard.press('l');
  await tabTo(page, 'Find');
  await page.keyboard.type('disc:0-1');
  await tabTo(page, /^0-1 closed/);
  await page.keyboard.press('Enter');
  await shown(page);
  const blocks = async (): Promise<number> => (await findings(page)).filter((one) => one.startsWith('blocks')).length;
  await command(page, 'show the findings');
  expect(await blocks()).toBeGreaterThan(0);

  // To the first finding and on, then along the seam.
  await page.keyboard.press('n');
  await page.locator('.finding[aria-pressed=true]').waitFor();
  await tabTo(page, /^Place along seam/);
  const place = page.getByRole('slider', { name: /^Place along seam/ });
  const from = Number(await place.getAttribute('aria-valuenow'));
  await page.keyboard.press('ArrowRight');
  expect(Number(await place.getAttribute('aria-valuenow'))).toBe(from + 1);

  // The offset, by its slider.
  await tabTo(page, 'Offset, slider');
  for (let k = 0; k < 4; k++) await page.keyboard.press('PageUp');
  await planned(page);
  expect(await blocks()).toBe(0);

  // Undo and redo, then the files.
  await page.keyboard.press('Control+z');
  await page.keyboard.press('Control+Shift+z');
  await planned(page);
  await page.keyboard.press('x');
  await tabTo(page, 'I have read this');
  await page.keyboard.press('Enter');
  await tabTo(page, 'Download waypoints.csv');
  expect((await downloaded(page, () => page.keyboard.press('Enter'))).name).toBe('waypoints.csv');
  await page.keyboard.press('Escape');
  await page.getByRole('dialog').waitFor({ state: 'detached' });
  const saved = await savedJob(page);
  expect(saved.names).toEqual(['disc.job.json', 'disc.step']);
});

it('Tab goes round the page, and shows where it is', async () => {
  const { page } = await open({ job: 'disc' });
  await planned(page);
  const stops: Stop[] = [];
  for (let k = 0; k < MOST_STOPS; k++) {
    await page.keyboard.press('Tab');
    const at = await page.evaluate(() => document.activeElement === document.body);
    if (at) break;
    stops.push(await focused(page));
  }
  expect(stops.length, 'it comes to an end').toBeLessThan(MOST_STOPS);
  expect(stops.length).toBeGreaterThan(30);
  expect(
    stops.filter(({ name }) => name === ''),
    'every stop has a name',
  ).toEqual([]);
  expect(
    stops.filter(({ seen }) => !seen),
    'every stop can be seen',
  ).toEqual([]);
});

it('dialogs give the focus back to where it was', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  await tabTo(page, 'Export');
  await page.keyboard.press('Enter');
  await page.getByRole('dialog').waitFor();
  await page.keyboard.press('Escape');
  expect((await focused(page)).name).toBe('Export');
  await page.keyboard.press('Control+k');
  await page.keyboard.press('Escape');
  expect((await focused(page)).name).toBe('Export');
});

it('single keys write where one writes', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  const title = page.getByRole('textbox', { name: 'Title of the job' });
  await title.fill('');
  await title.pressSequentially('xenon lamp, fen');
  expect(await title.inputValue()).toBe('xenon lamp, fen');
  expect(await page.getByRole('dialog').count()).toBe(0);
});
