// Optics and materials as files write them, each value with its source. One definition gives parser, type and schema.
import { z } from 'zod';

const mark = z
  .enum(['seen', 'memory', 'assumed'])
  .describe('seen: read in the source named; memory: remembered; assumed: chosen, no source.');

/** A value with where it comes from. */
function sourced<T extends z.ZodType>(value: T) {
  return z.strictObject({
    value,
    source: z.string().min(1).describe('Where the value comes from.'),
    mark,
    range: z.tuple([z.number(), z.number()]).optional().describe('What the value may lie between, same unit.'),
  });
}

/** A value as people write it in a job: bare, or with its source. */
export function plainOrSourced<T extends z.ZodType>(value: T) {
  return z.union([value, sourced(value)]);
}

/** The bare value of one that may carry its source. */
export function plain<T>(value: T | { readonly value: T; readonly source: string }): T {
  return typeof value === 'object' && value !== null && 'source' in value ? value.value : (value as T);
}

/**
 * A shape whose values must carry their sources, made by the function that lets them stand bare too: stricter when it parses,
 * of the same type, so that one reader serves catalogues and jobs.
 */
export function withSources<S>(shape: (wrap: typeof plainOrSourced) => S): S {
  return shape(sourced as unknown as typeof plainOrSourced);
}

type Shape = Readonly<Record<string, z.ZodType>>;
type SourcedShape<S extends Shape> = { [K in keyof S]: ReturnType<typeof sourced<S[K]>> };
type PlainOrSourcedShape<S extends Shape> = { [K in keyof S]: ReturnType<typeof plainOrSourced<S[K]>> };

function everySourced<S extends Shape>(shape: S): SourcedShape<S> {
  return Object.fromEntries(Object.entries(shape).map(([key, value]) => [key, sourced(value)])) as SourcedShape<S>;
}

function everyPlainOrSourced<S extends Shape>(shape: S): PlainOrSourcedShape<S> {
  const entries = Object.entries(shape).map(([key, value]) => [key, plainOrSourced(value)]);
  return Object.fromEntries(entries) as PlainOrSourcedShape<S>;
}

type OptionalShape<S extends Shape> = { [K in keyof S]: z.ZodOptional<S[K]> };

function everyOptional<S extends Shape>(shape: S): OptionalShape<S> {
  const entries = Object.entries(shape).map(([key, value]) => [key, value.optional()]);
  return Object.fromEntries(entries) as OptionalShape<S>;
}

export const id = z
  .string()
  .regex(/^[a-z0-9][a-z0-9.-]*$/)
  .describe('Name by which a job refers to the record.');
export const title = z.string().min(1).max(200).describe('One line for people.');

const opticsShape = {
  wavelength_nm: z.number().min(300).max(12000).describe('Wavelength.'),
  beam_quality_m2: z.number().min(1).max(5000).describe('Beam quality M2 (ISO 11146-1).'),
  waist_mm: z
    .number()
    .gt(0)
    .max(50)
    .describe('Waist radius: 1/e2 of a Gaussian, the edge of a top-hat at its image plane.'),
  profile: z.enum(['gaussian', 'top-hat']).describe('Profile at the waist.'),
  exit_radius_mm: z.number().gt(0).max(200).describe('Radius of the beam where it leaves the head, at the head point.'),
  polarisation: z
    .union([z.literal('none'), z.strictObject({ angle_deg: z.number().min(-360).max(360) })])
    .describe('none, or the angle of the plane of polarisation against the x axis of the tool frame.'),
  power_min_W: z.number().min(0).max(1e5).describe('Smallest power that the source holds.'),
  power_max_W: z.number().gt(0).max(1e5).describe('Largest power of the source.'),
};

/** How the cell's power follows its speed; what is left out asks for the ideal: proportional, at once, without steps. */
const powerShape = {
  power_offset_W: z
    .number()
    .min(-1e5)
    .max(1e5)
    .describe(
      'Power against speed v from trials: power_offset_W + power_slope x (line energy x v / transmitted share); 0 and 1, or left out: proportional.',
    ),
  power_slope: z.number().gt(0).max(100).describe('See power_offset_W; W per W.'),
  power_threshold_W: z.number().min(0).max(1e5).describe('Asked for less, the source emits nothing.'),
  power_lag_ms: z
    .number()
    .min(0)
    .max(1000)
    .describe('Time from when the cell sets a power to when it leaves the head: a pure delay.'),
  power_lead_ms: z
    .number()
    .min(0)
    .max(1000)
    .describe('How far ahead of the motion the cell reads the speed that it sets the power for.'),
  power_update_ms: z
    .number()
    .min(0)
    .max(100)
    .describe('Time between two settings of the power, held in between; 0: without steps.'),
};

const materialShape = {
  index: z.number().min(1).max(3).describe('Refractive index at the laser wavelength.'),
  transmittance: z
    .strictObject({
      value: z.number().gt(0).lt(1).describe('Share of the power that a plate lets through, both surfaces counted.'),
      thickness_mm: z.number().gt(0).max(100).describe('Thickness of that plate.'),
    })
    .describe('Measured transmittance at the laser wavelength.'),
  scattering: z.boolean().describe('Scatters the beam: filled or semi-crystalline.'),
};

const sourcedMaterial = everySourced(materialShape);

/** `shared/data/optics.json` */
export const opticsCatalogueSchema = z.strictObject({
  format: z.literal('raythread-optics/1'),
  optics: z
    .array(z.strictObject({ id, title, ...everySourced(opticsShape), ...everyOptional(everySourced(powerShape)) }))
    .min(1),
});

/** `shared/data/materials.json` */
export const materialCatalogueSchema = z.strictObject({
  format: z.literal('raythread-materials/1'),
  materials: z
    .array(
      z.strictObject({
        id,
        title,
        index: sourcedMaterial.index.optional(),
        transmittance: sourcedMaterial.transmittance.optional(),
        scattering: sourcedMaterial.scattering,
      }),
    )
    .min(1),
});

/** Optics written inside a job. */
export const inlineOpticsSchema = z.strictObject({
  id: id.optional(),
  title: title.optional(),
  ...everyPlainOrSourced(opticsShape),
  ...everyOptional(everyPlainOrSourced(powerShape)),
});

const anyMaterial = everyPlainOrSourced(materialShape);

/** A material written inside a job: a record of its own, or what it changes in the catalogue's. */
export const inlineMaterialSchema = z.strictObject({
  title: title.optional(),
  index: anyMaterial.index.optional(),
  transmittance: anyMaterial.transmittance.optional(),
  scattering: anyMaterial.scattering.optional(),
});

export type OpticsCatalogueFile = z.infer<typeof opticsCatalogueSchema>;
export type MaterialCatalogueFile = z.infer<typeof materialCatalogueSchema>;
export type InlineOptics = z.infer<typeof inlineOpticsSchema>;
export type InlineMaterial = z.infer<typeof inlineMaterialSchema>;
