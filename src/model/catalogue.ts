// The catalogue of optics, materials, polymers, pairs, arms and heads that a job refers to by id.
import type { Arm } from './arm.ts';
import { parseArms } from './arm-file.ts';
import {
  type InlineMaterial,
  type InlineOptics,
  type MaterialCatalogueFile,
  materialCatalogueSchema,
  type OpticsCatalogueFile,
  opticsCatalogueSchema,
  pairCatalogueSchema,
  plain,
} from './catalogue-file.ts';
import type { Head } from './head.ts';
import { parseHeads } from './head-file.ts';
import { InputError } from './input-error.ts';
import { type Material, type PairTable, pairKey, type Thermal } from './material.ts';
import type { Optics } from './optics.ts';
import { schemaError } from './schema-error.ts';
import { RAD_PER_DEG, S_PER_MS } from './units.ts';

export interface Catalogue {
  readonly optics: ReadonlyMap<string, Optics>;
  readonly materials: ReadonlyMap<string, Material>;
  readonly polymers: ReadonlyMap<string, PolymerFile>;
  readonly pairs: PairTable;
  readonly arms: ReadonlyMap<string, Arm>;
  readonly heads: ReadonlyMap<string, Head>;
}

/** A polymer of the catalogue, as it is written. */
export type PolymerFile = MaterialCatalogueFile['polymers'][number];

const MM_PER_NM = 1e-6;
const G_MM3_PER_KG_M3 = 1e-6;
const W_MMK_PER_W_MK = 1e-3;

/** Half angle, as a slope, up to which a beam is described by waist and M2 (ISO 11146-1 is for small divergence; assumed). */
const STEEPEST = 0.3;

/** Parses the data files; throws InputError `optics-*`, `materials-*`, `material-*`, `arms-*`, `arm-*`, `heads-*` or `pairs-*` with the place. */
export function parseCatalogue(
  opticsJson: unknown,
  materialsJson: unknown,
  armsJson: unknown,
  headsJson: unknown,
  pairsJson?: unknown,
): Catalogue {
  const optics = opticsCatalogueSchema.safeParse(opticsJson);
  if (!optics.success) throw schemaError(optics.error, 'optics.json', 'optics');
  const materials = materialCatalogueSchema.safeParse(materialsJson);
  if (!materials.success) throw schemaError(materials.error, 'materials.json', 'materials');
  const polymers = new Map(materials.data.polymers.map((entry) => [entry.id, entry]));
  return {
    optics: new Map(optics.data.optics.map((entry) => [entry.id, readOptics(entry, entry.id, 'optics.json')])),
    materials: new Map(
      materials.data.materials.map((entry) => [entry.id, readMaterial(entry, entry.id, 'materials.json', polymers)]),
    ),
    polymers,
    pairs: readPairs(pairsJson),
    arms: parseArms(armsJson),
    heads: parseHeads(headsJson),
  };
}

/** Optics with units converted; `place` goes into the error when two values contradict each other. */
export function readOptics(
  file: InlineOptics | OpticsCatalogueFile['optics'][number],
  id: string,
  place: string,
): Optics {
  const polarisation = plain(file.polarisation);
  const optics: Optics = {
    id,
    title: file.title ?? id,
    wavelength: plain(file.wavelength_nm) * MM_PER_NM,
    beamQuality: plain(file.beam_quality_m2),
    waist: plain(file.waist_mm),
    profile: plain(file.profile),
    exitRadius: plain(file.exit_radius_mm),
    polarisation: polarisation === 'none' ? 'none' : { angle: polarisation.angle_deg * RAD_PER_DEG },
    powerMin: plain(file.power_min_W),
    powerMax: plain(file.power_max_W),
    powerOffset: plain(file.power_offset_W ?? 0),
    powerSlope: plain(file.power_slope ?? 1),
    powerThreshold: plain(file.power_threshold_W ?? 0),
    powerLag: plain(file.power_lag_ms ?? 0) * S_PER_MS,
    powerLead: plain(file.power_lead_ms ?? 0) * S_PER_MS,
    powerUpdate: plain(file.power_update_ms ?? 0) * S_PER_MS,
  };
  checkOptics(optics, place);
  return optics;
}

function checkOptics(optics: Optics, place: string): void {
  if (optics.powerMin >= optics.powerMax) {
    throw new InputError(
      'optics-power-range',
      `the smallest power, ${optics.powerMin} W, is not below the largest, ${optics.powerMax} W`,
      place,
      'give power_min_W below power_max_W',
    );
  }
  if (optics.powerThreshold > optics.powerMin) {
    throw new InputError(
      'optics-threshold',
      `the source cannot hold its smallest power, ${optics.powerMin} W: asked for less than ${optics.powerThreshold} W it emits nothing`,
      place,
      'give power_min_W no less than power_threshold_W',
    );
  }
  if (optics.powerOffset >= optics.powerMax) {
    throw new InputError(
      'optics-offset',
      `the power asked for at a standstill, ${optics.powerOffset} W, is not below the largest, ${optics.powerMax} W`,
      place,
      'give power_offset_W below power_max_W',
    );
  }
  const slope = (optics.beamQuality * optics.wavelength) / (Math.PI * optics.waist);
  if (slope > STEEPEST) {
    throw new InputError(
      'optics-divergence',
      `the beam opens by ${slope.toPrecision(3)} mm a mm from its waist, more than ${STEEPEST}`,
      place,
      'check waist_mm, beam_quality_m2 and wavelength_nm',
    );
  }
}

function readPairs(json: unknown): PairTable {
  if (json === undefined) return new Map();
  const file = pairCatalogueSchema.safeParse(json);
  if (!file.success) throw schemaError(file.error, 'pairs.json', 'pairs');
  return new Map(file.data.pairs.map(({ polymers: [a, b], verdict, source }) => [pairKey(a, b), { verdict, source }]));
}

type MaterialFile = InlineMaterial | MaterialCatalogueFile['materials'][number];

/**
 * A material with units converted; what the file leaves out comes from `base`, then from its polymer. A material without an
 * index has NaN. Throws InputError `polymer-unknown`, `material-temperatures`.
 */
export function readMaterial(
  file: MaterialFile,
  id: string,
  place: string,
  polymers: ReadonlyMap<string, PolymerFile>,
  base?: Material,
): Material {
  const polymer = file.polymer ?? base?.polymer;
  const ofPolymer = polymer === undefined ? undefined : polymers.get(polymer);
  if (file.polymer !== undefined && ofPolymer === undefined) {
    const known = [...polymers.keys()].join(', ');
    throw new InputError('polymer-unknown', `no polymer is called "${file.polymer}"`, place, `known are ${known}`);
  }
  const changesPolymer = file.polymer !== undefined && file.polymer !== base?.polymer;
  const thermal = readThermal(file, changesPolymer ? undefined : base?.thermal, ofPolymer);
  if (thermal !== undefined) checkTemperatures(thermal, id, place);
  const { transmittance, carbon_black_pct, absorption_1_mm } = file;
  const black = carbon_black_pct === undefined ? Number.NaN : plain(carbon_black_pct) * blackness(file, ofPolymer);
  const { id: _id, title: _title, ...kept } = base ?? { id, title: id };
  const own: Partial<Material> = {
    ...(transmittance && { transmittance: ofPlate(plain(transmittance)) }),
    ...(Number.isNaN(black) ? {} : { absorption: black }),
    ...(absorption_1_mm !== undefined && { absorption: plain(absorption_1_mm) }),
    ...(file.wavelengths_nm !== undefined && { wavelengths: inMillimetres(plain(file.wavelengths_nm)) }),
    ...(file.widening_mm_mm !== undefined && { widening: plain(file.widening_mm_mm) }),
    ...(file.layer_absorption_1_mm !== undefined && { layerAbsorption: plain(file.layer_absorption_1_mm) }),
    ...(polymer !== undefined && { polymer }),
    ...(thermal !== undefined && { thermal }),
    ...(file.colour !== undefined && { colour: plain(file.colour) }),
  };
  return {
    ...kept,
    ...own,
    id,
    title: file.title ?? base?.title ?? id,
    index: file.index === undefined ? (base?.index ?? Number.NaN) : plain(file.index),
    scattering: file.scattering === undefined ? (base?.scattering ?? false) : plain(file.scattering),
  };
}

function inMillimetres([short, long]: readonly [number, number]): readonly [number, number] {
  return [short * MM_PER_NM, long * MM_PER_NM];
}

function ofPlate({ value, thickness_mm }: { value: number; thickness_mm: number }) {
  return { value, thickness: thickness_mm };
}

/** Absorption coefficient per weight percent of carbon black, 1/mm; NaN where it is not known. */
function blackness(file: MaterialFile, polymer: PolymerFile | undefined): number {
  const value = file.black_1_mm_pct ?? polymer?.black_1_mm_pct;
  return value === undefined ? Number.NaN : plain(value);
}

/** Own values before those of `base`, those before the polymer's; undefined where one that is needed is missing. */
function readThermal(
  file: MaterialFile,
  base: Thermal | undefined,
  polymer: PolymerFile | undefined,
): Thermal | undefined {
  type Key =
    | 'structure'
    | 'density_kg_m3'
    | 'heat_J_gK'
    | 'conductivity_W_mK'
    | 'melting_C'
    | 'weld_onset_C'
    | 'decomposition_C';
  const known = <K extends Key>(key: K): PolymerFile[K]['value'] | undefined => {
    const value = file[key] ?? (base === undefined ? polymer?.[key] : undefined);
    return value === undefined ? undefined : plain<PolymerFile[K]['value']>(value as PolymerFile[K]);
  };
  const density = known('density_kg_m3');
  const conductivity = known('conductivity_W_mK');
  const rate = file.decomposition_rate ?? (base === undefined ? polymer?.decomposition_rate : undefined);
  const latent = file.latent_J_g ?? (base === undefined ? polymer?.latent_J_g : undefined);
  const kinetics = rate === undefined ? (base?.kinetics ?? null) : ofKinetics(plain(rate));
  const thermal = {
    structure: known('structure') ?? base?.structure,
    density: density === undefined ? base?.density : density * G_MM3_PER_KG_M3,
    specificHeat: known('heat_J_gK') ?? base?.specificHeat,
    conductivity: conductivity === undefined ? base?.conductivity : conductivity * W_MMK_PER_W_MK,
    melting: known('melting_C') ?? base?.melting,
    weldOnset: known('weld_onset_C') ?? base?.weldOnset,
    latent: latent === undefined ? (base?.latent ?? 0) : plain(latent),
    decomposition: known('decomposition_C') ?? base?.decomposition,
    kinetics,
  };
  return Object.values(thermal).includes(undefined) ? undefined : (thermal as Thermal);
}

function ofKinetics({ a_1_s, e_J_mol }: { a_1_s: number; e_J_mol: number }) {
  return { rate: a_1_s, energy: e_J_mol };
}

function checkTemperatures({ melting, weldOnset, decomposition }: Thermal, id: string, place: string): void {
  if (melting <= weldOnset && weldOnset < decomposition) return;
  throw new InputError(
    'material-temperatures',
    `the temperatures of "${id}" contradict each other: melting ${melting}, weld onset ${weldOnset}, decomposition ${decomposition} degC`,
    place,
    'give melting_C at most weld_onset_C, and weld_onset_C below decomposition_C',
  );
}
