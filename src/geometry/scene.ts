// The bodies of a job with their roles, ready to be asked.
import type { Role } from '../model/part.ts';
import type { BodyQuery } from './body-query.ts';

export interface SceneBody {
  /** Index into `Job.parts`. */
  readonly part: number;
  /** Name as in the file. */
  readonly name: string;
  readonly role: Role;
  /** Id of the material; empty where none is given. */
  readonly material: string;
  readonly query: BodyQuery;
}
