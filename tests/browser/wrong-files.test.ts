// Wrong files and second thoughts: whatever cannot be read, or was stopped, leaves everything as it was.
import { readFile } from 'node:fs/promises';
import { expect, it } from 'vitest';
import { type Dropped, drop, dropJob, planned, sample, savedJob, shown, testPages } from './pages.ts';

const open = testPages();

const text = (content: string): Uint8Array => new TextEncoder().encode(content);

/** Bytes without any order, always the same (a linear congruential generator). */
function rubbish(count: number): Uint8Array {
  let state = 1;
  return Uint8Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state >>> 24;
  });
}

async function wrongFiles(): Promise<readonly (readonly [what: string, code: RegExp, ...files: Dropped[]])[]> {
  const step = await readFile(sample('disc.step'));
  const stl = await readFile(sample('wave-pod-clamp.stl'));
  const job = await readFile(sample('disc.job.json'), 'utf8');
  const badSum = Uint8Array.from([0x50, 0x4b, 3, 4, ...rubbish(4000)]);
  return [
    ['rubbish named as STEP', /./, ['part.step', rubbish(5000)]],
    ['STEP cut off in its middle', /./, ['part.step', step.subarray(0, step.length / 2)]],
    [
      'STEP without a shape',
      /./,
      ['part.step', text('ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n')],
    ],
    ['a truncated STL', /./, ['clamp.stl', stl.subarray(0, 70_000)]],
    ['an empty file', /file-empty/, ['part.step', new Uint8Array(0)]],
    ['a picture', /./, ['picture.png', rubbish(3000)]],
    ['JSON with a syntax error', /job-json/, ['my.job.json', text('{ "format": "raythread-job/1", ')]],
    ['JSON of another kind', /job-format/, ['package.json', text('{ "name": "other" }')]],
    ['a job without its files', /files-missing/, ['disc.job.json', text(job)]],
    ['two jobs', /jobs-many/, ['a.job.json', text(job)], ['b.job.json', text(job)]],
    ['an archive of rubbish', /zip-unreadable/, ['job.raythread.zip', badSum]],
    ['one good part and one wrong', /./, sample('torus-ring.step'), ['part.step', rubbish(2000)]],
  ];
}

it('each kind of wrong file is told of in one sentence and changes nothing', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  const before = await savedJob(page);
  for (const [what, code, ...files] of await wrongFiles()) {
    await drop(page, ...files);
    const alert = page.getByRole('alert').filter({ hasText: 'Not opened; everything is as it was' });
    await alert.waitFor();
    const said = (await alert.locator('dd').allTextContents()).at(-1);
    expect(said, `${what}: code`).toMatch(code);
    expect((await savedJob(page)).bytes.equals(before.bytes), `${what}: the job is as it was`).toBe(true);
    expect(await page.locator('.state-words').textContent(), what).toMatch(/^Planned/);
    await alert.getByRole('button', { name: 'Close' }).click();
    await alert.waitFor({ state: 'detached' });
    expect(await page.getByRole('button', { name: 'Undo' }).isEnabled(), `${what}: nothing to undo`).toBe(false);
  }
});

it('an import that is cancelled leaves everything as it was, and the next one works', async () => {
  const { page } = await open({ job: 'disc' });
  // Heat still to come could be cancelled too: what is cancelled here is the opening.
  await planned(page);
  const before = await savedJob(page);
  await drop(page, sample('wave-pod.step'), sample('tide-pod.step'), sample('saddle-rim.step'));
  await page.locator('.run-state').getByRole('button', { name: 'Cancel' }).click();
  await page.locator('.run-state').getByRole('button', { name: 'Cancel' }).waitFor({ state: 'detached' });
  expect((await savedJob(page)).bytes.equals(before.bytes)).toBe(true);
  await shown(page);
  expect(await page.getByRole('alert').count()).toBe(0);
  await dropJob(page, sample('torus-ring.job.json'), sample('torus-ring.step'));
  await shown(page);
  expect((await savedJob(page)).names).toContain('torus-ring.step');
});

it('a first plan that is cancelled can be made later', async () => {
  const { page } = await open({ job: 'tide-pod' });
  await page.locator('.run-state').getByRole('button', { name: 'Cancel' }).click();
  await page.locator('.run-state').getByRole('button', { name: 'Plan again' }).click();
  await shown(page);
});

it('an STL is asked for its unit, never guessed', async () => {
  const { page } = await open({ job: 'disc' });
  await shown(page);
  await drop(page, sample('wave-pod-clamp.stl'));
  const asked = page.getByRole('group', { name: 'In which unit is wave-pod-clamp.stl?' });
  await asked.getByRole('button', { name: 'mm', exact: true }).click();
  await shown(page);
  expect((await savedJob(page)).job.parts).toContainEqual({ file: 'wave-pod-clamp.stl', unit: 'mm', role: 'tooling' });
});
