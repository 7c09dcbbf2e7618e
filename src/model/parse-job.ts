// Reads a job file: text -> JobFile (as written, defaults filled in) -> Job (units inside, references resolved).
import { type ChainWithLimits, readArm } from './arm-file.ts';
import { type Catalogue, readMaterial, readOptics } from './catalogue.ts';
import type { Head } from './head.ts';
import { readHead as readMount } from './head-file.ts';
import { InputError } from './input-error.ts';
import type { Carrier, Job, JobPart, Limits } from './job.ts';
import { ARM_DEFAULTS, type JobFile, jobFileSchema } from './job-file.ts';
import type { Material } from './material.ts';
import type { Optics } from './optics.ts';
import { parseJson } from './parse-json.ts';
import type { PlacementSearch, Range } from './placement.ts';
import { readSeams } from './read-seams.ts';
import { schemaError } from './schema-error.ts';
import { FRACTION_PER_PERCENT, RAD_PER_DEG } from './units.ts';

/** Millimetres in one unit of a mesh file. */
export const MM_PER_UNIT = { mm: 1, cm: 10, m: 1000, in: 25.4 } as const;

/**
 * Parses the text of a job file; throws InputError `job-json`, `job-key-unknown`, `job-key-twice`, `job-key-missing`,
 * `job-value`.
 */
export function parseJobFile(text: string, place: string): JobFile {
  const result = jobFileSchema.safeParse(parseJson(text, place, 'job'));
  if (!result.success) throw schemaError(result.error, place, 'job');
  return result.data;
}

/** The URDF file that the job's arm is described in; null where there is none. */
export function urdfOf({ arm }: JobFile): { file: string; root: string | undefined; tip: string | undefined } | null {
  if (arm === null || typeof arm === 'string' || arm.model.kind !== 'urdf') return null;
  return { file: arm.model.file, root: arm.model.root, tip: arm.model.tip };
}

/**
 * Converts units and resolves references; throws InputError for what contradicts itself. `place` is the file's name, `chain`
 * what the file of `urdfOf` holds.
 */
export function readJob(file: JobFile, catalogue: Catalogue, place: string, chain: ChainWithLimits | null = null): Job {
  const materials = readMaterials(file, catalogue, place);
  const parts = file.parts.map((part, index) => readPart(part, `${place}#/parts/${index}`));
  checkParts(parts, file, materials, place);
  return {
    title: file.title,
    parts,
    tessellation: {
      linear: file.tessellation.linear_mm,
      angular: file.tessellation.angular_deg * RAD_PER_DEG,
      maxTriangles: file.tessellation.max_triangles,
    },
    placement: { position: file.placement.position_mm, rotation: inRadians(file.placement.rotation_deg) },
    search: readSearch(file, place),
    seams: readSeams(file, place),
    optics: resolveOptics(file, catalogue, place),
    layer: file.layer === undefined ? null : { thickness: file.layer.thickness_mm, material: file.layer.material },
    materials,
    pairs: catalogue.pairs,
    limits: readLimits(file.limits),
    carrier: readCarrier(file, catalogue, place, chain),
    approach: file.travel?.approach_mm ?? ARM_DEFAULTS.approach_mm,
  };
}

function readMaterials(file: JobFile, catalogue: Catalogue, place: string): ReadonlyMap<string, Material> {
  const materials = new Map(catalogue.materials);
  for (const [id, own] of Object.entries(file.materials)) {
    const at = `${place}#/materials/${id}`;
    materials.set(id, readMaterial(own, id, at, catalogue.polymers, materials.get(id)));
  }
  return materials;
}

function readPart(part: JobFile['parts'][number], place: string): JobPart {
  const isStl = /\.stl$/i.test(part.file);
  if (isStl && part.unit === undefined) {
    throw new InputError(
      'unit-missing',
      'an STL file does not know its unit',
      place,
      'add "unit": "mm", "cm", "m" or "in"',
    );
  }
  if (!isStl && part.unit !== undefined) {
    throw new InputError(
      'unit-unneeded',
      'only an STL file takes a unit; this file states its own',
      place,
      'remove "unit"',
    );
  }
  return {
    file: part.file,
    body: part.body ?? '',
    role: part.role,
    material: part.material ?? '',
    unitScale: part.unit === undefined ? 0 : MM_PER_UNIT[part.unit],
  };
}

function checkParts(
  parts: readonly JobPart[],
  file: JobFile,
  materials: ReadonlyMap<string, Material>,
  place: string,
): void {
  if (!parts.some((part) => part.role === 'absorbing')) {
    throw new InputError(
      'no-absorbing-part',
      'no part absorbs the light',
      `${place}#/parts`,
      'give one part "role": "absorbing"',
    );
  }
  const through = parts.some((part) => part.role === 'transmissive');
  if (through && file.layer !== undefined) {
    throw new InputError(
      'layer-twice',
      'a stated layer and a transmissive part contradict each other',
      `${place}#/layer`,
      'remove "layer", or the transmissive part',
    );
  }
  parts.forEach((part, index) => {
    const passed = part.role === 'transmissive' || part.role === 'clear-clamp';
    const at = `${place}#/parts/${index}/material`;
    if (passed || part.material !== '') checkMaterial(part.material, passed, materials, at);
  });
  if (file.layer !== undefined) checkMaterial(file.layer.material, true, materials, `${place}#/layer/material`);
}

function checkMaterial(id: string, passed: boolean, materials: ReadonlyMap<string, Material>, place: string): void {
  if (id === '') {
    throw new InputError(
      'material-missing',
      'a body that the beam passes needs a material',
      place,
      'name one with an index and a transmittance',
    );
  }
  const material = materials.get(id);
  if (material === undefined) {
    const known = [...materials.keys()].join(', ');
    throw new InputError(
      'material-unknown',
      `no material is called "${id}"`,
      place,
      `known are ${known}; or describe it under "materials"`,
    );
  }
  if (passed && (Number.isNaN(material.index) || material.transmittance === undefined)) {
    throw new InputError(
      'material-incomplete',
      `the material "${id}" has no index or no transmittance, and the beam passes through it`,
      place,
      'give "index" and "transmittance" under "materials"',
    );
  }
}

function resolveOptics(file: JobFile, catalogue: Catalogue, place: string): Optics {
  if (typeof file.optics !== 'string') return readOptics(file.optics, file.optics.id ?? 'own', `${place}#/optics`);
  const optics = catalogue.optics.get(file.optics);
  if (optics !== undefined) return optics;
  const known = [...catalogue.optics.keys()].join(', ');
  throw new InputError(
    'optics-unknown',
    `no optics are called "${file.optics}"`,
    `${place}#/optics`,
    `known are ${known}`,
  );
}

function readSearch({ search, placement }: JobFile, place: string): PlacementSearch | null {
  if (search === undefined) return null;
  const box = (key: 'position_mm' | 'rotation_deg', scale: number): readonly [Range, Range, Range] => {
    const still = placement[key];
    const ranges = search[key] ?? [0, 1, 2].map((k): Range => [still[k], still[k]]);
    const [first, second, third] = ranges.map(([from, to], k): Range => {
      if (from <= to) return [from * scale, to * scale];
      throw new InputError(
        'search-range',
        `the range from ${from} to ${to} runs backward`,
        `${place}#/search/${key}/${k}`,
        'give the smaller value first',
      );
    });
    return [first, second, third];
  };
  return {
    position: box('position_mm', 1),
    rotation: box('rotation_deg', RAD_PER_DEG),
    positionStep: search.step_mm,
    rotationStep: search.step_deg * RAD_PER_DEG,
    levels: search.levels,
    keep: search.keep,
  };
}

/** The arm with its head; a mount is looked up even where no arm would carry it, so that a slip in its name shows. */
function readCarrier(
  file: JobFile,
  catalogue: Catalogue,
  place: string,
  chain: ChainWithLimits | null,
): Carrier | null {
  const head = resolveMount(file, catalogue, place);
  if (file.arm === null || head === null) return null;
  const at = `${place}#/arm`;
  const arm = typeof file.arm === 'string' ? catalogue.arms.get(file.arm) : readArm(file.arm, 'own', at, chain);
  if (arm === undefined) {
    const known = [...catalogue.arms.keys()].join(', ');
    throw new InputError(
      'arm-unknown',
      `no arm is called "${file.arm}"`,
      at,
      `known are ${known}; or describe it here`,
    );
  }
  const home = file.travel?.home_deg?.map((angle) => angle * RAD_PER_DEG) ?? arm.home;
  if (home.length !== arm.axes.length) {
    const sentence = `"home_deg" has ${home.length} values for an arm of ${arm.axes.length} axes`;
    throw new InputError(
      'arm-axes',
      sentence,
      `${place}#/travel/home_deg`,
      'give one value per axis, from the base on',
    );
  }
  const { limits } = file;
  return {
    arm: { ...arm, home },
    head,
    clearance: limits.clearance_mm ?? ARM_DEFAULTS.clearance_mm,
    jointMargin: (limits.joint_margin_deg ?? ARM_DEFAULTS.joint_margin_deg) * RAD_PER_DEG,
    singularity: limits.singularity ?? ARM_DEFAULTS.singularity,
    turnRate: (limits.turn_rate_deg_mm ?? ARM_DEFAULTS.turn_rate_deg_mm) * RAD_PER_DEG,
  };
}

function resolveMount(file: JobFile, catalogue: Catalogue, place: string): Head | null {
  const { mount } = file.head;
  if (mount !== undefined && typeof mount !== 'string') return readMount(mount, 'own');
  const id = mount ?? ARM_DEFAULTS.mount;
  const head = catalogue.heads.get(id);
  if (head !== undefined || (mount === undefined && file.arm === null)) return head ?? null;
  const known = [...catalogue.heads.keys()].join(', ');
  throw new InputError('head-unknown', `no head is called "${id}"`, `${place}#/head/mount`, `known are ${known}`);
}

function readLimits(limits: JobFile['limits']): Limits {
  return {
    incidenceEntry: limits.incidence_entry_deg * RAD_PER_DEG,
    incidenceJoint: limits.incidence_joint_deg * RAD_PER_DEG,
    layer: limits.layer_mm,
    gap: limits.gap_mm,
    contact: limits.contact_mm,
    clipped: limits.clipped_pct * FRACTION_PER_PERCENT,
    capture: limits.capture_pct * FRACTION_PER_PERCENT,
    lineEnergy: limits.line_energy_pct * FRACTION_PER_PERCENT,
    lateral: limits.lateral_mm,
    headTurn: limits.head_turn_deg_s * RAD_PER_DEG,
    headTurnAcceleration: limits.head_turn_deg_s2 * RAD_PER_DEG,
    spotAcceleration: limits.spot_acceleration_mm_s2,
    normalAcceleration: limits.normal_acceleration_mm_s2,
    headSpeed: limits.head_speed_mm_s,
    headAcceleration: limits.head_acceleration_mm_s2,
  };
}

function inRadians([a, b, c]: readonly [number, number, number]): readonly [number, number, number] {
  return [a * RAD_PER_DEG, b * RAD_PER_DEG, c * RAD_PER_DEG];
}
