// Finds the body that each part of the job means, and makes it ready to be asked.
import type { BodyQuery } from '../geometry/body-query.ts';
import type { SceneBody } from '../geometry/scene.ts';
import { InputError } from '../model/input-error.ts';
import type { Job, JobPart } from '../model/job.ts';
import type { Body, Part } from '../model/part.ts';

export interface BodyPlace {
  /** Index into the imported parts. */
  readonly part: number;
  /** Index into that part's bodies. */
  readonly body: number;
}

/** Where the body of each entry of `job.parts` is; throws InputError `body-unknown`, `body-ambiguous`, `body-twice`. */
export function placeBodies(job: Job, parts: readonly Part[], place: string): readonly BodyPlace[] {
  const taken = new Map<string, number>();
  return job.parts.map((jobPart, index) => {
    const at = `${place}#/parts/${index}`;
    const part = parts.findIndex((candidate) => candidate.file === jobPart.file);
    const body = findBody(jobPart, (parts[part] as Part).bodies, at);
    // The same file may be named in two ways, or be there twice.
    const key = `${(parts[part] as Part).sha256}/${jobPart.unitScale}/${body}`;
    const other = taken.get(key);
    if (other !== undefined) {
      throw new InputError('body-twice', `parts ${other} and ${index} are the same body`, at, 'name each body once');
    }
    taken.set(key, index);
    return { part, body };
  });
}

function findBody(jobPart: JobPart, bodies: readonly Body[], place: string): number {
  const names = bodies.map((body) => `"${body.name}"`).join(', ');
  if (jobPart.body === '') {
    if (bodies.length === 1) return 0;
    throw new InputError(
      'body-ambiguous',
      `the file has ${bodies.length} bodies`,
      place,
      `add "body": one of ${names}`,
    );
  }
  const byIndex = /^#(\d+)$/.exec(jobPart.body);
  const found = byIndex
    ? bodies.filter((body) => body.index === Number(byIndex[1]))
    : bodies.filter((body) => body.name === jobPart.body);
  if (found.length === 1) return bodies.indexOf(found[0] as Body);
  if (found.length > 1) {
    const hint = `use one of ${found.map((body) => `"#${body.index}"`).join(', ')}`;
    throw new InputError('body-ambiguous', `${found.length} bodies are called "${jobPart.body}"`, place, hint);
  }
  throw new InputError('body-unknown', `the file has no body "${jobPart.body}"`, place, `it has ${names}`);
}

/** The scene in the order of `job.parts`, with one query for each. */
export function assembleScene(job: Job, queries: readonly BodyQuery[]): readonly SceneBody[] {
  return job.parts.map((jobPart, index) => {
    const query = queries[index] as BodyQuery;
    return { part: index, name: query.body.name, role: jobPart.role, material: jobPart.material, query };
  });
}
