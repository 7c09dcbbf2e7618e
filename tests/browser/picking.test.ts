// Picking on the stage: what the tag names is what a click takes, within 6 pixels of an edge and no further.
import { expect, it } from 'vitest';
import { edgesNear } from '../../src/seam/find-edges.ts';
import { sampleBody } from '../sample-parts/read-sample.ts';
import { savedJob, shown, testPages } from './pages.ts';
import { findTag, pointOnEdge, stageBox, tagAt } from './stage-hand.ts';

const open = testPages();

it('a click takes the edge that the tag named, as the planner finds it', async () => {
  const { page } = await open({ job: 'stadium' });
  await shown(page);
  const tray = await sampleBody('stadium.step', 'tray');
  await page.getByRole('button', { name: 'Pick seam' }).click();

  const picked = new Set<string>();
  for (const row of [0.5, 0.36, 0.64, 0.43, 0.57, 0.71]) {
    if (picked.size === 3) break;
    const found = await findTag(page, (tag) => !picked.has(tag), { rows: [row], step: 7 });
    if (found === null) continue;
    const { tag: edge, place } = found;
    await page.mouse.click(place.x, place.y);
    const { job } = await savedJob(page);
    const { select } = (job.seams as { select: { edge: { body: string; near_mm: [number, number, number] } } }[])[0];
    expect(select.edge.body).toBe('tray');
    expect(edgesNear(tray, select.edge.near_mm, 'test').map((k) => tray.edges[k].id)).toEqual([edge]);
    picked.add(edge);
  }
  expect(picked.size).toBeGreaterThan(1);
});

it('an edge is found from 6 pixels away, from no further', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  await page.getByRole('button', { name: 'Pick seam' }).click();
  // From above, without perspective: the rim is a circle, and upright where the row through its middle meets it.
  await page.locator('body').press('5');
  await page.locator('body').press('o');
  const first = await pointOnEdge(page, 'disc:0-1', 4);
  const box = await stageBox(page);
  expect(first.y, 'found in the first row, that through the middle').toBe(Math.round(box.y + box.height / 2));
  const found: number[] = [];
  for (let x = first.x - 14; x <= first.x + 14; x += 0.5) {
    if ((await tagAt(page, { x, y: first.y })) === 'disc:0-1') found.push(x);
  }
  // One stretch of 2 x 6 pixels.
  const width = found[found.length - 1] - found[0];
  expect(found.length).toBe(2 * width + 1);
  expect(width).toBeGreaterThan(11);
  expect(width).toBeLessThanOrEqual(12.5);
});

it('a drag turns the view and picks nothing', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  await page.getByRole('button', { name: 'Pick seam' }).click();
  const before = await savedJob(page);
  const at = await pointOnEdge(page, 'disc:0-1');
  await page.mouse.down();
  await page.mouse.move(at.x + 40, at.y + 25, { steps: 4 });
  await page.mouse.up();
  expect((await savedJob(page)).bytes.equals(before.bytes)).toBe(true);
  expect(await tagAt(page, { x: at.x, y: at.y })).not.toBe('disc:0-1');
});

it('with Alt a click takes the band under the pointer', async () => {
  const { page } = await open({ job: 'stadium' });
  await shown(page);
  await page.getByRole('button', { name: 'Pick seam' }).click();
  await page.keyboard.down('Alt');
  const found = await findTag(page, (tag) => tag.startsWith('tray, face '));
  if (found === null) throw new Error('no face of the tray is in sight');
  await page.mouse.click(found.place.x, found.place.y);
  await page.keyboard.up('Alt');
  const { job } = await savedJob(page);
  expect((job.seams as { select: object }[])[0].select).toHaveProperty('band.body', 'tray');
});
