// Optics, materials and pairs as files write them, each value with its source. One definition gives parser, type and schema.
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

const celsius = () => z.number().min(-100).max(1000);

/** What is known of a polymer whatever the wavelength. */
const polymerShape = {
  structure: z
    .enum(['amorphous', 'semi-crystalline', 'elastomer'])
    .describe('Elastomers count as soft, the others as hard.'),
  density_kg_m3: z.number().min(100).max(10_000).describe('Density.'),
  heat_J_gK: z.number().min(0.1).max(20).describe('Specific heat, effective from room temperature to decomposition.'),
  conductivity_W_mK: z.number().min(0.01).max(50).describe('Thermal conductivity.'),
  melting_C: celsius().describe('Melting temperature, or that of the glass transition where nothing melts.'),
  weld_onset_C: celsius().describe('The bond plane must get this hot for a bond; not below melting_C.'),
  latent_J_g: z.number().min(0).max(1000).describe('Heat of melting; 0 where the specific heat holds it.'),
  decomposition_C: celsius().describe('Limit on the hottest point, for the tenths of a second that a weld is hot.'),
  decomposition_rate: z
    .strictObject({
      a_1_s: z.number().gt(0).max(1e40).describe('Pre-exponential factor.'),
      e_J_mol: z.number().gt(0).max(1e6).describe('Activation energy.'),
    })
    .describe('First-order kinetics after Arrhenius; a range is that of the factor at this energy.'),
  black_1_mm_pct: z.number().min(0).max(1000).describe('Absorption coefficient per weight percent of carbon black.'),
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
    .describe('Measured transmittance at the laser wavelength; a range is that of the share.'),
  wavelengths_nm: z
    .tuple([z.number().min(300).max(12_000), z.number().min(300).max(12_000)])
    .describe('Shortest and longest wavelength at which index, transmittance and absorption hold.'),
  scattering: z.boolean().describe('Scatters the beam: filled or semi-crystalline.'),
  widening_mm_mm: z
    .number()
    .min(0)
    .max(10)
    .describe(
      'What scattering adds to the spot per thickness, by second moments: behind d mm a beam of radius w has the radius sqrt(w^2 + (widening_mm_mm d)^2). Measure the beam with a plate and without; left out where it is not known.',
    ),
  absorption_1_mm: z
    .number()
    .gt(0)
    .max(1e5)
    .describe('Absorption coefficient at the laser wavelength; goes before that of the carbon black.'),
  layer_absorption_1_mm: z
    .number()
    .min(0)
    .max(100)
    .describe("What of a layer's extinction heats it, where scattering makes up the rest."),
  carbon_black_pct: z.number().gt(0).max(30).describe('Content of carbon black, weight percent.'),
  colour: z.string().min(1).max(60).describe('Colour that the part is to have, for people.'),
};

const sourcedMaterial = everySourced(materialShape);
const sourcedPolymer = everySourced(polymerShape);

const polymerId = z
  .string()
  .regex(/^[A-Za-z0-9][A-Za-z0-9.-]*$/)
  .describe('Name by which materials and pairs refer to the polymer.');

/** All but what every entry must have. */
function optionals<S extends Readonly<Record<string, z.ZodType>>>(shape: S): { [K in keyof S]: z.ZodOptional<S[K]> } {
  const entries = Object.entries(shape).map(([key, value]) => [key, value.optional()]);
  return Object.fromEntries(entries) as { [K in keyof S]: z.ZodOptional<S[K]> };
}

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
  polymers: z
    .array(
      z.strictObject({
        id: polymerId,
        title,
        ...sourcedPolymer,
        latent_J_g: sourcedPolymer.latent_J_g.optional(),
        decomposition_rate: sourcedPolymer.decomposition_rate.optional(),
        black_1_mm_pct: sourcedPolymer.black_1_mm_pct.optional(),
      }),
    )
    .default([]),
  materials: z
    .array(
      z.strictObject({
        id,
        title,
        polymer: polymerId.optional(),
        ...optionals(sourcedPolymer),
        ...optionals(sourcedMaterial),
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

/** `shared/data/pairs.json` */
export const pairCatalogueSchema = z.strictObject({
  format: z.literal('raythread-pairs/1'),
  pairs: z
    .array(
      z.strictObject({
        polymers: z.tuple([polymerId, polymerId]),
        verdict: z
          .enum(['joins', 'some-grades', 'reported'])
          .describe('joins; some grades do; some reports say so. A pair that is missing is not known, not impossible.'),
        source: z.string().min(1),
        mark,
      }),
    )
    .min(1),
});

/** A material written inside a job: a record of its own, or what it changes in the catalogue's. */
export const inlineMaterialSchema = z.strictObject({
  title: title.optional(),
  polymer: polymerId.optional(),
  ...optionals(everyPlainOrSourced(polymerShape)),
  ...optionals(everyPlainOrSourced(materialShape)),
});

export type OpticsCatalogueFile = z.infer<typeof opticsCatalogueSchema>;
export type MaterialCatalogueFile = z.infer<typeof materialCatalogueSchema>;
export type InlineOptics = z.infer<typeof inlineOpticsSchema>;
export type InlineMaterial = z.infer<typeof inlineMaterialSchema>;
