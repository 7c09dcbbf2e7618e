// What the names of files and bodies suggest about a part: its role and its material. Guesses, shown as such.
import type { JobDraft, Json } from './state.ts';

type Role = 'transmissive' | 'absorbing' | 'tooling';

const WORDS: readonly (readonly [Role, readonly string[]])[] = [
  ['tooling', ['clamp', 'fixture', 'tool', 'tooling', 'jig', 'nest']],
  ['transmissive', ['lid', 'cover', 'cap', 'lens', 'window', 'top', 'upper', 'clear']],
  ['absorbing', ['tub', 'base', 'body', 'housing', 'bottom', 'lower', 'case', 'box']],
];

/** Materials of the catalogue that a role is likely to have where the job names none. */
export const MATERIAL = {
  transmissive: 'pc-clear',
  absorbing: 'pc-carbon-black',
  tooling: undefined,
} as const satisfies Record<Role, string | undefined>;

/** The role that a name speaks of; undefined where it speaks of none. */
export function guessRole(name: string): Role | undefined {
  const words = name
    .replace(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .split(/[^a-z]+/);
  return WORDS.find(([, known]) => known.some((word) => words.includes(word)))?.[0];
}

/** A part with role and material guessed from the body's name, else the file's; and which of its keys are guesses. */
export function guessPart(file: string, body: string | undefined): { part: JobDraft; guessed: readonly string[] } {
  const role = guessRole(body ?? '') ?? guessRole(file);
  const material = role === undefined ? undefined : MATERIAL[role];
  const guesses: [string, Json | undefined][] = [
    ['role', role],
    ['material', material],
  ];
  const made = guesses.filter((entry): entry is [string, Json] => entry[1] !== undefined);
  return {
    part: { file, ...(body === undefined ? {} : { body }), ...Object.fromEntries(made) },
    guessed: made.map(([key]) => key),
  };
}
