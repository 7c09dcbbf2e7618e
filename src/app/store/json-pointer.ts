// JSON pointers (RFC 6901) into a job as it was written: read, and set without touching the value that was there.
import type { Json } from './state.ts';

type JsonObject = { readonly [key: string]: Json };

const isArray = (value: Json | undefined): value is readonly Json[] => Array.isArray(value);
const isObject = (value: Json | undefined): value is JsonObject =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** The steps of a pointer; the empty pointer is the whole value. Throws on one that does not begin with a slash. */
export function pointerSteps(pointer: string): readonly string[] {
  if (pointer === '') return [];
  if (!pointer.startsWith('/')) throw new Error(`not a JSON pointer: ${pointer}`);
  return pointer
    .slice(1)
    .split('/')
    .map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~'));
}

/** One step escaped for a pointer. */
export const pointerStep = (key: string | number): string => String(key).replaceAll('~', '~0').replaceAll('/', '~1');

/** The value at `pointer`; undefined where there is none. */
export function valueAt(root: Json, pointer: string): Json | undefined {
  let value: Json | undefined = root;
  for (const step of pointerSteps(pointer)) {
    if (isArray(value)) value = /^\d+$/.test(step) ? value[Number(step)] : undefined;
    else if (isObject(value)) value = Object.hasOwn(value, step) ? value[step] : undefined;
    else return undefined;
  }
  return value;
}

/**
 * `root` with `value` at `pointer`, or without what is there where `value` is undefined. Objects on the way are made as needed, a list
 * where the next step is a number or `-`, which appends. What does not change is shared; the same root comes back where nothing changes.
 */
export function withValueAt(root: Json, pointer: string, value: Json | undefined): Json {
  const changed = replace(root, pointerSteps(pointer), value);
  if (changed === undefined) throw new Error('the whole value cannot be removed');
  return changed;
}

function replace(at: Json | undefined, steps: readonly string[], value: Json | undefined): Json | undefined {
  const [step, ...rest] = steps;
  if (step === undefined) return value;
  if (isArray(at) || (!isObject(at) && value !== undefined && /^(\d+|-)$/.test(step))) {
    return replaceInList(isArray(at) ? at : [], step, rest, value);
  }
  const object = isObject(at) ? at : {};
  const before = Object.hasOwn(object, step) ? object[step] : undefined;
  const after = replace(before, rest, value);
  if (Object.is(before, after)) return at;
  if (after !== undefined) return { ...object, [step]: after };
  return Object.fromEntries(Object.entries(object).filter(([key]) => key !== step));
}

function replaceInList(list: readonly Json[], step: string, rest: readonly string[], value: Json | undefined): Json {
  const index = step === '-' ? list.length : Number(step);
  if (!Number.isInteger(index) || index < 0 || index > list.length) throw new Error(`no place "${step}" in a list`);
  const after = replace(list[index], rest, value);
  if (Object.is(list[index], after)) return list;
  return after === undefined ? list.toSpliced(index, 1) : list.toSpliced(index, 1, after);
}
