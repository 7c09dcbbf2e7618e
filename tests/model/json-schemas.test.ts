import { readdirSync, readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { jsonSchemas } from '../../src/model/json-schemas.ts';

const folder = new URL('../../shared/schemas/', import.meta.url);
const validator = (name: string) =>
  new Ajv2020({ strict: true, allowUnionTypes: true, strictTuples: false }).compile(
    JSON.parse(jsonSchemas().get(name) ?? ''),
  );
const json = (path: string) => JSON.parse(readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8'));

describe('the schemas in shared/schemas', () => {
  it('are those that the code makes (npm run schemas writes them anew)', () => {
    expect(readdirSync(folder).sort()).toEqual([...jsonSchemas().keys()].sort());
    for (const [name, text] of jsonSchemas()) expect(readFileSync(new URL(name, folder), 'utf8')).toBe(text);
  });

  it('accept the data and every sample job, judged by an independent validator', () => {
    const optics = validator('optics.schema.json');
    const materials = validator('materials.schema.json');
    expect(optics(json('shared/data/optics.json')), JSON.stringify(optics.errors)).toBe(true);
    expect(materials(json('shared/data/materials.json')), JSON.stringify(materials.errors)).toBe(true);
    const jobs = readdirSync(new URL('../../sample-parts/', import.meta.url)).filter((name) =>
      name.endsWith('.job.json'),
    );
    expect(jobs.length).toBeGreaterThan(5);
    const job = validator('job.schema.json');
    for (const name of jobs)
      expect(job(json(`sample-parts/${name}`)), `${name} ${JSON.stringify(job.errors)}`).toBe(true);
  });

  it('refuse an unknown key, a missing one and a wrong value', () => {
    const job = validator('job.schema.json');
    const good = json('sample-parts/wave-pod.job.json');
    expect(job({ ...good, colour: 'red' })).toBe(false);
    expect(job({ ...good, process: {} })).toBe(false);
    expect(job({ ...good, seams: [] })).toBe(false);
  });
});
