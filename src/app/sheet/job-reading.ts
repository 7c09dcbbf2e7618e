// Reads a draft of a job for the sheet: values with their defaults, parts, which of two places a value comes from.
import { valueAt } from '../store/json-pointer.ts';
import type { JobDraft, Json } from '../store/state.ts';
import { fieldInfo } from './field-info.ts';

/** The value as written, else its default; undefined where there is neither. */
export function valueOrDefault(job: JobDraft, pointer: string): Json | undefined {
  return valueAt(job, pointer) ?? fieldInfo(pointer).standard;
}

export function numberAt(job: JobDraft, pointer: string): number | null {
  const value = valueOrDefault(job, pointer);
  return typeof value === 'number' ? value : null;
}

export function textAt(job: JobDraft, pointer: string): string {
  const value = valueOrDefault(job, pointer);
  return typeof value === 'string' ? value : '';
}

/** Written in the job, and not what would hold anyway. */
export function isChanged(job: JobDraft, pointer: string): boolean {
  const value = valueAt(job, pointer);
  if (value === undefined) return false;
  const { standard } = fieldInfo(pointer);
  return standard !== undefined && JSON.stringify(value) !== JSON.stringify(standard);
}

/** Where a seam's process value stands: its own where the seam has one, else the job's. */
export function processPointer(job: JobDraft, seam: number, key: string): string {
  const own = `/seams/${seam}/process/${key}`;
  return valueAt(job, own) === undefined ? `/process/${key}` : own;
}

export const listAt = (job: JobDraft, pointer: string): readonly JobDraft[] => {
  const value = valueAt(job, pointer);
  return Array.isArray(value) ? (value as readonly JobDraft[]) : [];
};

/** Keys of head or process that a seam sets for itself, as pointers. */
export function ownPointers(job: JobDraft, seam: number, part: 'head' | 'process'): readonly string[] {
  const own = valueAt(job, `/seams/${seam}/${part}`);
  return typeof own === 'object' && own !== null ? Object.keys(own).map((key) => `/seams/${seam}/${part}/${key}`) : [];
}

export const hasArm = (job: JobDraft): boolean => job.arm !== undefined && job.arm !== null;
export const hasLid = (job: JobDraft): boolean => listAt(job, '/parts').some(({ role }) => role === 'transmissive');
