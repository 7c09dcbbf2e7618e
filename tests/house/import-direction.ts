// The rules of the house: imports run downward only, packages stay where they belong, the kernel stays deterministic.
import { builtinModules } from 'node:module';
import { posix } from 'node:path';
import { BANNED_GLOBALS, BANNED_MEMBERS, EXACT_MATH, KERNEL, MAY_IMPORT, PACKAGE_HOME } from './layers.ts';
import { sourceFacts } from './source-facts.ts';

export interface SourceFile {
  /** From the top of the checkout, with forward slashes: `src/beam/fresnel.ts`. */
  readonly path: string;
  readonly text: string;
}

export interface Violation {
  readonly path: string;
  readonly line: number;
  readonly sentence: string;
}

const NODE_MODULES = new Set(builtinModules);

/** `src/beam/fresnel.ts` -> `beam`; null outside `src` or directly in it. */
function folderOf(path: string): string | null {
  const parts = path.split('/');
  return parts[0] === 'src' && parts.length > 2 ? parts[1] : null;
}

/** `@scope/name/deep/file` -> `@scope/name` */
const packageOf = (specifier: string): string =>
  specifier
    .split('/')
    .slice(0, specifier.startsWith('@') ? 2 : 1)
    .join('/');

/** What is wrong with one reference from `path`, or null. */
function wrongReference(path: string, folder: string, to: string): string | null {
  if (to.startsWith('(')) return KERNEL.includes(folder) ? 'imports something that only shows when it runs' : null;
  if (to.startsWith('.')) {
    const target = posix.normalize(posix.join(posix.dirname(path), to.replace(/\?.*$/, '')));
    if (target.startsWith('shared/data/') || target.startsWith('shared/schemas/') || target === 'package.json')
      return null;
    const targetFolder = folderOf(target);
    if (targetFolder === null) return `imports ${target}, which is no layer of src`;
    if (targetFolder === folder || MAY_IMPORT[folder].includes(targetFolder)) return null;
    return `src/${folder} must not import src/${targetFolder} (${to})`;
  }
  if (to.startsWith('node:') || NODE_MODULES.has(packageOf(to))) {
    return KERNEL.includes(folder) ? `the kernel must not import ${to}` : null;
  }
  const name = packageOf(to);
  const home = PACKAGE_HOME[name];
  return home === undefined || home.includes(folder) ? null : `only src/${home.join(', src/')} may import ${name}`;
}

/** What is wrong with one use in the kernel, or null. */
function wrongUse(what: string): string | null {
  if (what === 'Math') return 'Math may only stand before a plain member name here';
  if (what.startsWith('Math.')) {
    return EXACT_MATH.has(what.slice(5)) ? null : `${what} differs between engines: use geometry/elementary.ts`;
  }
  if (what.startsWith('**'))
    return `${what} needs an integer literal as its exponent: use pow from geometry/elementary.ts`;
  const banned = what.startsWith('.') ? BANNED_MEMBERS.has(what.slice(1)) : BANNED_GLOBALS.has(what);
  return banned ? `${what} has no place in the kernel` : null;
}

/** All that breaks the rules in these files, in their order. */
export function findViolations(files: readonly SourceFile[]): Violation[] {
  const violations: Violation[] = [];
  for (const { path, text } of files) {
    const say = (line: number, sentence: string | null): void => {
      if (sentence !== null) violations.push({ path, line, sentence });
    };
    const folder = folderOf(path);
    if (folder === null || MAY_IMPORT[folder] === undefined) {
      say(1, 'lies in no known layer of src');
      continue;
    }
    const { references, uses } = sourceFacts(path, text);
    for (const { to, line } of references) say(line, wrongReference(path, folder, to));
    if (KERNEL.includes(folder)) for (const { what, line } of uses) say(line, wrongUse(what));
  }
  return violations;
}
