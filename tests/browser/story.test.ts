// The whole story: a STEP file dropped, a rim picked, a finding that vanishes under the hand, files handed over.
import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { expect, it } from 'vitest';
import { runCommand } from '../../src/cli/run-command.ts';
import { downloaded, drop, findings, planned, sample, until, testPages } from './pages.ts';
import { pointOnEdge } from './stage-hand.ts';

const open = testPages();

it('from a dropped STEP file to the files of the command line, byte for byte', async () => {
  const { page } = await open();
  await drop(page, sample('disc.step'));
  await until(page, 'no-seam');

  // The parts are there with their roles, guessed from names.
  expect(await page.getByRole('combobox', { name: 'Role' }).evaluateAll(valuesOf)).toEqual([
    'transmissive',
    'absorbing',
  ]);

  // A rim edge, picked on the stage.
  await page.getByRole('button', { name: 'Pick seam' }).click();
  const at = await pointOnEdge(page, 'disc:0-1');
  await page.mouse.click(at.x, at.y);
  await planned(page);
  expect(await page.locator('.track').count()).toBeGreaterThan(3);
  const before = await findings(page);
  expect(before.filter((finding) => finding.startsWith('blocks'))).not.toEqual([]);

  // Half the spot lies off the joint: the seam moves inward under the hand, and the findings go.
  await page.getByRole('slider', { name: 'Offset, slider' }).fill('2');
  await planned(page);
  const after = await findings(page);
  expect(after.filter((finding) => finding.startsWith('blocks'))).toEqual([]);

  // What leaves the page is what the command line writes for the job that leaves it.
  const folder = await mkdtemp(join(tmpdir(), 'raythread-story-'));
  try {
    const saved = await downloaded(page, () => page.getByRole('button', { name: 'Save' }).click());
    expect(saved.name).toBe('disc.raythread.zip');
    for (const [name, bytes] of Object.entries(unzipSync(saved.bytes))) await writeFile(join(folder, name), bytes);
    await page.getByRole('button', { name: 'Export' }).click();
    await page.getByRole('button', { name: 'I have read this' }).click();
    const all = await downloaded(page, () => page.getByRole('button', { name: 'All as one zip' }).click());
    const one = await downloaded(page, () =>
      page.getByRole('button', { name: 'Download waypoints.csv', exact: true }).click(),
    );
    await samePlan(join(folder, 'disc.job.json'), join(folder, 'out'), unzipSync(all.bytes), one.bytes);
  } finally {
    await rm(folder, { recursive: true });
  }
});

async function samePlan(job: string, out: string, files: Record<string, Uint8Array>, csv: Buffer): Promise<void> {
  const said: string[] = [];
  const say = (text: string): void => void said.push(text);
  const terminal = { out: say, err: say, isTerminal: false, signal: new AbortController().signal };
  expect(await runCommand(['plan', job, '--out', out], terminal), said.join('')).toBe(0);
  const names = await readdir(out);
  expect(Object.keys(files).toSorted()).toEqual(names.toSorted());
  for (const name of names) {
    const written = await readFile(join(out, name));
    expect(written.equals(files[name]), `${name} is the same to the byte`).toBe(true);
  }
  expect(csv.equals(files['waypoints.csv'])).toBe(true);
}

const valuesOf = (all: readonly Element[]): string[] => all.map((one) => (one as HTMLSelectElement).value);
