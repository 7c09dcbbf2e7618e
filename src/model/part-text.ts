// The name of a part of a job in sentences.
import type { Job } from './job.ts';

/** Body and file of entry `part` of the job's parts. */
export function partText(job: Pick<Job, 'parts'>, part: number): string {
  const found = job.parts[part];
  if (!found) return 'an unknown body';
  return found.body === '' ? found.file : `${found.body} (${found.file})`;
}
