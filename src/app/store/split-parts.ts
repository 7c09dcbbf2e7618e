// A part that names a file of several bodies without saying which: one part a body, with what their names suggest.
import type { SceneView } from '../../output/view/plan-view.ts';
import { guessPart, MATERIAL } from './part-guesses.ts';
import { draftParts } from './questions.ts';
import type { JobDraft } from './state.ts';

/** The job with such parts split, and where the guesses then stand; null where there is nothing to split. */
export function splitParts(
  job: JobDraft,
  guessed: readonly string[],
  scene: SceneView,
): { readonly job: JobDraft; readonly guessed: readonly string[] } | null {
  const parts = draftParts(job);
  const next: JobDraft[] = [];
  const guesses = guessed.filter((pointer) => !pointer.startsWith('/parts/'));
  for (const [index, part] of parts.entries()) {
    const bodies = part.body === undefined ? scene.bodies.filter((body) => body.file === part.file) : [];
    if (bodies.length < 2) {
      const from = `/parts/${index}/`;
      for (const pointer of guessed) {
        if (pointer.startsWith(from)) guesses.push(`/parts/${next.length}/${pointer.slice(from.length)}`);
      }
      next.push(part);
      continue;
    }
    const names = bodies.map((body) => body.name);
    for (const { name, index: place } of bodies) {
      const unique = names.indexOf(name) === names.lastIndexOf(name);
      const { part: own, guessed: keys } = guessPart(String(part.file), unique ? name : `#${place}`);
      guesses.push(...keys.map((key) => `/parts/${next.length}/${key}`));
      next.push(part.unit === undefined ? own : { ...own, unit: part.unit });
    }
  }
  if (next.length === parts.length) return null;
  guesses.push(...guessLast(next));
  return { job: { ...job, parts: next }, guessed: guesses };
}

/** Where one part is left whose role no name tells, and nothing absorbs yet what another lets through, it is taken to be the one that does. */
function guessLast(parts: JobDraft[]): readonly string[] {
  const unknown = parts.flatMap((part, index) => (part.role === undefined ? [index] : []));
  const has = (role: string) => parts.some((part) => part.role === role);
  const [index] = unknown;
  if (index === undefined || unknown.length > 1 || has('absorbing') || !has('transmissive')) return [];
  parts[index] = { ...parts[index], role: 'absorbing', material: MATERIAL.absorbing };
  return [`/parts/${index}/role`, `/parts/${index}/material`];
}
