// A plan that is handed out before its heat is in the end the same plan, and parts that were imported for the screen are not imported
// again for the plan.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it, vi } from 'vitest';
import { parseJobFile, readJob } from '../../src/model/parse-job.ts';
import { renderOutputs } from '../../src/output/render-outputs.ts';
import type { Plan } from '../../src/planner/plan.ts';
import { createPlanner } from '../../src/planner/planner.ts';
import { readCatalogue } from '../../src/worker/catalogue.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';
import { quietTask } from '../intake/support.ts';

vi.setConfig({ testTimeout: 120_000 });

const samples = fileURLToPath(new URL('../../sample-parts/', import.meta.url));
const NAME = 'dome-pair.job.json';
const jobFile = parseJobFile(readFileSync(`${samples}${NAME}`, 'utf8'), NAME);
const plannerOf = () => createPlanner(createNodeHost(samples), readCatalogue());

describe('a plan in two steps', () => {
  it('is the same to the last byte, and its first step is the plan without heat', async () => {
    const early: Plan[] = [];
    const stepped = await plannerOf().plan(jobFile, NAME, quietTask(), (plan) => early.push(plan));
    const whole = await plannerOf().plan(jobFile, NAME, quietTask());
    expect(renderOutputs(stepped)).toEqual(renderOutputs(whole));
    expect(whole.seams[0].heat).not.toBeNull();

    expect(early).toHaveLength(1);
    const [{ seams, findings }] = early;
    expect(seams[0]).toMatchObject({ heat: null, window: null });
    expect(seams[0].timing).toBe(stepped.seams[0].timing);
    const codes = stepped.findings.map(({ code }) => code);
    expect(codes).toEqual(expect.arrayContaining(findings.map(({ code }) => code)));
  });

  it('is handed out once where there is no heat to wait for', async () => {
    const bare = { ...jobFile, parts: jobFile.parts.map((part) => ({ ...part, material: 'own' })) };
    const own = { index: 1.5, transmittance: { value: 0.9, thickness_mm: 2 } };
    const file = parseJobFile(JSON.stringify({ ...bare, materials: { own } }), NAME);
    let early = 0;
    const plan = await plannerOf().plan(file, NAME, quietTask(), () => {
      early += 1;
    });
    expect(plan.seams[0].heat).toBeNull();
    expect(early).toBe(0);
  });

  it('takes the parts that were imported before it', async () => {
    const planner = plannerOf();
    const parts = await planner.importParts(readJob(jobFile, readCatalogue(), NAME), quietTask());
    const plan = await planner.plan(jobFile, NAME, quietTask());
    expect(planner.runs.get('intake')).toBe(1);
    expect(plan.parts).toEqual(parts);
    expect(plan.parts[0]).toBe(parts[0]);
  });
});
