// The catalogue of optics, materials, arms and heads that a job refers to by id.
import type { Arm } from './arm.ts';
import { parseArms } from './arm-file.ts';
import {
  type InlineMaterial,
  type InlineOptics,
  type MaterialCatalogueFile,
  materialCatalogueSchema,
  type OpticsCatalogueFile,
  opticsCatalogueSchema,
  plain,
} from './catalogue-file.ts';
import type { Head } from './head.ts';
import { parseHeads } from './head-file.ts';
import { InputError } from './input-error.ts';
import type { Material } from './material.ts';
import type { Optics } from './optics.ts';
import { schemaError } from './schema-error.ts';
import { RAD_PER_DEG, S_PER_MS } from './units.ts';

export interface Catalogue {
  readonly optics: ReadonlyMap<string, Optics>;
  readonly materials: ReadonlyMap<string, Material>;
  readonly arms: ReadonlyMap<string, Arm>;
  readonly heads: ReadonlyMap<string, Head>;
}

const MM_PER_NM = 1e-6;

/** Half angle, as a slope, up to which a beam is described by waist and M2 (ISO 11146-1 is for small divergence; assumed). */
const STEEPEST = 0.3;

/** Parses the data files; throws InputError `optics-*`, `materials-*`, `arms-*`, `arm-*` or `heads-*` with the place. */
export function parseCatalogue(
  opticsJson: unknown,
  materialsJson: unknown,
  armsJson: unknown,
  headsJson: unknown,
): Catalogue {
  const optics = opticsCatalogueSchema.safeParse(opticsJson);
  if (!optics.success) throw schemaError(optics.error, 'optics.json', 'optics');
  const materials = materialCatalogueSchema.safeParse(materialsJson);
  if (!materials.success) throw schemaError(materials.error, 'materials.json', 'materials');
  return {
    optics: new Map(optics.data.optics.map((entry) => [entry.id, readOptics(entry, entry.id, 'optics.json')])),
    materials: new Map(materials.data.materials.map((entry) => [entry.id, readMaterial(entry, entry.id)])),
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

type MaterialFile = InlineMaterial | MaterialCatalogueFile['materials'][number];

/** A material with units converted; what the file leaves out comes from `base`. A material without an index has NaN. */
export function readMaterial(file: MaterialFile, id: string, base?: Material): Material {
  const transmittance = file.transmittance === undefined ? undefined : plain(file.transmittance);
  const known =
    transmittance === undefined
      ? base?.transmittance
      : { value: transmittance.value, thickness: transmittance.thickness_mm };
  return {
    id,
    title: file.title ?? base?.title ?? id,
    index: file.index === undefined ? (base?.index ?? Number.NaN) : plain(file.index),
    scattering: file.scattering === undefined ? (base?.scattering ?? false) : plain(file.scattering),
    ...(known === undefined ? {} : { transmittance: known }),
  };
}
