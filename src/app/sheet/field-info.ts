// What a field of the job is: label, unit, range, default and a line on what it does, read from the job file's schema.
import jobSchema from '../../../shared/schemas/job.schema.json';
import { pointerSteps } from '../store/json-pointer.ts';
import type { Json } from '../store/state.ts';
import { FIELD_WORDS } from './field-words.ts';

export interface FieldInfo {
  /** Pointer with `*` for places in lists. */
  readonly pattern: string;
  /** As in the job file: `head.standoff_mm`. */
  readonly path: string;
  readonly label: string;
  /** As in the tables of the kernel, `mm`, `deg/s2`; empty for a pure number or text. */
  readonly unit: string;
  /** Range; null where it has no end. */
  readonly low: number | null;
  readonly high: number | null;
  /** The low end itself is not allowed. */
  readonly openLow: boolean;
  readonly whole: boolean;
  readonly standard: Json | undefined;
  readonly description: string;
  /** Words to choose from. */
  readonly choices: readonly string[];
  readonly slider: readonly [number, number, number] | null;
}

/** The part of JSON Schema that the job's schema uses. */
interface SchemaNode {
  readonly type?: string;
  readonly minimum?: number;
  readonly exclusiveMinimum?: number;
  readonly maximum?: number;
  readonly default?: Json;
  readonly description?: string;
  readonly enum?: readonly string[];
  readonly properties?: Readonly<Record<string, SchemaNode>>;
  readonly items?: SchemaNode | boolean;
  readonly prefixItems?: readonly SchemaNode[];
  readonly anyOf?: readonly SchemaNode[];
}

/** Endings of keys, the longer first. */
const UNIT_OF_ENDING: readonly (readonly [string, string])[] = [
  ['_J_mm', 'J/mm'],
  ['_mm_s2', 'mm/s2'],
  ['_deg_s2', 'deg/s2'],
  ['_mm_s', 'mm/s'],
  ['_deg_s', 'deg/s'],
  ['_deg_mm', 'deg/mm'],
  ['_1_mm', '1/mm'],
  ['_mm', 'mm'],
  ['_deg', 'deg'],
  ['_pct', '%'],
  ['_ms', 'ms'],
  ['_C', 'degC'],
  ['_W', 'W'],
];

/** Words and unit of a key: `head_speed_mm_s` -> `Head speed`, `mm/s`. */
export function keyWords(key: string): { label: string; unit: string } {
  const ending = UNIT_OF_ENDING.find(([text]) => key.endsWith(text));
  const bare = ending === undefined ? key : key.slice(0, -ending[0].length);
  const words = bare.replaceAll('_', ' ');
  return { label: words.charAt(0).toUpperCase() + words.slice(1), unit: ending?.[1] ?? '' };
}

function childOf(node: SchemaNode | undefined, step: string): SchemaNode | undefined {
  if (node === undefined) return undefined;
  const own = node.properties?.[step];
  if (own !== undefined) return own;
  if (/^\d+$/.test(step)) {
    const item = node.prefixItems?.[Number(step)] ?? (typeof node.items === 'object' ? node.items : undefined);
    if (item !== undefined) return item;
  }
  for (const branch of node.anyOf ?? []) {
    const found = childOf(branch, step);
    if (found !== undefined) return found;
  }
  return undefined;
}

/** The first of a node and its branches for which `read` finds something. */
function firstOf<T>(node: SchemaNode, read: (node: SchemaNode) => T | undefined): T | undefined {
  const own = read(node);
  if (own !== undefined) return own;
  for (const branch of node.anyOf ?? []) {
    const found = firstOf(branch, read);
    if (found !== undefined) return found;
  }
  return undefined;
}

const ROOT = jobSchema as unknown as SchemaNode;
const known = new Map<string, FieldInfo>();

/** A seam's own head and process stand in for the job's, and mean the same. */
const ofTheJob = (steps: readonly string[]): readonly string[] =>
  steps[0] === 'seams' && (steps[2] === 'head' || steps[2] === 'process') ? steps.slice(2) : steps;

/** Throws where the schema knows no such field. */
export function fieldInfo(pointer: string): FieldInfo {
  const before = known.get(pointer);
  if (before !== undefined) return before;
  const steps = ofTheJob(pointerSteps(pointer));
  const node = steps.reduce<SchemaNode | undefined>(childOf, ROOT);
  if (node === undefined) throw new Error(`the schema knows no field ${pointer}`);
  const info = readInfo(steps, node);
  known.set(pointer, info);
  return info;
}

function readInfo(steps: readonly string[], node: SchemaNode): FieldInfo {
  const pattern = `/${steps.map((step) => (/^\d+$/.test(step) ? '*' : step)).join('/')}`;
  const key = steps.findLast((step) => !/^\d+$/.test(step)) ?? '';
  const words = FIELD_WORDS[pattern];
  const { label, unit } = keyWords(key);
  const openLow = firstOf(node, (n) => n.exclusiveMinimum);
  return {
    pattern,
    path: steps
      .map((step) => (/^\d+$/.test(step) ? `[${step}]` : `.${step}`))
      .join('')
      .slice(1),
    label: words?.label ?? label,
    unit,
    low: firstOf(node, (n) => n.minimum) ?? openLow ?? null,
    high: firstOf(node, (n) => n.maximum) ?? null,
    openLow: openLow !== undefined,
    whole: firstOf(node, (n) => n.type === 'integer' || undefined) ?? false,
    standard: node.default,
    description: node.description ?? '',
    choices: firstOf(node, (n) => n.enum) ?? [],
    slider: words?.slider ?? null,
  };
}
