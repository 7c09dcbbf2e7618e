// Turns what a schema has against a value into the one error that a person reads.
import type { z } from 'zod';
import { InputError } from './input-error.ts';

type Issue = z.core.$ZodIssue;

interface Complaint {
  readonly path: readonly PropertyKey[];
  readonly code: string;
  readonly sentence: string;
  readonly hint: string;
}

/** RFC 6901 pointer of a path into a JSON value; the empty string is the whole value. */
export function jsonPointer(path: readonly PropertyKey[]): string {
  return path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
}

/** The first complaint of a failed parse as an error; `place` is the file's name, the pointer is appended to it. */
export function schemaError(error: z.ZodError, place: string, codePrefix: string): InputError {
  const { path, code, sentence, hint } = complaintOf(error.issues[0] as Issue, []);
  const pointer = jsonPointer(path);
  return new InputError(`${codePrefix}-${code}`, sentence, pointer === '' ? place : `${place}#${pointer}`, hint);
}

function complaintOf(issue: Issue, base: readonly PropertyKey[]): Complaint {
  const path = [...base, ...issue.path];
  if (issue.code === 'unrecognized_keys') {
    const keys = issue.keys.map((key) => `"${key}"`).join(', ');
    return {
      path,
      code: 'key-unknown',
      sentence: `unknown key ${keys}`,
      hint: 'remove it, or look up its spelling in shared/schemas/job.schema.json',
    };
  }
  if (issue.code === 'invalid_union') {
    const branch = likeliestBranch(issue.errors);
    if (branch !== undefined) return complaintOf(branch, path);
  }
  const missing = issue.code === 'invalid_type' && issue.message.endsWith('received undefined');
  const message = issue.message.charAt(0).toLowerCase() + issue.message.slice(1);
  return {
    path,
    code: missing ? 'key-missing' : 'value',
    sentence: missing ? `the key "${String(path.at(-1) ?? '')}" is missing` : message,
    hint: 'see shared/schemas/job.schema.json for what may stand here',
  };
}

/** Of the alternatives of a union, the one that the person most likely meant: it got furthest, then it failed least. */
function likeliestBranch(branches: readonly (readonly Issue[])[]): Issue | undefined {
  let best: readonly Issue[] | undefined;
  for (const branch of branches) {
    if (branch.length === 0) continue;
    if (best === undefined || rank(branch) > rank(best)) best = branch;
  }
  return best?.[0];
}

function rank(issues: readonly Issue[]): number {
  const depth = Math.max(...issues.map((issue) => issue.path.length + (issue.code === 'unrecognized_keys' ? 1 : 0)));
  const wrongKey = issues.some((issue) => issue.code === 'unrecognized_keys' && issue.path.length === 0) ? 10 : 0;
  return depth * 2 - issues.length - wrongKey;
}
