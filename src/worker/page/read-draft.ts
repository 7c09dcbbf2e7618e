// What of a draft of a job can be imported: its parts as far as they say enough, and how finely. A draft need not be a whole job yet.
import { InputError } from '../../model/input-error.ts';
import type { Job, JobPart } from '../../model/job.ts';
import { jobFileSchema } from '../../model/job-file.ts';
import { MM_PER_UNIT } from '../../model/parse-job.ts';
import { RAD_PER_DEG } from '../../model/units.ts';

export interface Draft {
  readonly importable: Pick<Job, 'parts' | 'tessellation'>;
  /** Whether it says where a seam runs: without, there is nothing to plan. */
  readonly hasSeams: boolean;
  /** Names of the files that it needs, each once: those of its parts, and the model of its arm. */
  readonly files: readonly string[];
}

/** Throws InputError `job-json`, `job-format`. */
export function readDraft(text: string, place: string): Draft {
  const job = parse(text, place);
  const parts = Array.isArray(job.parts) ? job.parts.filter(isObject) : [];
  const wanted = jobFileSchema.shape.tessellation.safeParse(job.tessellation ?? {});
  const { linear_mm, angular_deg, max_triangles } = wanted.data ?? jobFileSchema.shape.tessellation.parse({});
  const named = parts.filter((part): part is { file: string; unit?: unknown } => typeof part.file === 'string');
  const tessellation = { linear: linear_mm, angular: angular_deg * RAD_PER_DEG, maxTriangles: max_triangles };
  return {
    importable: { parts: named.flatMap(importable), tessellation },
    hasSeams: Array.isArray(job.seams) && job.seams.length > 0,
    files: [...new Set([...named.map((part) => part.file), ...armFile(job.arm)])],
  };
}

function parse(text: string, place: string): Record<string, unknown> {
  let job: unknown;
  try {
    job = JSON.parse(text);
  } catch {
    throw new InputError('job-json', 'the file is not valid JSON', place, 'choose a job file');
  }
  if (isObject(job) && job.format === 'raythread-job/1') return job;
  throw new InputError('job-format', 'the file is not a job', place, 'a job has "format": "raythread-job/1"');
}

const isObject = (value: unknown): value is Record<string, unknown> =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

function armFile(arm: unknown): readonly string[] {
  const model = isObject(arm) ? arm.model : undefined;
  return isObject(model) && typeof model.file === 'string' ? [model.file] : [];
}

/** A part with what an import reads of it; nothing for a mesh file whose unit is not known yet. */
function importable({ file, unit }: { readonly file: string; readonly unit?: unknown }): JobPart[] {
  const known = typeof unit === 'string' && Object.hasOwn(MM_PER_UNIT, unit);
  if (/\.stl$/i.test(file) && !known) return [];
  const unitScale = known ? MM_PER_UNIT[unit as keyof typeof MM_PER_UNIT] : 0;
  return [{ file, body: '', role: 'absorbing', material: '', unitScale }];
}
