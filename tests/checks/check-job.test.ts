import { describe, expect, it } from 'vitest';
import { checkJob } from '../../src/checks/check-job.ts';
import type { Code, Rule } from '../../src/checks/severity.ts';
import { RULES } from '../../src/checks/severity.ts';
import type { Part } from '../../src/model/part.ts';
import { plainJob } from './plain-job.ts';

const part = (code: string, sentence: string): Part => ({
  file: 'pod.step',
  format: 'step',
  sha256: '',
  bodies: [],
  notes: [{ code, sentence }],
  linearDeflection: 0.01,
  angularDeflection: 0.1,
});

describe('checkJob', () => {
  it('finds nothing in a plain job', () => {
    expect(checkJob(plainJob(), [])).toEqual([]);
  });

  it.each([
    ['size-doubtful', 'unit-doubtful', 'warns'],
    ['triangle-cap', 'triangle-cap', 'warns'],
    ['open-edges', 'open-edges', 'notes'],
    ['crowded-edges', 'crowded-edges', 'notes'],
    ['something-new', 'import-note', 'notes'],
  ])('passes the import note %s on as %s', (code, expected, severity) => {
    const [finding] = checkJob(plainJob(), [part(code, 'The importer says so.')]);
    expect(finding).toMatchObject({ code: expected, severity, seam: '', sentence: 'pod.step: The importer says so' });
    expect(finding.from).toBeNaN();
  });

  it('warns of a beam that is planned without any layer', () => {
    const { parts } = plainJob();
    const bare = plainJob({ parts: parts.slice(1) });
    expect(checkJob(bare, []).map(({ code }) => code)).toEqual(['no-layer']);
    expect(checkJob({ ...bare, layer: { thickness: 2, material: 'pc-clear' } }, [])).toEqual([]);
  });

  it('notes once a scattering layer whose extinction comes from one thickness', () => {
    const milky = {
      id: 'pp-natural',
      title: 'PP, natural',
      index: 1.49,
      transmittance: { value: 0.6, thickness: 2 },
      scattering: true,
    };
    const [lid, tub] = plainJob().parts;
    const scattering = { ...lid, material: 'pp-natural' };
    const job = plainJob({ parts: [scattering, scattering, tub], materials: new Map([[milky.id, milky]]) });
    const findings = checkJob(job, []);
    expect(findings.map(({ code }) => code)).toEqual(['extinction-scattering']);
    expect(findings[0].sentence).toContain('2 mm');
  });
});

describe('RULES', () => {
  it.each(Object.entries(RULES) as [Code, Rule][])('%s can be shown and acted on', (code, rule) => {
    expect(code).toMatch(/^[a-z]+(-[a-z]+)*$/);
    expect(rule.title).toMatch(/^[A-Z].*[^.]$/);
    expect(rule.remedy).not.toMatch(/^[A-Z]|\.$/);
    expect(code === 'import-note' || (rule.limit !== '' && rule.remedy !== '')).toBe(true);
  });
});
