// Plans the jobs of the sample parts as the command line does: real files, real importer, default deflection.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import arms from '../../shared/data/arms.json' with { type: 'json' };
import heads from '../../shared/data/heads.json' with { type: 'json' };
import materials from '../../shared/data/materials.json' with { type: 'json' };
import optics from '../../shared/data/optics.json' with { type: 'json' };
import pairs from '../../shared/data/pairs.json' with { type: 'json' };
import { parseCatalogue } from '../../src/model/catalogue.ts';
import type { JobFile } from '../../src/model/job-file.ts';
import { parseJobFile } from '../../src/model/parse-job.ts';
import type { Plan } from '../../src/planner/plan.ts';
import { createPlanner, type Planner } from '../../src/planner/planner.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';
import { quietTask } from '../intake/support.ts';

const SAMPLES = fileURLToPath(new URL('../../sample-parts/', import.meta.url));

// One planner for each job: a part is imported once in a test file, whatever is changed in its job.
const planners = new Map<string, Planner>();

/** The plan of a sample's job, its file changed as a test needs. */
export function planSample(name: string, change: (file: JobFile) => JobFile = (file) => file): Promise<Plan> {
  const place = `${name}.job.json`;
  const file = change(parseJobFile(readFileSync(`${SAMPLES}${place}`, 'utf8'), place));
  const own =
    planners.get(name) ?? createPlanner(createNodeHost(SAMPLES), parseCatalogue(optics, materials, arms, heads, pairs));
  planners.set(name, own);
  return own.plan(file, place, quietTask());
}
