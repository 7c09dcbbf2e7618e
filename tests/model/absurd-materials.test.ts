// Material values that cannot be are refused, each by a code of its own; what only makes no sense to weld is a finding elsewhere.
import { expect, test } from 'vitest';
import { readCatalogue } from '../../src/worker/catalogue.ts';
import { InputError } from '../../src/model/input-error.ts';
import { parseJobFile, readJob } from '../../src/model/parse-job.ts';

const catalogue = readCatalogue();

function read(material: object, process: object = {}) {
  const job = {
    format: 'raythread-job/1',
    parts: [{ file: 'pod.step', role: 'absorbing', material: 'pc-carbon-black' }],
    seams: [{ select: { edges: ['tub:0-1'] } }],
    materials: { 'pc-carbon-black': material },
    process: { speed_mm_s: 50, line_energy_J_mm: 0.35, ...process },
  };
  return readJob(parseJobFile(JSON.stringify(job), 'pod.job.json'), catalogue, 'pod.job.json');
}

function codeOf(material: object, process: object = {}): string {
  try {
    read(material, process);
  } catch (error) {
    return error instanceof InputError ? error.code : String(error);
  }
  return 'none';
}

test.each([
  ['absorption 0', { absorption_1_mm: 0 }, 'job-value'],
  ['absorption 1e6', { absorption_1_mm: 1e6 }, 'job-value'],
  ['conductivity 0', { conductivity_W_mK: 0 }, 'job-value'],
  ['density 0', { density_kg_m3: 0 }, 'job-value'],
  ['negative latent heat', { latent_J_g: -1 }, 'job-value'],
  ['melting above decomposition', { melting_C: 600 }, 'material-temperatures'],
  ['onset below melting', { weld_onset_C: 100 }, 'material-temperatures'],
  ['onset above decomposition', { weld_onset_C: 600 }, 'material-temperatures'],
  ['negative widening', { widening_mm_mm: -0.1 }, 'job-value'],
  ['a polymer that nobody knows', { polymer: 'XYZ' }, 'polymer-unknown'],
  ['largest absorption', { absorption_1_mm: 1e5 }, 'none'],
  ['nothing changed', {}, 'none'],
])('%s', (_, material, code) => {
  expect(codeOf(material)).toBe(code);
});

test.each([
  ['a preheat without power', { preheat: { power_W: 0, radius_mm: 3, absorption_1_mm: 5, layer_absorption_1_mm: 0 } }],
  ['an aim that is both', { aim: { width_mm: 1, peak_C: 300 } }],
  ['a hold of nothing known', { hold: 'colour' }],
])('%s', (_, process) => {
  expect(codeOf({}, process)).toMatch(/^job-(value|key-unknown)$/);
});

test("a job's own values go before the catalogue's, the rest stays", () => {
  const given = catalogue.materials.get('pc-carbon-black');
  const own = read({ heat_J_gK: 2.5, carbon_black_pct: 0.4, weld_onset_C: 240 }).materials.get('pc-carbon-black');
  expect(own?.thermal).toEqual({ ...given?.thermal, specificHeat: 2.5, weldOnset: 240 });
  expect(own?.absorption).toBeCloseTo(2 * (given?.absorption ?? Number.NaN), 9);
});
