import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { inlineArmSchema, parseArms, readArm } from '../../src/model/arm-file.ts';
import { parseHeads } from '../../src/model/head-file.ts';
import { InputError } from '../../src/model/input-error.ts';
import { jsonSchemas } from '../../src/model/json-schemas.ts';

const json = (name: string) => JSON.parse(readFileSync(new URL(`../../shared/data/${name}`, import.meta.url), 'utf8'));
const DEG = Math.PI / 180;

// biome-ignore lint/suspicious/noExplicitAny: a parsed file that is about to be spoilt
type Loose = any;

/** The first arm of the catalogue, changed at one place. */
const changed = (change: (arm: Loose) => void): unknown => {
  const file = json('arms.json');
  change(file.arms[0]);
  return file;
};

const codeOf = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    if (error instanceof InputError) return error.code;
    throw error;
  }
  return 'none';
};

describe('arms and heads', () => {
  it.each(['arms', 'heads'])('%s.json passes its schema, judged by an independent validator', (name) => {
    const schema = JSON.parse(jsonSchemas().get(`${name}.schema.json`) ?? '');
    const validate = new Ajv2020({ strict: true, allowUnionTypes: true, strictTuples: false }).compile(schema);
    expect(validate(json(`${name}.json`)), JSON.stringify(validate.errors)).toBe(true);
    expect(validate({ ...json(`${name}.json`), colour: 'red' })).toBe(false);
  });

  it('have their units converted', () => {
    const arm = parseArms(json('arms.json')).get('six-axis-700');
    expect(arm?.axes).toHaveLength(6);
    expect(arm?.axes[0].min).toBeCloseTo(-170 * DEG, 12);
    expect(arm?.axes[5].speed).toBeCloseTo(720 * DEG, 12);
    expect(arm?.home[4]).toBeCloseTo(60 * DEG, 12);
    const head = parseHeads(json('heads.json')).get('angled-head');
    expect(head?.flangeToHead.rotation[1]).toBeCloseTo(40 * DEG, 12);
    expect(head?.umbilical?.limit).toBeCloseTo(220 * DEG, 12);
  });

  it.each([
    ['a value without a source', (arm: Loose) => delete arm.payload_kg.source, 'arms-key-missing'],
    ['an unknown key', (arm: Loose) => Object.assign(arm, { colour: 'red' }), 'arms-key-unknown'],
    ['NaN as text', (arm: Loose) => Object.assign(arm.model.c2_mm, { value: 'NaN' }), 'arms-value'],
    ['a sign of 2', (arm: Loose) => Object.assign(arm.model, { signs: [2, 1, 1, 1, 1, 1] }), 'arms-value'],
    ['five speeds', (arm: Loose) => arm.speed_deg_s.value.pop(), 'arm-axes'],
    ['no position limits', (arm: Loose) => delete arm.position_deg, 'arm-limits-missing'],
    ['crossed limits', (arm: Loose) => arm.position_deg.value[2].reverse(), 'arm-limits'],
    ['a link that is not there', (arm: Loose) => Object.assign(arm.envelope.value[0], { link: 9 }), 'arm-envelope'],
    [
      'a forearm without length',
      (arm: Loose) =>
        Object.assign(arm.model, { a2_mm: { ...arm.model.a2_mm, value: 0 }, c3_mm: { ...arm.model.c3_mm, value: 0 } }),
      'arm-model',
    ],
    [
      'a file in the catalogue',
      (arm: Loose) => Object.assign(arm, { model: { kind: 'urdf', file: 'a.urdf' } }),
      'arm-model',
    ],
  ])('%s is one clear error', (_, change, code) => {
    expect(codeOf(() => parseArms(changed(change)))).toBe(code);
  });

  it('takes limits from a chain where the entry gives none, and the entry wins where it does', () => {
    const { position_deg, speed_deg_s, ...rest } = json('arms.json').arms[0];
    const entry = inlineArmSchema.parse({ ...rest, model: { kind: 'urdf', file: 'a.urdf' } });
    const frame = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 100];
    const axes = Array.from({ length: 6 }, (_, j) => ({ name: `j${j}`, min: -1, max: 2, speed: 3 }));
    const joints = axes.map(() => ({ origin: frame, axis: [0, 1, 0] as const }));
    const chain = { model: { kind: 'chain' as const, joints, flange: frame }, axes };
    const arm = readArm(entry, 'mine', 'job.json', chain);
    expect(arm.id).toBe('six-axis-700');
    expect(arm.axes[3]).toMatchObject({ name: 'j3', min: -1, max: 2, speed: 3 });
    const both = inlineArmSchema.parse({ ...rest, position_deg, speed_deg_s, model: { kind: 'urdf', file: 'a.urdf' } });
    expect(readArm(both, 'mine', 'job.json', chain).axes[0].max).toBeCloseTo(170 * DEG, 12);
  });
});
