// What may go wrong around the page: graphics taken away, a planner that falls over or hangs, a network that is gone.
import type { Page, Worker } from 'playwright-core';
import { expect, it } from 'vitest';
import { downloaded, dropJob, planned, sample, savedJob, shown, testPages } from './pages.ts';
import { pointOnEdge } from './stage-hand.ts';

const open = testPages();

const picture = (page: Page): Promise<Buffer> => page.locator('.stage-canvas').screenshot({ animations: 'disabled' });

function planWorker(page: Page): Worker {
  const worker = page.workers().find((one) => one.url().includes('plan-worker'));
  if (worker === undefined) throw new Error('the page has no plan worker');
  return worker;
}

/** A fault of the program, outside of any promise. */
const fault = (worker: Worker): Promise<unknown> =>
  worker.evaluate(() => {
    setTimeout(() => {
      throw new Error('made by a test');
    });
  });

const FAULT = /made by a test/;

const speed = (page: Page) => page.getByRole('textbox', { name: 'Speed', exact: true });

async function setSpeed(page: Page, words: string): Promise<void> {
  await speed(page).fill(words);
  await speed(page).press('Enter');
}

it('graphics that were taken away come back, seen from the same place', async () => {
  const { page } = await open({ job: 'disc', expected: [/CONTEXT_LOST/i] });
  await planned(page);
  await page.locator('body').press('5');
  await page.getByRole('button', { name: 'Pick seam' }).click();
  const at = await pointOnEdge(page, 'disc:0-1');
  await page.mouse.move(2, 2);
  const before = await picture(page);
  const lose = await page.locator('.stage-canvas').evaluateHandle((canvas) => {
    const extension = (canvas as HTMLCanvasElement).getContext('webgl2')?.getExtension('WEBGL_lose_context');
    extension?.loseContext();
    return extension;
  });
  await page.getByText('The graphics were interrupted', { exact: false }).first().waitFor();
  const job = await savedJob(page);
  await lose.evaluate((extension) => extension?.restoreContext());
  await page.getByText('The graphics were interrupted', { exact: false }).first().waitFor({ state: 'detached' });
  await page.mouse.move(at.x, at.y);
  await expect.poll(() => page.locator('.stage-tag strong').textContent()).toBe('disc:0-1');
  await page.mouse.move(2, 2);
  await expect.poll(async () => (await picture(page)).equals(before)).toBe(true);
  expect((await savedJob(page)).bytes.equals(job.bytes)).toBe(true);
});

it('a planner that falls over at work is replaced, and plans what it was planning', async () => {
  const { page } = await open({ job: 'disc', expected: [FAULT] });
  await shown(page);
  await setSpeed(page, '40');
  const job = await savedJob(page);
  await fault(planWorker(page));
  await page.getByText('The planner had to be started again. The job is as it was.').waitFor();
  await shown(page);
  expect((await savedJob(page)).bytes.equals(job.bytes)).toBe(true);
  await page.locator('.notice').getByRole('button', { name: 'Close' }).click();
  await page.locator('.notice').waitFor({ state: 'detached' });
});

it('a planner that falls over at rest costs nothing: files can be had, and the next change is planned', async () => {
  const { page } = await open({ job: 'disc', expected: [FAULT] });
  await planned(page);
  await fault(planWorker(page));
  await page.getByRole('button', { name: 'Export' }).click();
  await page.getByRole('button', { name: 'I have read this' }).click();
  const csv = page.getByRole('button', { name: 'Download waypoints.csv', exact: true });
  expect((await downloaded(page, () => csv.click())).bytes.length).toBeGreaterThan(10_000);
  await page.getByRole('button', { name: 'Close' }).last().click();
  await setSpeed(page, '40');
  await shown(page);
});

it('a planner that hangs is ended by Cancel, and another plans', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  void planWorker(page)
    .evaluate(() => {
      for (;;);
    })
    .catch(() => undefined);
  await setSpeed(page, '40');
  await page.locator('.run-state').getByRole('button', { name: 'Cancel' }).click();
  await page.locator('.run-state').getByRole('button', { name: 'Plan again' }).click();
  await shown(page);
});

it('without a network the page starts, plans and reads CAD', async () => {
  const { page, server } = await open();
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
  // Once more, so that it comes from where it is kept; then the server is gone.
  await page.reload();
  await server.close();
  await page.reload();
  await shown(page);
  await dropJob(page, sample('disc.job.json'), sample('disc.step'));
  await planned(page);
  expect(await page.locator('.track').count()).toBeGreaterThan(3);
});
