// What a person may count on: every change can be taken back, and nothing is lost with the page.
import { expect, it } from 'vitest';
import { downloaded, drop, dropJob, sample, savedJob, shown, testPages, until } from './pages.ts';

const open = testPages();

const speed = (page: Awaited<ReturnType<typeof open>>['page']) =>
  page.getByRole('textbox', { name: 'Speed', exact: true });

it('every change of the job is undone and done again, a drag of a slider as one', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  const undo = page.getByRole('button', { name: 'Undo' });
  const redo = page.getByRole('button', { name: 'Redo' });
  expect(await undo.isEnabled(), 'what the page begins with cannot be undone').toBe(false);

  await speed(page).fill('62.5');
  await speed(page).press('Enter');
  const slider = page.getByRole('slider', { name: 'Line energy, slider' });
  await slider.focus();
  for (let k = 0; k < 5; k++) await slider.press('ArrowRight');
  expect((await savedJob(page)).job.process).toMatchObject({ speed_mm_s: 62.5, line_energy_J_mm: 0.375 });

  await page.locator('body').press('Control+z');
  expect((await savedJob(page)).job.process).toMatchObject({ speed_mm_s: 62.5, line_energy_J_mm: 0.35 });
  await undo.click();
  expect((await savedJob(page)).job.process).toMatchObject({ speed_mm_s: 50, line_energy_J_mm: 0.35 });
  expect(await undo.isEnabled()).toBe(false);
  await redo.click();
  await page.locator('body').press('Control+Shift+z');
  expect((await savedJob(page)).job.process).toMatchObject({ speed_mm_s: 62.5, line_energy_J_mm: 0.375 });
  expect(await redo.isEnabled()).toBe(false);
  await shown(page);
});

it('the plan follows the way back', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  const cycle = page.locator('.cycle .number');
  const before = await cycle.textContent();
  await speed(page).fill('25');
  await speed(page).press('Enter');
  await shown(page);
  expect(await cycle.textContent()).not.toBe(before);
  await page.getByRole('button', { name: 'Undo' }).click();
  await shown(page);
  expect(await cycle.textContent()).toBe(before);
});

it('a job that another took the place of comes back with its files', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  const before = await savedJob(page);
  await dropJob(page, sample('torus-ring.job.json'), sample('torus-ring.step'));
  await shown(page);
  expect((await savedJob(page)).job.title).not.toBe(before.job.title);
  await page.getByRole('button', { name: 'Undo' }).click();
  await shown(page);
  expect((await savedJob(page)).bytes.equals(before.bytes)).toBe(true);
});

it('a page that is loaded anew goes on with the job and its files', async () => {
  const first = await open();
  await drop(first.page, sample('disc.step'));
  await until(first.page, 'no-seam');
  await first.page.getByRole('button', { name: 'List of edges' }).click();
  await first.page.getByRole('button', { name: /^0-1 closed 251/ }).click();
  await shown(first.page);
  await first.page.getByRole('textbox', { name: 'Title of the job' }).fill('Disc, second thoughts');
  await first.page.getByRole('textbox', { name: 'Title of the job' }).press('Enter');
  await shown(first.page);
  const before = await savedJob(first.page);
  await first.page.reload();
  await shown(first.page);
  expect((await savedJob(first.page)).bytes.equals(before.bytes)).toBe(true);
  expect(await first.page.getByRole('button', { name: 'Undo' }).isEnabled()).toBe(false);

  // And so does one in another tab, after the first is gone.
  await first.page.close({ runBeforeUnload: true });
  const second = await open({ like: first });
  await shown(second.page);
  expect((await savedJob(second.page)).bytes.equals(before.bytes)).toBe(true);
});

it('a saved job opens as it was saved', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  const saved = await downloaded(page, () => page.getByRole('button', { name: 'Save' }).click());
  const other = await open();
  await dropJob(other.page, [saved.name, saved.bytes]);
  await shown(other.page);
  expect((await savedJob(other.page)).bytes.equals(saved.bytes)).toBe(true);
});

it('a change made just before the page goes is kept', async () => {
  const { page } = await open();
  await drop(page, sample('disc.step'));
  await until(page, 'no-seam');
  const title = page.getByRole('textbox', { name: 'Title of the job' });
  for (const words of ['First thoughts', 'Second thoughts', 'Third thoughts']) {
    await title.fill(words);
    await title.press('Enter');
    await page.reload();
    await until(page, 'no-seam');
    expect(await title.inputValue()).toBe(words);
  }
});
