// One zip archive of files. The same files give the same bytes: no clock goes in.
import { zipSync } from 'fflate';
import type { PageFile } from './protocol.ts';

/** The first day that the format knows. */
const DATE = new Date(1980, 0, 1);

/** Files in their order, deflated. */
export function packFiles(files: readonly PageFile[]): Uint8Array {
  return zipSync(Object.fromEntries(files.map(({ name, bytes }) => [name, bytes])), { mtime: DATE });
}
