// Arms as files write them, each value with its source. One definition gives parser, type and schema.
import { z } from 'zod';
import type { Arm, ArmFrame, Capsule } from './arm.ts';
import { id, plain, plainOrSourced, title, withSources } from './catalogue-file.ts';
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

/** How a value is written: with its source, or bare too. */
type Wrap = typeof plainOrSourced;

const orthoParallel = (wrap: Wrap) =>
  z
    .strictObject({
      kind: z.literal('ortho-parallel'),
      a1_mm: wrap(mm()),
      a2_mm: wrap(mm()),
      b_mm: wrap(mm()),
      c1_mm: wrap(mm()),
      c2_mm: wrap(z.number().gt(0).max(1e5)),
      c3_mm: wrap(mm()),
      c4_mm: wrap(mm()),
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

const armShape = (wrap: Wrap) => {
  const perAxis = <T extends z.ZodType>(value: T) => wrap(z.array(value).min(1).max(32));
  return {
    model: z.discriminatedUnion('kind', [orthoParallel(wrap), urdf]),
    position_deg: perAxis(z.tuple([degrees(), degrees()]))
      .optional()
      .describe('Smallest and largest angle of each axis; more than one turn apart for a multi-turn axis.'),
    speed_deg_s: perAxis(z.number().gt(0).max(1e5)).optional().describe('Largest speed of each axis.'),
    acceleration_deg_s2: perAxis(z.number().gt(0).max(1e7)).describe('Largest acceleration of each axis.'),
    payload_kg: wrap(z.number().gt(0).max(1e5)).describe('Largest mass at the flange.'),
    base: frameSchema.prefault({}).describe("Root of the model in the arm's base frame, that of a job's placement."),
    floor_mm: z.number().min(-1e5).max(1e5).nullable().default(null).describe('Height of the floor in the base frame.'),
    envelope: wrap(z.array(linkCapsule).max(200)).describe('Room that the links take, in their own frames.'),
    home_deg: z.array(degrees()).min(1).max(32).describe('Posture from which the arm comes and to which it goes back.'),
  };
};

/** An arm inside a catalogue: every value with its source. */
const armEntrySchema = z.strictObject({ id, title, ...withSources(armShape) });

/** An arm written inside a job: values bare, or with their sources. */
export const inlineArmSchema = z.strictObject({
  id: id.optional(),
  title: title.optional(),
  ...armShape(plainOrSourced),
});

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
  const positions = entry.position_deg && plain(entry.position_deg);
  const speeds = entry.speed_deg_s && plain(entry.speed_deg_s);
  const accelerations = plain(entry.acceleration_deg_s2);
  const envelope = plain(entry.envelope);
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
  const wrong = envelope.find((capsule) => capsule.link > n + 1);
  if (wrong) {
    const sentence = `the capsule "${wrong.name}" belongs to link ${wrong.link} of an arm of ${n} axes`;
    throw new InputError('arm-envelope', sentence, place, `links go from 0 (base) to ${n + 1} (flange)`);
  }
  return {
    id: entry.id ?? name,
    title: entry.title ?? name,
    model,
    axes,
    payload: plain(entry.payload_kg),
    base: readFrame(entry.base),
    floor: entry.floor_mm,
    envelope: envelope.map((capsule) => readCapsule(capsule, capsule.link)),
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
  const a2 = plain(model.a2_mm);
  const c3 = plain(model.c3_mm);
  if (a2 === 0 && c3 === 0) {
    throw new InputError(
      'arm-model',
      'a2 and c3 are both zero: the forearm has no length',
      place,
      'give its length as c3_mm',
    );
  }
  return {
    kind: 'ortho-parallel',
    a1: plain(model.a1_mm),
    a2,
    b: plain(model.b_mm),
    c1: plain(model.c1_mm),
    c2: plain(model.c2_mm),
    c3,
    c4: plain(model.c4_mm),
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
