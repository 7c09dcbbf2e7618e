import { describe, expect, it } from 'vitest';
import arms from '../../shared/data/arms.json' with { type: 'json' };
import heads from '../../shared/data/heads.json' with { type: 'json' };
import { parseCatalogue } from '../../src/model/catalogue.ts';
import { InputError } from '../../src/model/input-error.ts';
import { parseJobFile, readJob } from '../../src/model/parse-job.ts';

const NAME = 'pod.job.json';

const said = (value: unknown, source: 'seen' | 'memory' | 'assumed' = 'assumed') => ({
  value,
  source: 'test',
  mark: source,
});

const catalogue = parseCatalogue(
  {
    format: 'raythread-optics/1',
    optics: [
      {
        id: 'fibre-diode-980-2mm',
        title: 'test optics',
        wavelength_nm: said(980),
        beam_quality_m2: said(80),
        waist_mm: said(1),
        profile: said('top-hat'),
        exit_radius_mm: said(15),
        polarisation: said({ angle_deg: 90 }),
        power_min_W: said(5),
        power_max_W: said(120),
      },
    ],
  },
  {
    format: 'raythread-materials/1',
    materials: [
      {
        id: 'clear',
        title: 'clear',
        index: said(1.57),
        transmittance: said({ value: 0.88, thickness_mm: 3 }),
        scattering: said(false),
      },
      { id: 'black', title: 'black', scattering: said(false) },
    ],
  },
  arms,
  heads,
);

/** An arm written into a job with bare values. */
const ownArm = {
  model: { kind: 'ortho-parallel', a1_mm: 30, a2_mm: -20, b_mm: 0, c1_mm: 300, c2_mm: 300, c3_mm: 350, c4_mm: 80 },
  position_deg: Array.from({ length: 6 }, () => [-120, 150]),
  speed_deg_s: [100, 100, 100, 200, 200, 300],
  acceleration_deg_s2: [500, 500, 500, 900, 900, 900],
  payload_kg: 6,
  envelope: [{ name: 'base', link: 0, from_mm: [0, 0, 0], to_mm: [0, 0, 100], radius_mm: 80 }],
  home_deg: [0, 0, 90, 0, 45, 0],
};

const base = () => ({
  format: 'raythread-job/1',
  parts: [
    { file: 'pod.step', body: 'lid', role: 'transmissive', material: 'clear' },
    { file: 'pod.step', body: 'tub', role: 'absorbing', material: 'black' },
  ] as Record<string, unknown>[],
  seams: [{ select: { edge: { body: 'tub', near_mm: [40, 0, 20] } } }] as Record<string, unknown>[],
  process: { speed_mm_s: 50, line_energy_J_mm: 0.4 } as Record<string, unknown>,
});

const ownOptics = {
  wavelength_nm: 980,
  beam_quality_m2: 80,
  waist_mm: 1,
  profile: 'top-hat',
  exit_radius_mm: 15,
  polarisation: 'none',
  power_min_W: 5,
  power_max_W: 120,
};

const read = (value: unknown) => readJob(parseJobFile(JSON.stringify(value), NAME), catalogue, NAME);

function errorOf(action: () => unknown): InputError {
  try {
    action();
  } catch (error) {
    if (error instanceof InputError) return error;
    throw error;
  }
  throw new Error('no error was raised');
}

describe('a job file', () => {
  it('takes the power of optics that say nothing of it as proportional, at once and without steps', () => {
    const ideal = {
      powerOffset: 0,
      powerSlope: 1,
      powerThreshold: 0,
      powerLag: 0,
      powerLead: 0,
      powerUpdate: 0,
    };
    expect(read(base()).optics).toMatchObject(ideal);
    expect(read({ ...base(), optics: ownOptics }).optics).toMatchObject(ideal);
  });

  it('reads how the power follows the speed, bare or with its source', () => {
    const optics = {
      ...ownOptics,
      power_offset_W: -2,
      power_slope: said(1.1),
      power_threshold_W: 5,
      power_lag_ms: { ...said(30, 'memory'), range: [20, 60] },
      power_lead_ms: 12,
      power_update_ms: 8,
    };
    expect(read({ ...base(), optics }).optics).toMatchObject({
      powerOffset: -2,
      powerSlope: 1.1,
      powerThreshold: 5,
      powerLag: 0.03,
      powerLead: 0.012,
      powerUpdate: 0.008,
    });
  });

  it('fills in the documented defaults and converts units', () => {
    const job = read({ ...base(), limits: { incidence_entry_deg: 90, clipped_pct: 4 } });
    expect(job.tessellation.linear).toBe(0.01);
    expect(job.limits.incidenceEntry).toBeCloseTo(Math.PI / 2, 15);
    expect(job.limits.clipped).toBeCloseTo(0.04, 15);
    expect(job.limits.headTurn).toBeCloseTo(Math.PI, 15);
    expect(job.optics.wavelength).toBeCloseTo(0.00098, 15);
    expect(job.optics.polarisation).toEqual({ angle: Math.PI / 2 });
    expect(job.limits.lineEnergy).toBeCloseTo(0.1, 15);
    expect(job.seams[0]).toMatchObject({
      name: 'seam-1',
      width: 2,
      runIn: 10,
      overlap: 8,
      ramp: 3,
      spacing: 0.5,
      chord: 0,
    });
    expect(job.seams[0]?.head).toEqual({
      standoff: 150,
      defocus: 0,
      axis: 'joint-normal',
      lead: 0,
      tilt: 0,
      relax: 0,
      turn: 'constant',
    });
    expect(job.seams[0]?.select).toEqual({
      kind: 'edge',
      body: 'tub',
      near: [40, 0, 20],
      follow: 'tangent',
      faceNear: null,
    });
  });

  it('lets a seam override head and process, and only what it names', () => {
    const job = read({
      ...base(),
      head: { standoff_mm: 100, lead_deg: 180 / 36 },
      seams: [{ ...base().seams[0], head: { standoff_mm: 120 }, process: { speed_mm_s: 20 } }],
    });
    expect(job.seams[0]?.head.standoff).toBe(120);
    expect(job.seams[0]?.head.lead).toBeCloseTo(Math.PI / 36, 15);
    expect(job.seams[0]?.process).toMatchObject({ speed: 20, lineEnergy: 0.4 });
  });

  it('makes a direction of the beam axis a unit vector', () => {
    const job = read({ ...base(), head: { axis: [0, 3, -4] } });
    expect(job.seams[0]?.head.axis).toEqual([0, 0.6, -0.8]);
  });

  it("lets the job's materials change those of the catalogue and add own ones", () => {
    const job = read({
      ...base(),
      materials: { clear: { index: 1.6 }, own: { index: { value: 1.5, source: 'data sheet', mark: 'seen' } } },
    });
    expect(job.materials.get('clear')).toMatchObject({ index: 1.6, transmittance: { value: 0.88, thickness: 3 } });
    expect(job.materials.get('own')).toMatchObject({ index: 1.5 });
  });

  it('takes a byte order mark in front', () => {
    expect(parseJobFile(`\ufeff${JSON.stringify(base())}`, NAME).format).toBe('raythread-job/1');
  });

  it.each<[string, object, string, string]>([
    ['an unknown key', { foo: 1 }, 'job-key-unknown', NAME],
    ['an unknown key deep down', { limits: { layer: 3 } }, 'job-key-unknown', `${NAME}#/limits`],
    ['a key with a slash', { materials: { 'a/b~c': { index: 'x' } } }, 'job-value', `${NAME}#/materials/a~1b~0c/index`],
    ['no speed', { process: { line_energy_J_mm: 1 } }, 'job-key-missing', `${NAME}#/process/speed_mm_s`],
    [
      'a speed of zero',
      { process: { speed_mm_s: 0, line_energy_J_mm: 1 } },
      'job-value',
      `${NAME}#/process/speed_mm_s`,
    ],
    [
      'a negative speed',
      { process: { speed_mm_s: -5, line_energy_J_mm: 1 } },
      'job-value',
      `${NAME}#/process/speed_mm_s`,
    ],
    ['a point of two numbers', { placement: { position_mm: [1, 2] } }, 'job-value', `${NAME}#/placement/position_mm`],
    ['no parts', { parts: [] }, 'job-value', `${NAME}#/parts`],
    ['another format', { format: 'raythread-job/9' }, 'job-value', `${NAME}#/format`],
    [
      'a transmittance over 1',
      { materials: { clear: { transmittance: { value: 1.2, thickness_mm: 3 } } } },
      'job-value',
      `${NAME}#/materials/clear/transmittance/value`,
    ],
    ['a selection of no known kind', { seams: [{ select: { line: 1 } }] }, 'job-value', `${NAME}#/seams/0/select`],
    [
      'a selection with a wrong key',
      { seams: [{ select: { band: { body: 'tub', near_mm: [0, 0, 0], to: 1 } } }] },
      'job-key-unknown',
      `${NAME}#/seams/0/select/band`,
    ],
    [
      'a source that emits nothing at its least power',
      { optics: { ...ownOptics, power_threshold_W: 6 } },
      'optics-threshold',
      `${NAME}#/optics`,
    ],
    [
      'a power law with no room for speed',
      { optics: { ...ownOptics, power_offset_W: 120 } },
      'optics-offset',
      `${NAME}#/optics`,
    ],
    [
      'a lag without end',
      { optics: { ...ownOptics, power_lag_ms: 5000 } },
      'job-value',
      `${NAME}#/optics/power_lag_ms`,
    ],
    ['a band of no width', { limits: { line_energy_pct: 0 } }, 'job-value', `${NAME}#/limits/line_energy_pct`],
    ['an arm nobody knows', { arm: 'long-arm' }, 'arm-unknown', `${NAME}#/arm`],
    ['a head nobody knows', { head: { mount: 'big-head' } }, 'head-unknown', `${NAME}#/head/mount`],
    [
      'a home posture of five axes',
      { arm: 'six-axis-900', travel: { home_deg: [0, 0, 0, 0, 0] } },
      'arm-axes',
      `${NAME}#/travel/home_deg`,
    ],
    ['an arm as a list', { arm: [] }, 'job-value', `${NAME}#/arm`],
    [
      'an arm without a payload',
      { arm: { ...ownArm, payload_kg: undefined } },
      'job-key-missing',
      `${NAME}#/arm/payload_kg`,
    ],
    ['optics nobody knows', { optics: 'sunlight' }, 'optics-unknown', `${NAME}#/optics`],
    ['a beam axis without a direction', { head: { axis: [0, 0, 0] } }, 'axis-zero', `${NAME}#/seams/0`],
    [
      'two seams of one name',
      {
        seams: [
          { ...base().seams[0], name: 'rim' },
          { ...base().seams[0], name: 'rim' },
        ],
      },
      'seam-name-twice',
      `${NAME}#/seams/1`,
    ],
    ['no absorbing part', { parts: [base().parts[0]] }, 'no-absorbing-part', `${NAME}#/parts`],
    [
      'an STL without a unit',
      { parts: [...base().parts, { file: 'clamp.stl', role: 'tooling' }] },
      'unit-missing',
      `${NAME}#/parts/2`,
    ],
    ['a STEP with a unit', { parts: [{ ...base().parts[1], unit: 'mm' }] }, 'unit-unneeded', `${NAME}#/parts/0`],
    [
      'a layer beside a transmissive part',
      { layer: { thickness_mm: 2, material: 'clear' } },
      'layer-twice',
      `${NAME}#/layer`,
    ],
    [
      'a transmissive part without a material',
      { parts: [{ file: 'pod.step', role: 'transmissive' }, base().parts[1]] },
      'material-missing',
      `${NAME}#/parts/0/material`,
    ],
    [
      'a material nobody knows',
      { parts: [base().parts[0], { ...base().parts[1], material: 'cheese' }] },
      'material-unknown',
      `${NAME}#/parts/1/material`,
    ],
    [
      'a transmissive part of an opaque material',
      { parts: [{ ...base().parts[0], material: 'black' }, base().parts[1]] },
      'material-incomplete',
      `${NAME}#/parts/0/material`,
    ],
  ])('refuses %s, and says where', (_, change, code, place) => {
    const error = errorOf(() => read({ ...base(), ...change }));
    expect([error.code, error.place]).toEqual([code, place]);
    expect(error.hint.length).toBeGreaterThan(5);
    expect(error.message).toBe(`${code}: ${error.sentence} (${place}) - ${error.hint}`);
  });

  it('takes an arm with its defaults, by id or written out, and none without one', () => {
    expect(read(base()).carrier).toBeNull();
    const byId = read({ ...base(), arm: 'six-axis-900' });
    expect(byId.carrier?.head.id).toBe('angled-head');
    expect(byId.carrier?.clearance).toBe(10);
    expect(byId.carrier?.jointMargin).toBeCloseTo((5 * Math.PI) / 180, 12);
    expect(byId.approach).toBe(50);
    const own = read({
      ...base(),
      arm: ownArm,
      head: { mount: 'straight-head' },
      travel: { home_deg: [0, 0, 80, 0, 45, 0], approach_mm: 30 },
      limits: { clearance_mm: 25 },
    });
    expect(own.carrier?.arm).toMatchObject({ id: 'own', payload: 6 });
    expect(own.carrier?.arm.axes[3].speed).toBeCloseTo((200 * Math.PI) / 180, 12);
    expect(own.carrier?.arm.home[2]).toBeCloseTo((80 * Math.PI) / 180, 12);
    expect([own.carrier?.head.id, own.carrier?.clearance, own.approach]).toEqual(['straight-head', 25, 30]);
  });

  it('writes nothing of an arm into a job that names none', () => {
    const file = parseJobFile(JSON.stringify(base()), NAME);
    expect(JSON.stringify(file)).not.toMatch(/mount|travel|clearance|joint_margin|singularity|turn_rate/);
  });

  it.each([
    ['', 'job-json'],
    ['{"format": "raythread-job/1",', 'job-json'],
    ['[]', 'job-value'],
    ['null', 'job-value'],
    ['\u0000\u0001', 'job-json'],
  ])('refuses the text %j', (text, code) => {
    expect(errorOf(() => parseJobFile(text, NAME)).code).toBe(code);
  });

  it('names the line of a JSON error in a long file', () => {
    const text = JSON.stringify(base(), null, 2).replace('"process"', 'process');
    const line = text.slice(0, text.indexOf('process')).split('\n').length;
    expect(errorOf(() => parseJobFile(text, NAME)).place).toBe(`${NAME}:${line}`);
  });
});

describe('optics inside a job', () => {
  const withOptics = (waist: number) => ({
    format: 'raythread-job/1',
    parts: [{ file: 'pod.step', role: 'absorbing' }],
    seams: [{ select: { edges: ['pod:0-1'] } }],
    optics: {
      wavelength_nm: 1000,
      beam_quality_m2: 100,
      waist_mm: waist,
      profile: 'gaussian',
      exit_radius_mm: 10,
      polarisation: 'none',
      power_min_W: 1,
      power_max_W: 100,
    },
    process: { speed_mm_s: 50, line_energy_J_mm: 0.3 },
  });
  const read = (waist: number) => readJob(parseJobFile(JSON.stringify(withOptics(waist)), NAME), catalogue, NAME);

  // M2 lambda / (pi w0), ISO 11146-1: 100 x 0.001 / pi = 0.0318 mm a mm for a waist of 1 mm.
  it('that open too fast to be a beam are refused', () => {
    expect(read(0.107).optics.waist).toBe(0.107);
    expect(() => read(0.106)).toThrow(/^optics-divergence: the beam opens by 0\.300 mm a mm/);
  });
});
