// The rules of WCAG 2.2, A and AA, and good practice as axe-core checks them, on every main state in light and dark.
import axe from 'axe-core';
import type { Page } from 'playwright-core';
import { expect, it } from 'vitest';
import { drop, planned, sample, shown, testPages, until } from './pages.ts';

const open = testPages();

const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What breaks a rule, in words. */
async function violations(page: Page): Promise<readonly string[]> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(axe.source);
  const { violations: found, passes } = await page.evaluate(
    (tags) => (window as unknown as { axe: typeof axe }).axe.run(document, { runOnly: { type: 'tag', values: tags } }),
    TAGS,
  );
  expect(passes.length, 'rules were checked').toBeGreaterThan(10);
  return found.flatMap(({ id, help, nodes }) =>
    nodes.map(({ target, failureSummary }) => `${id}: ${help}: ${target.join(' ')}: ${failureSummary}`),
  );
}

async function command(page: Page, words: string): Promise<void> {
  await page.locator('body').press('Control+k');
  await page.getByRole('combobox', { name: 'Find a command' }).fill(words);
  await page.getByRole('combobox', { name: 'Find a command' }).press('Enter');
}

async function press(page: Page, key: string): Promise<void> {
  await page.locator('body').press(key);
}

/** Looks at one state after the other; what was found is told at the end, all of it. */
function inspector(page: Page): { look(state: string): Promise<void>; readonly found: string[] } {
  const found: string[] = [];
  return {
    found,
    async look(state) {
      for (const violation of await violations(page)) found.push(`${state}: ${violation}`);
    },
  };
}

/** Opens every section of the sheet, also those within others. */
async function openAll(page: Page): Promise<void> {
  const closed = page.locator('.sheet details:not([open]) > summary');
  while ((await closed.count()) > 0) await closed.first().click();
}

for (const colorScheme of ['light', 'dark'] as const) {
  it(`breaks no rule in any state, ${colorScheme}`, async () => {
    const { page } = await open({ job: 'disc', colorScheme });
    const { look, found } = inspector(page);
    await planned(page);
    await look('planned');
    for (const [key, side] of [
      ['g', 'findings'],
      ['w', 'window'],
      ['l', 'edges'],
    ]) {
      await press(page, key);
      await look(side);
    }
    await openAll(page);
    await look('all sections of the sheet open');
    await press(page, 'k');
    await page.getByRole('button', { name: 'Differences' }).click();
    await look('compared');
    await press(page, 'Control+k');
    await look('palette');
    await page.keyboard.press('Escape');
    await press(page, 'x');
    await page.getByRole('button', { name: 'Download plan.json' }).waitFor();
    await look('export, with the caution');
    await page.getByRole('button', { name: 'I have read this' }).click();
    await look('export');
    await page.keyboard.press('Escape');

    await drop(page, ['part.step', 'rubbish']);
    await page.getByRole('alert').waitFor();
    await look('a file refused');
    await page.getByRole('button', { name: 'Close' }).click();
    await page.getByRole('textbox', { name: 'Speed', exact: true }).fill('none');
    await page.keyboard.press('Enter');
    await page.locator('.field-wrong').waitFor();
    await look('a number refused');
    await drop(page, sample('wave-pod-clamp.stl'));
    await page.locator('.questions').waitFor();
    await look('a question');
    await command(page, 'begin an empty');
    await until(page, 'empty');
    await look('empty');
    await drop(page, sample('disc.step'));
    await until(page, 'no-seam');
    await look('no seam yet');
    expect(found).toEqual([]);
  });

  it(`breaks no rule on a narrow page and where limits are broken, ${colorScheme}`, async () => {
    const { page } = await open({ job: 'wave-pod-far', colorScheme, viewport: { width: 1024, height: 768 } });
    const { look, found } = inspector(page);
    await shown(page);
    await look('job');
    await press(page, 'g');
    await page.locator('.finding').first().click();
    await look('a finding gone to');
    expect(found).toEqual([]);
  });
}

it('nothing moves by itself for those who want no motion', async () => {
  const { page } = await open({ job: 'disc', reducedMotion: 'reduce' });
  await shown(page);
  const moving = (): Promise<number> =>
    page.evaluate(() => {
      const lasts = (element: Element): boolean => {
        const { transitionDuration, animationDuration } = getComputedStyle(element);
        return `${transitionDuration}, ${animationDuration}`.split(', ').some((time) => Number.parseFloat(time) > 0);
      };
      return [...document.querySelectorAll('*')].filter(lasts).length;
    });
  expect(await moving()).toBe(0);
  await page.emulateMedia({ reducedMotion: 'no-preference' });
  expect(await moving(), 'for others something does').toBeGreaterThan(0);
});
