// What the planner needs from the place it runs in: files, the importer, hashes. Node, a browser and a test each give one.
import type { CadImporter } from '../model/raw-import.ts';

export interface Host {
  /** Bytes of a file inside the job's folder; throws InputError `file-missing`, `file-outside`, `file-unreadable`. */
  readFile(path: string): Promise<Uint8Array>;
  /** Lower-case hex SHA-256. */
  sha256(bytes: Uint8Array): Promise<string>;
  readonly importCad: CadImporter;
}
