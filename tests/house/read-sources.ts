// All TypeScript files below `src`, in a fixed order.
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import type { SourceFile } from './import-direction.ts';

/** `root`: the top of the checkout. */
export function readSources(root: string): SourceFile[] {
  return readdirSync(join(root, 'src'), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.[cm]?tsx?$/.test(entry.name))
    .map((entry) => join(entry.parentPath ?? entry.path, entry.name))
    .sort()
    .map((file) => ({ path: relative(root, file).split(sep).join('/'), text: readFileSync(file, 'utf8') }));
}
