// Arms as files write them, each value with its source. One definition gives parser, type and schema.
import { z } from 'zod';
import type { Arm, ArmFrame, Capsule } from './arm.ts';
import { id, sourced, title } from './catalogue-file.ts';
import { InputError } from './input-error.ts';
import { schemaError } from './schema-error.ts';
import { RAD_PER_DEG } from './units.ts';

const mm = () => z.number().min(-1e5).max(1e5);
const point = () => z.tuple([mm(), mm(), mm()]);
const six = <T extends z.ZodType>(value: T) => z.tuple([value, value, value, value, value, value]);
const degrees = () => z.number().min(-7200).max(7200);

/** A frame in its parent. */
export const frameSchema = z.strictObject({
  position_mm: point().default([0, 0, 0]),
  rotation_deg: z
    .tuple([degrees(), degrees(), degrees()])
    .default([0, 0, 0])
    .describe('A B C with R = Rz(C) Ry(B) Rx(A).'),
});

/** A segment with a radius, in the frame that its owner says. */
export const capsuleSchema = z.strictObject({
  name: z.string().min(1).max(60),
  from_mm: point(),
  to_mm: point(),
  radius_mm: z.number().gt(0).max(5000),
});

const linkCapsule = capsuleSchema.extend({
  link: z.int().min(0).max(32).describe('0: the base; j: what turns with axis j (1-based); one more: the flange.'),
});

const orthoParallel = z
  .strictObject({
    kind: z.literal('ortho-parallel'),
    a1_mm: sourced(mm()),
    a2_mm: sourced(mm()),
    b_mm: sourced(mm()),
    c1_mm: sourced(mm()),
    c2_mm: sourced(z.number().gt(0).max(1e5)),
    c3_mm: sourced(mm()),
    c4_mm: sourced(mm()),
    signs: six(z.union([z.literal(1), z.literal(-1)])).default([1, 1, 1, 1, 1, 1]),
    offsets_deg: six(degrees()).default([0, 0, 0, 0, 0, 0]),
  })
  .describe(
    'Six axes, ortho-parallel base, spherical wrist (Brandstoetter, Angerer & Hofbaur 2014); t = sign q - offset.',
  );

const urdf = z
  .strictObject({
    kind: z.literal('urdf'),
    file: z.string().min(1).max(500).describe("URDF file, relative to the job's folder and inside it."),
    root: z.string().min(1).optional().describe('Link to begin at; the tree root when left out.'),
    tip: z.string().min(1).optional().describe('Link that is the flange; the only leaf when left out.'),
  })
  .describe('Any serial chain of revolute joints; position and speed limits are those of the file.');

const perAxis = <T extends z.ZodType>(value: T) => sourced(z.array(value).min(1).max(32));

const armShape = {
  model: z.discriminatedUnion('kind', [orthoParallel, urdf]),
  position_deg: perAxis(z.tuple([degrees(), degrees()]))
    .optional()
    .describe('Smallest and largest angle of each axis; more than one turn apart for a multi-turn axis.'),
  speed_deg_s: perAxis(z.number().gt(0).max(1e5)).optional().describe('Largest speed of each axis.'),
  acceleration_deg_s2: perAxis(z.number().gt(0).max(1e7)).describe('Largest acceleration of each axis.'),
  payload_kg: sourced(z.number().gt(0).max(1e5)).describe('Largest mass at the flange.'),
  base: frameSchema.prefault({}).describe("Root of the model in the arm's base frame, that of a job's placement."),
  floor_mm: z.number().min(-1e5).max(1e5).nullable().default(null).describe('Height of the floor in the base frame.'),
  envelope: sourced(z.array(linkCapsule).max(200)).describe('Room that the links take, in their own frames.'),
  home_deg: z.array(degrees()).min(1).max(32).describe('Posture from which the arm comes and to which it goes back.'),
};

/** An arm inside a catalogue. */
const armEntrySchema = z.strictObject({ id, title, ...armShape });

/** An arm written inside a job. */
export const inlineArmSchema = z.strictObject({ id: id.optional(), title: title.optional(), ...armShape });

/** `shared/data/arms.json` */
export const armCatalogueSchema = z.strictObject({
  format: z.literal('raythread-arms/1'),
  arms: z.array(armEntrySchema).min(1),
});

export type ArmFile = z.infer<typeof inlineArmSchema>;
export type FrameFile = z.infer<typeof frameSchema>;

/** What a model file (URDF) gives: the chain, and limits per axis in rad and rad/s. */
export type ChainWithLimits = Pick<Arm, 'model'> & {
  readonly axes: readonly {
    readonly name: string;
    readonly min: number;
    readonly max: number;
    readonly speed: number;
  }[];
};

/** The arms of `shared/data/arms.json` by id; throws InputError `arms-*`. Entries with a URDF file are not for catalogues. */
export function parseArms(json: unknown): ReadonlyMap<string, Arm> {
  const file = armCatalogueSchema.safeParse(json);
  if (!file.success) throw schemaError(file.error, 'arms.json', 'arms');
  return new Map(file.data.arms.map((entry) => [entry.id, readArm(entry, entry.id, 'arms.json', null)]));
}

/**
 * An arm with its units converted. `chain`: what the model's URDF file holds, null for an ortho-parallel arm. Limits in
 * the entry win over those of the chain. Throws InputError `arm-*` where lists differ in length or contradict themselves.
 */
export function readArm(entry: ArmFile, name: string, place: string, chain: ChainWithLimits | null): Arm {
  const model = chain === null ? orthoParallelModel(entry, place) : chain.model;
  const n = model.kind === 'chain' ? model.joints.length : 6;
  const positions = entry.position_deg?.value;
  const speeds = entry.speed_deg_s?.value;
  const accelerations = entry.acceleration_deg_s2.value;
  for (const [key, list] of [
    ['position_deg', positions],
    ['speed_deg_s', speeds],
    ['acceleration_deg_s2', accelerations],
    ['home_deg', entry.home_deg],
  ] as const) {
    if (list === undefined && chain === null) {
      throw new InputError('arm-limits-missing', `"${key}" is missing`, place, 'give one value per axis');
    }
    if (list !== undefined && list.length !== n) {
      const sentence = `"${key}" has ${list.length} values for an arm of ${n} axes`;
      throw new InputError('arm-axes', sentence, place, 'give one value per axis, from the base on');
    }
  }
  const axes = Array.from({ length: n }, (_, j) => ({
    name: chain?.axes[j].name ?? `A${j + 1}`,
    min: positions ? positions[j][0] * RAD_PER_DEG : (chain?.axes[j].min ?? Number.NaN),
    max: positions ? positions[j][1] * RAD_PER_DEG : (chain?.axes[j].max ?? Number.NaN),
    speed: speeds ? speeds[j] * RAD_PER_DEG : (chain?.axes[j].speed ?? Number.NaN),
    acceleration: accelerations[j] * RAD_PER_DEG,
  }));
  for (const axis of axes) {
    if (!(axis.min <= axis.max) || !(axis.speed > 0)) {
      const sentence = `the limits of axis ${axis.name} leave no room: the smallest angle lies above the largest, or it has no speed`;
      throw new InputError('arm-limits', sentence, place, 'give the smaller angle first and a speed above zero');
    }
  }
  const wrong = entry.envelope.value.find((capsule) => capsule.link > n + 1);
  if (wrong) {
    const sentence = `the capsule "${wrong.name}" belongs to link ${wrong.link} of an arm of ${n} axes`;
    throw new InputError('arm-envelope', sentence, place, `links go from 0 (base) to ${n + 1} (flange)`);
  }
  return {
    id: entry.id ?? name,
    title: entry.title ?? name,
    model,
    axes,
    payload: entry.payload_kg.value,
    base: readFrame(entry.base),
    floor: entry.floor_mm,
    envelope: entry.envelope.value.map((capsule) => readCapsule(capsule, capsule.link)),
    home: entry.home_deg.map((angle) => angle * RAD_PER_DEG),
  };
}

function orthoParallelModel(entry: ArmFile, place: string): Arm['model'] {
  const { model } = entry;
  if (model.kind !== 'ortho-parallel') {
    throw new InputError(
      'arm-model',
      `the file "${model.file}" has not been read`,
      place,
      'name a URDF file in a job only',
    );
  }
  const { a2_mm, c3_mm } = model;
  if (a2_mm.value === 0 && c3_mm.value === 0) {
    throw new InputError(
      'arm-model',
      'a2 and c3 are both zero: the forearm has no length',
      place,
      'give its length as c3_mm',
    );
  }
  return {
    kind: 'ortho-parallel',
    a1: model.a1_mm.value,
    a2: a2_mm.value,
    b: model.b_mm.value,
    c1: model.c1_mm.value,
    c2: model.c2_mm.value,
    c3: c3_mm.value,
    c4: model.c4_mm.value,
    signs: model.signs,
    offsets: model.offsets_deg.map((angle) => angle * RAD_PER_DEG),
  };
}

/** A frame with its angles in rad. */
export function readFrame(file: FrameFile): ArmFrame {
  const [a, b, c] = file.rotation_deg;
  return { position: file.position_mm, rotation: [a * RAD_PER_DEG, b * RAD_PER_DEG, c * RAD_PER_DEG] };
}

/** A capsule that moves with `link`. */
export function readCapsule(file: z.infer<typeof capsuleSchema>, link: number): Capsule {
  return { name: file.name, link, from: file.from_mm, to: file.to_mm, radius: file.radius_mm };
}
