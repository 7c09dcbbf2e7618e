// What a job still has to be told by a person before it can be planned.
import { pointerStep } from './json-pointer.ts';
import type { JobDraft, Json, Question } from './state.ts';

const UNITS = ['mm', 'cm', 'm', 'in'];
const ROLES = ['transmissive', 'absorbing', 'tooling', 'clear-clamp'];

/** The parts of a draft as objects; what is no object counts as one without keys. */
export function draftParts(job: JobDraft): readonly JobDraft[] {
  const parts = job.parts;
  if (!Array.isArray(parts)) return [];
  return parts.map((part: Json) =>
    typeof part === 'object' && part !== null && !Array.isArray(part) ? part : {},
  ) as JobDraft[];
}

/** Questions in the order of the parts; a file's unit is asked once. */
export function openQuestions(job: JobDraft): readonly Question[] {
  const asked = new Set<string>();
  return draftParts(job).flatMap((part, index): Question[] => {
    const file = String(part.file ?? '');
    const body = typeof part.body === 'string' ? `, ${part.body}` : '';
    const at = `/parts/${pointerStep(index)}`;
    const questions: Question[] = [];
    if (/\.stl$/i.test(file) && part.unit === undefined && !asked.has(file)) {
      asked.add(file);
      questions.push({ kind: 'unit', about: file, pointer: `${at}/unit`, choices: UNITS });
    }
    if (part.role === undefined) {
      questions.push({ kind: 'role', about: `${file}${body}`, pointer: `${at}/role`, choices: ROLES });
    }
    return questions;
  });
}
