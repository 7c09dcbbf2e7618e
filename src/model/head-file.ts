// Heads as files write them, each value with its source. One definition gives parser, type and schema.
import { z } from 'zod';
import { capsuleSchema, frameSchema, readCapsule, readFrame } from './arm-file.ts';
import { id, plain, plainOrSourced, title, withSources } from './catalogue-file.ts';
import type { Head } from './head.ts';
import { schemaError } from './schema-error.ts';
import { RAD_PER_DEG } from './units.ts';

const headShape = (wrap: typeof plainOrSourced) => ({
  flange_to_head: wrap(frameSchema).describe('Head point in the flange frame, z along the beam.'),
  mass_kg: wrap(z.number().gt(0).max(1e4)).describe('Mass of all that hangs on the flange.'),
  envelope: wrap(z.array(capsuleSchema).max(200)).describe("Room that the head takes, in the head point's frame."),
  umbilical: wrap(
    z.strictObject({
      neutral_deg: z
        .number()
        .min(-720)
        .max(720)
        .describe('Angle of the last axis at which fibre and hoses hang untwisted.'),
      limit_deg: z.number().gt(0).max(3600).describe('How far the last axis may turn from there to either side.'),
    }),
  )
    .optional()
    .describe('How far fibre and hoses let the head turn; left out where nothing winds.'),
});

/** A head inside a catalogue: every value with its source. */
const headEntrySchema = z.strictObject({ id, title, ...withSources(headShape) });

/** A head written inside a job: values bare, or with their sources. */
export const inlineHeadSchema = z.strictObject({
  id: id.optional(),
  title: title.optional(),
  ...headShape(plainOrSourced),
});

/** `shared/data/heads.json` */
export const headCatalogueSchema = z.strictObject({
  format: z.literal('raythread-heads/1'),
  heads: z.array(headEntrySchema).min(1),
});

/** The heads of `shared/data/heads.json` by id; throws InputError `heads-*`. */
export function parseHeads(json: unknown): ReadonlyMap<string, Head> {
  const file = headCatalogueSchema.safeParse(json);
  if (!file.success) throw schemaError(file.error, 'heads.json', 'heads');
  return new Map(file.data.heads.map((entry) => [entry.id, readHead(entry, entry.id)]));
}

/** A head with its units converted. */
export function readHead(file: z.infer<typeof inlineHeadSchema>, name: string): Head {
  const umbilical = file.umbilical && plain(file.umbilical);
  return {
    id: file.id ?? name,
    title: file.title ?? name,
    flangeToHead: readFrame(plain(file.flange_to_head)),
    mass: plain(file.mass_kg),
    envelope: plain(file.envelope).map((capsule) => readCapsule(capsule, 0)),
    umbilical: umbilical
      ? { neutral: umbilical.neutral_deg * RAD_PER_DEG, limit: umbilical.limit_deg * RAD_PER_DEG }
      : null,
  };
}
