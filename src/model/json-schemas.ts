// The JSON Schemas (2020-12) in shared/schemas, made from the one definition that also parses.
import { z } from 'zod';
import { armCatalogueSchema } from './arm-file.ts';
import { materialCatalogueSchema, opticsCatalogueSchema, pairCatalogueSchema } from './catalogue-file.ts';
import { headCatalogueSchema } from './head-file.ts';
import { jobFileSchema } from './job-file.ts';
import { trialFileSchema } from './trial-file.ts';

const TITLES = {
  'job.schema.json': ['Job of a seam plan', jobFileSchema],
  'trial.schema.json': ['Weld trials that a material is calibrated from', trialFileSchema],
  'optics.schema.json': ['Optics with their sources', opticsCatalogueSchema],
  'arms.schema.json': ['Arms with their sources', armCatalogueSchema],
  'heads.schema.json': ['Heads with their sources', headCatalogueSchema],
  'materials.schema.json': ['Materials with their sources', materialCatalogueSchema],
  'pairs.schema.json': ['Pairs of polymers with their sources', pairCatalogueSchema],
} as const;

/** Text of each schema file by its name, ending in a line end. */
export function jsonSchemas(): ReadonlyMap<string, string> {
  const files = Object.entries(TITLES).map(([name, [title, schema]]) => {
    const { $schema, ...body } = z.toJSONSchema(schema, { target: 'draft-2020-12', io: 'input' });
    return [name, `${JSON.stringify({ $schema, title, ...body }, null, 2)}\n`] as const;
  });
  return new Map(files);
}
