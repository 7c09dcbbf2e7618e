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
function jsonPointer(path: readonly PropertyKey[]): string {
  return path.map((step) => `/${String(step).replaceAll('~', '~0').replaceAll('/', '~1')}`).join('');
}

/** The first complaint of a failed parse as an error; `place` is the file's name, the pointer is appended to it; the schema is that of the prefix. */
export function schemaError(error: z.ZodError, place: string, codePrefix: string): InputError {
  const schema = `shared/schemas/${codePrefix}.schema.json`;
  const { path, code, sentence, hint } = complaintOf(error.issues[0] as Issue, [], schema);
  const pointer = jsonPointer(path);
  return new InputError(`${codePrefix}-${code}`, sentence, pointer === '' ? place : `${place}#${pointer}`, hint);
}

function complaintOf(issue: Issue, base: readonly PropertyKey[], schema: string): Complaint {
  const path = [...base, ...issue.path];
  if (issue.code === 'unrecognized_keys') {
    const keys = issue.keys.map((key) => `"${key}"`).join(', ');
    return {
      path,
      code: 'key-unknown',
      sentence: `unknown key ${keys}`,
      hint: `remove it, or look up its spelling in ${schema}`,
    };
  }
  if (issue.code === 'invalid_union') {
    const keys = keysToChooseFrom(issue.errors);
    if (keys.length > 1) {
      return {
        path,
        code: 'value',
        sentence: `one of the keys ${keys.map((key) => `"${key}"`).join(', ')} must stand here, and no other`,
        hint: `see ${schema} for what each of them takes`,
      };
    }
    const branch = likeliestBranch(issue.errors);
    if (branch !== undefined) return complaintOf(branch, path, schema);
  }
  const missing = isMissing(issue);
  const message = issue.message.charAt(0).toLowerCase() + issue.message.slice(1);
  return {
    path,
    code: missing ? 'key-missing' : 'value',
    sentence: missing ? `the key "${String(path.at(-1) ?? '')}" is missing` : message,
    hint: `see ${schema} for what may stand here`,
  };
}

type Branches = readonly (readonly Issue[])[];

/** The missing keys of the alternatives, where every alternative is an object told by one key of its own. */
function keysToChooseFrom(branches: Branches): readonly string[] {
  const keys = branches.map((issues) => issues.find((issue) => isMissing(issue) && issue.path.length === 1)?.path[0]);
  return keys.every((key) => key !== undefined) ? keys.map(String) : [];
}

/** Of the alternatives of a union, the one that the person most likely meant: the one that got furthest. */
function likeliestBranch(branches: Branches): Issue | undefined {
  let best: readonly Issue[] = [];
  for (const branch of branches) if (best.length === 0 || reach(branch) > reach(best)) best = branch;
  return best[0];
}

/** How far the value went along an alternative: nowhere when its very type is wrong, else as deep as the complaints. */
function reach(issues: readonly Issue[]): number {
  if (issues.some((issue) => issue.path.length === 0 && issue.code !== 'unrecognized_keys')) return -1;
  const missing = issues.filter((issue) => isMissing(issue) && issue.path.length === 1).length;
  return Math.max(...issues.map((issue) => issue.path.length)) - 10 * missing;
}

function isMissing(issue: Issue): boolean {
  return issue.code === 'invalid_type' && issue.message.endsWith('received undefined');
}
