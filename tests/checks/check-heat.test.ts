// Findings about heat and materials: each from a record or a job that is wrong in one way only.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { checkHeat } from '../../src/checks/check-heat.ts';
import { checkSuitability } from '../../src/checks/check-suitability.ts';
import { lossTemperature } from '../../src/heat/decomposition.ts';
import { parseCatalogue } from '../../src/model/catalogue.ts';
import type { Job } from '../../src/model/job.ts';
import type { Material } from '../../src/model/material.ts';
import { pairKey } from '../../src/model/material.ts';
import { hairpin, heatOf } from '../heat/heat-case.ts';
import { circlePath, linePath, plainAim, SEAM } from '../motion/plain-seam.ts';
import { plainJob } from './plain-job.ts';

const json = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../shared/data/${name}.json`, import.meta.url), 'utf8'));
const file = json('materials');
const catalogue = parseCatalogue(json('optics'), file, json('arms'), json('heads'), json('pairs'));

const narrow = { ...SEAM, width: 0.6 };
const codes = (found: readonly { code: string }[]) => found.map(({ code }) => code);

describe('heat of a seam', () => {
  const findings = async (changes: Parameters<typeof heatOf>[1], path = linePath(), seam = narrow) => {
    const { heat, timing } = await heatOf(path, changes);
    return checkHeat(path, timing, heat, seam);
  };

  test('a good one has nothing to say but that the ends of an open seam ramp up', async () => {
    const found = await findings({ process: { lineEnergy: 0.26 }, ramp: 0 });
    expect(codes(found).filter((code) => code === 'joint-spoilt')).toEqual([]);
    for (const { code, from, to } of found) {
      expect(['joint-cold', 'seam-narrow']).toContain(code);
      expect(to < 3 || from > 97, `${code} ${from} ${to}`).toBe(true);
    }
  });

  test('too little energy: cold all along', async () => {
    const [found] = await findings({ process: { lineEnergy: 0.1 } });
    expect(found).toMatchObject({ code: 'joint-cold', severity: 'blocks', from: 0, to: 100, limit: 230, unit: 'degC' });
  });

  test('too much: spoilt; and where the light is shadowed, cold there only', async () => {
    expect(codes(await findings({ process: { lineEnergy: 0.6 } }))).toContain('joint-spoilt');
    const path = linePath();
    const delivered = plainAim(path).delivered.map((share, i) => (i >= 120 && i <= 140 ? 0.2 : share));
    const found = await findings({ process: { lineEnergy: 0.26 }, aim: { delivered } });
    const cold = found.find(({ code, from }) => code === 'joint-cold' && from > 10);
    expect(cold?.from).toBeGreaterThan(48);
    expect(cold?.to).toBeLessThan(62);
  });

  test('a seam wanted wider than it melts', async () => {
    const found = await findings({ process: { lineEnergy: 0.26 } }, linePath(), SEAM);
    expect(found.find(({ code, to }) => code === 'seam-narrow' && to > 50)).toMatchObject({
      severity: 'warns',
      limit: 2,
    });
  });

  test('unknown where the delivered share is', async () => {
    const path = linePath();
    const delivered = plainAim(path).delivered.map((share, i) => (i === 120 ? Number.NaN : share));
    expect(codes(await findings({ process: { lineEnergy: 0.26 }, aim: { delivered } }))).toContain('heat-row-unknown');
  });

  test('a closing weld that stays cold, though the first pass was hot', async () => {
    const path = circlePath(200);
    const weak = await findings(
      {
        process: { lineEnergy: 0.26 },
        timing: (timing) => ({
          ...timing,
          arrivingPower: timing.arrivingPower.map((watt, row) => (path.rows.s[row] >= path.length ? 0.3 * watt : watt)),
        }),
      },
      path,
    );
    expect(codes(weak)).toContain('closing-cold');
    // What the first pass ramped up over, the second was to bond: that is the leak, and nothing else.
    const cold = weak.filter(({ code }) => code === 'joint-cold');
    expect(cold).toHaveLength(1);
    expect(cold[0].to - cold[0].from).toBeLessThan(4);
  });

  test('legs that soften each other', async () => {
    const close = await findings({ process: { lineEnergy: 0.26 } }, hairpin(15, 0.9));
    expect(close.find(({ code }) => code === 'passes-close')).toMatchObject({ severity: 'warns', limit: 147 });
    expect(codes(await findings({ process: { lineEnergy: 0.26 } }, hairpin(15, 8)))).not.toContain('passes-close');
  });
});

describe('suitability', () => {
  const material = (id: string): Material => {
    const found = catalogue.materials.get(id);
    if (found === undefined) throw new Error(id);
    return found;
  };
  const job = (absorber: Material, layer: Material, more: Partial<Job> = {}): Job =>
    plainJob({
      parts: [
        { file: 'pod.step', body: 'lid', role: 'transmissive', material: 'above', unitScale: 0 },
        { file: 'pod.step', body: 'tub', role: 'absorbing', material: 'below', unitScale: 0 },
      ],
      materials: new Map([
        ['above', { ...layer, id: 'above' }],
        ['below', { ...absorber, id: 'below' }],
      ]),
      pairs: catalogue.pairs,
      ...more,
    });
  const said = (absorber: Material, layer: Material, more: Partial<Job> = {}) =>
    codes(checkSuitability(job(absorber, layer, more)));

  test('PC on PC has nothing to say', () => {
    expect(said(material('pc-carbon-black'), material('pc-clear'))).toEqual([]);
  });

  test('pairs: some grades, reported, not known, soft', () => {
    expect(said(material('pmma-carbon-black'), material('pc-clear'))).toEqual(['pair-some-grades']);
    expect(said(material('pp-carbon-black'), material('pe-hd-natural'))).toContain('pair-some-grades');
    expect(said(material('pa66-carbon-black'), material('pp-natural'))).toContain('pair-not-known');
    expect(said(material('pp-carbon-black'), material('tpe-natural'))).toEqual([
      'scattering-unknown',
      'pair-not-known',
      'pair-hard-soft',
    ]);
    expect(said(material('tpe-carbon-black'), material('tpe-natural'))).toContain('pair-soft-soft');
  });

  test('melting ranges that do not meet, or hardly', () => {
    const warm = material('pc-clear').thermal;
    if (warm === undefined) throw new Error('no thermal data');
    const early = { ...material('pc-clear'), thermal: { ...warm, weldOnset: 150, melting: 120, decomposition: 220 } };
    expect(said(material('pc-carbon-black'), early)).toContain('melting-apart');
    const hardly = { ...early, thermal: { ...early.thermal, decomposition: 250 } };
    expect(said(material('pc-carbon-black'), hardly)).toContain('melting-narrow');
  });

  test('an absorber that does not absorb, or of which nothing is known', () => {
    expect(said({ ...material('pc-carbon-black'), absorption: 0.1 }, material('pc-clear'))).toEqual([
      'absorber-transmits',
    ]);
    expect(said(material('pc-clear'), material('pc-clear'))).toContain('absorber-transmits');
    const { thermal: _, absorption: __, ...bare } = material('pc-carbon-black');
    expect(said(bare, material('pc-clear'))).toContain('heat-unknown');
  });

  test('a layer that takes too much: the thickness that still delivers', () => {
    const found = checkSuitability(job(material('pbt-carbon-black'), material('pbt-gf30-natural')));
    const starved = found.find(({ code }) => code === 'layer-starves');
    // (1 - R) (T / (1 - R)^2)^(d / 2 mm) = 0.35 J/mm x 50 mm/s / 60 W.
    const r = (0.55 / 2.55) ** 2;
    const d = (2 * Math.log((0.35 * 50) / 60 / (1 - r))) / Math.log(0.2 / (1 - r) ** 2);
    expect(starved?.value).toBeCloseTo(d, 9);
    // A stated layer is held against its own thickness.
    const stated = (thickness: number) =>
      said(material('pbt-carbon-black'), material('pbt-gf30-natural'), { layer: { thickness, material: 'above' } });
    expect(stated(d - 0.01)).not.toContain('layer-starves');
    expect(stated(d + 0.01)).toContain('layer-starves');
  });

  test('a scattering layer whose widening of the spot is not known is noted; given, or none, it is not', () => {
    const milky = material('pa6-natural');
    const quiet = (layer: Material) => said(material('pa6-carbon-black'), layer);
    expect(quiet(milky)).toEqual(['scattering-unknown']);
    expect(quiet({ ...milky, widening: 0.2 })).toEqual([]);
    expect(quiet({ ...milky, widening: 0 })).toEqual([]);
  });

  test('what holds at another wavelength than the laser has is noted, at the ends of the range it is not', () => {
    const at = (nm: number) => {
      const of = job(material('pc-carbon-black'), material('pc-clear'));
      return codes(checkSuitability({ ...of, optics: { ...of.optics, wavelength: nm * 1e-6 } }));
    };
    expect(at(808)).toEqual(['wavelength-other', 'wavelength-other']);
    for (const nm of [940, 980, 1000]) expect(at(nm)).toEqual([]);
    expect(at(1070)).toEqual(['wavelength-other', 'wavelength-other']);
  });

  test('a wanted colour is a caution', () => {
    expect(said(material('pc-carbon-black'), { ...material('pc-clear'), colour: 'deep red' })).toEqual([
      'colour-caution',
    ]);
  });
});

describe('data of the catalogue', () => {
  const THERMAL = ['density_kg_m3', 'heat_J_gK', 'conductivity_W_mK', 'melting_C', 'weld_onset_C', 'decomposition_C'];

  test('holds the plastics that are welded, each with a layer and an absorber', () => {
    const polymers = [
      'PC',
      'PMMA',
      'PS',
      'COC',
      'ABS',
      'ASA',
      'PA6',
      'PA66',
      'PA6-GF30',
      'PA66-GF30',
      'PP',
      'PE-HD',
      'POM',
      'PBT',
      'PBT-GF30',
      'TPE',
    ];
    const all = [...catalogue.materials.values()];
    for (const polymer of polymers) {
      const of = all.filter((each) => each.polymer === polymer && each.thermal !== undefined);
      expect(
        of.some(({ transmittance }) => transmittance !== undefined),
        polymer,
      ).toBe(true);
      expect(
        of.some(({ absorption }) => absorption !== undefined),
        polymer,
      ).toBe(true);
      expect(catalogue.pairs.get(pairKey(polymer, polymer))?.verdict).toBe('joins');
    }
  });

  test('every value has a source and a mark, every number a range that holds it', () => {
    let numbers = 0;
    for (const record of [...file.polymers, ...file.materials]) {
      for (const [key, said] of Object.entries(record)) {
        if (typeof said === 'string') continue;
        const { value, source, mark, range } = said as {
          value: unknown;
          source: string;
          mark: string;
          range: number[];
        };
        expect(source.length, `${record.id} ${key}`).toBeGreaterThan(5);
        expect(['seen', 'memory', 'assumed']).toContain(mark);
        const { value: share, a_1_s } = value as { value?: number; a_1_s?: number };
        const number = share ?? a_1_s ?? value;
        // What is left over is no number, or is a range itself.
        if (typeof number !== 'number') {
          expect(['structure', 'scattering', 'wavelengths_nm']).toContain(key);
          continue;
        }
        expect(number >= range[0] && number <= range[1], `${record.id} ${key}`).toBe(true);
        numbers++;
      }
    }
    for (const polymer of file.polymers) for (const key of THERMAL) expect(polymer[key], key).toBeDefined();
    expect(numbers).toBeGreaterThan(180);
  });

  // Source: nitrogen kinetics in the validation inputs FAA_Polymers of the open fire model FDS (seen): 1 % lost in 100 ms.
  test('decomposition limits are those of the kinetics, where these are known', () => {
    let checked = 0;
    for (const polymer of file.polymers) {
      if (polymer.decomposition_rate === undefined) continue;
      const { value, range } = polymer.decomposition_rate;
      const limitAt = (rate: number) => lossTemperature({ rate, energy: value.e_J_mol }, 0.1);
      expect(Math.abs(limitAt(value.a_1_s) - polymer.decomposition_C.value)).toBeLessThan(1);
      // Faster decay, lower limit: the ends of both ranges belong together.
      const [slowest, fastest] = range;
      expect(Math.abs(limitAt(slowest) - polymer.decomposition_C.range[1])).toBeLessThan(1);
      expect(Math.abs(limitAt(fastest) - polymer.decomposition_C.range[0])).toBeLessThan(1);
      checked++;
    }
    expect(checked).toBeGreaterThan(8);
  });

  // Source: 7.89 m2/g at 550 nm, exponent 1.03 (You et al., Environ. Sci. Technol. 50 (2016) 7982, seen): 52 (PC, PMMA), 49 (PA6), 39 (PP)
  // 1/mm per weight percent at 980 nm (computed).
  test.each([
    ['PC', 52],
    ['PMMA', 52],
    ['PA6', 49],
    ['PP', 39],
  ])('a percent of carbon black in %s absorbs', (id, value) => {
    const polymer = file.polymers.find((each: { id: string }) => each.id === id);
    expect(Math.abs(polymer.black_1_mm_pct.value - value)).toBeLessThan(1);
  });
});
