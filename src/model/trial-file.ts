// The file of weld trials that a material is calibrated from, as people write it.
import { z } from 'zod';
import { jobFileSchema } from './job-file.ts';
import { parseJson } from './parse-json.ts';
import { schemaError } from './schema-error.ts';

const key = () => z.string().min(1).max(200);
const { optics, layer, materials, process, head } = jobFileSchema.shape;
const { preheat, start_temperature_C } = process.shape;

const onJob = z.strictObject({
  job: key().describe("A job file, relative to the trial's folder and inside it."),
  seam: key().optional().describe('Name of the seam that was welded; the first one when left out.'),
});

const onStraight = z.strictObject({
  absorber: key().describe("Id of the absorbing material, from the catalogue or the trial's own."),
  layer,
  optics,
  materials,
  defocus_mm: head.unwrap().shape.defocus_mm,
  face_mm: z
    .number()
    .gt(0)
    .max(1000)
    .optional()
    .describe('Width of the joint face, with the seam in its middle; wide when left out.'),
  preheat,
  start_temperature_C,
});

const driven = {
  power_W: z.number().gt(0).max(1e5).describe('Power at the source.'),
  speed_mm_s: z.number().min(0.01).max(10_000).describe('Speed of the spot.'),
};

const trial = z.union([
  z.strictObject({ ...driven, width_mm: z.number().gt(0).max(100).describe('Width that was melted.') }),
  z.strictObject({ ...driven, onset: z.literal(true).describe('Melting just began.') }),
]);

export const trialFileSchema = z.strictObject({
  $schema: z.string().optional(),
  format: z.literal('raythread-trial/1'),
  title: z.string().max(200).default(''),
  on: z
    .union([onJob, onStraight])
    .describe('What was welded: a seam of a job, or a straight stretch of two materials at normal incidence.'),
  fit: z
    .enum(['both', 'absorption', 'delivered'])
    .default('both')
    .describe(
      'What to find: the absorption coefficient, the share of the power that is delivered, or both where the trials can tell them apart.',
    ),
  trials: z.array(trial).min(1).max(1000),
});

export type TrialFile = z.infer<typeof trialFileSchema>;
export type StraightTrial = z.infer<typeof onStraight>;

/** Throws InputError `trial-json`, `trial-key-unknown`, `trial-key-twice`, `trial-key-missing`, `trial-value`. */
export function parseTrialFile(text: string, place: string): TrialFile {
  const result = trialFileSchema.safeParse(parseJson(text, place, 'trial'));
  if (!result.success) throw schemaError(result.error, place, 'trial');
  return result.data;
}
