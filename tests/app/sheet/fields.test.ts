// Fields of the sheet against the job's schema as an independent validator (ajv, JSON Schema 2020-12) reads it.
import Ajv2020 from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import jobSchema from '../../../shared/schemas/job.schema.json';
import { fieldInfo, keyWords } from '../../../src/app/sheet/field-info.ts';
import { FIELD_WORDS } from '../../../src/app/sheet/field-words.ts';
import { nudge, rangeText, readTyped, stepOf } from '../../../src/app/sheet/number-text.ts';
import { withValueAt } from '../../../src/app/store/json-pointer.ts';
import type { JobDraft } from '../../../src/app/store/state.ts';

const validate = new Ajv2020({ strict: false }).compile(jobSchema);

const JOB: JobDraft = {
  format: 'raythread-job/1',
  parts: [{ file: 'a.step', role: 'absorbing' }],
  seams: [{ select: { edges: ['tub:1-2'] } }],
  process: { speed_mm_s: 50, line_energy_J_mm: 0.35 },
};

/** Pointers of all numbers that stand directly in head, process, limits, tessellation and a seam. */
const NUMBERS = ['head', 'process', 'limits', 'tessellation'].flatMap((part) => {
  const { properties } = (jobSchema.properties as unknown as Record<string, { properties: Record<string, object> }>)[
    part
  ];
  return Object.entries(properties)
    .filter(([, node]) => 'type' in node && (node.type === 'number' || node.type === 'integer'))
    .map(([key]) => `/${part}/${key}`);
});
const SEAM_NUMBERS = ['width_mm', 'offset_mm', 'run_in_mm', 'overlap_mm', 'ramp_mm', 'spacing_mm', 'chord_mm'];
const ALL = [...NUMBERS, ...SEAM_NUMBERS.map((key) => `/seams/0/${key}`)];

describe('fields of the job', () => {
  it('looks at a good part of the schema', () => {
    expect(ALL.length).toBeGreaterThan(35);
  });

  it('lets typed numbers through exactly where the schema does, seed 31', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...ALL),
        fc.oneof(
          fc.double({ min: -2e4, max: 2e7, noNaN: true }),
          fc.integer({ min: -400, max: 400 }),
          fc.constantFrom(0, 1e-4, 0.01, 60, 80, 90, 100, 300, 500, 1000, 1e5, 1e7),
        ),
        (pointer, value) => {
          const typed = readTyped(String(value), fieldInfo(pointer));
          const job = withValueAt(JOB, pointer, value);
          expect(typed.kind, `${pointer} = ${value}: ${rangeText(fieldInfo(pointer))}`).toBe(
            validate(job) ? 'number' : 'wrong',
          );
        },
      ),
      { seed: 31, numRuns: 2000 },
    );
  });

  it('keeps steps by the arrow keys inside the schema, seed 32', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...ALL),
        fc.array(fc.integer({ min: -10, max: 10 }), { maxLength: 30 }),
        (pointer, steps) => {
          const info = fieldInfo(pointer);
          let value = typeof info.standard === 'number' ? info.standard : (info.low ?? 0) + 1;
          for (const step of steps) value = nudge(value, step * stepOf(info, value), info);
          expect(validate(withValueAt(JOB, pointer, value)), `${pointer} = ${value}`).toBe(true);
        },
      ),
      { seed: 32 },
    );
  });

  it('gives every slider ends that the schema allows, low before high', () => {
    for (const [pattern, { slider }] of Object.entries(FIELD_WORDS)) {
      if (slider === undefined) continue;
      const pointer = pattern.replace('*', '0');
      const [low, high, step] = slider;
      expect(low + step, pattern).toBeLessThan(high);
      const { low: least, high: most, openLow } = fieldInfo(pointer);
      expect(openLow ? low > (least ?? 0) : low >= (least ?? low), pattern).toBe(true);
      expect(high <= (most ?? high), pattern).toBe(true);
    }
  });

  it('knows every field that it has words for', () => {
    for (const pattern of Object.keys(FIELD_WORDS)) expect(() => fieldInfo(pattern.replace('*', '0'))).not.toThrow();
    expect(() => fieldInfo('/head/no_such')).toThrow(/knows no field/);
  });

  it('takes a default that the schema itself accepts', () => {
    for (const pointer of ALL) {
      const { standard } = fieldInfo(pointer);
      if (standard !== undefined) expect(validate(withValueAt(JOB, pointer, standard)), pointer).toBe(true);
    }
  });

  it("reads a seam's own process as the job's", () => {
    expect(fieldInfo('/seams/0/process/speed_mm_s')).toEqual(fieldInfo('/process/speed_mm_s'));
  });

  it('reads units off the ends of keys', () => {
    expect(keyWords('head_turn_deg_s2')).toEqual({ label: 'Head turn', unit: 'deg/s2' });
    expect(keyWords('line_energy_J_mm')).toEqual({ label: 'Line energy', unit: 'J/mm' });
    expect(keyWords('start_temperature_C')).toEqual({ label: 'Start temperature', unit: 'degC' });
    expect(keyWords('singularity')).toEqual({ label: 'Singularity', unit: '' });
  });

  it('takes a decimal comma and a true minus, and refuses what is no number', () => {
    const offset = fieldInfo('/seams/0/offset_mm');
    expect(readTyped(' 1,5 ', offset)).toEqual({ kind: 'number', value: 1.5 });
    expect(readTyped('−2', offset)).toEqual({ kind: 'number', value: -2 });
    expect(readTyped('', offset)).toEqual({ kind: 'empty' });
    for (const text of ['1.2.3', '2 mm', 'NaN', 'Infinity', '0x10', '--1', '.']) {
      expect(readTyped(text, offset).kind, text).toBe('wrong');
    }
  });
});
