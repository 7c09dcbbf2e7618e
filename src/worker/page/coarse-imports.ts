// Coarse imports, for the stage only: there long before the fine ones. Kept by content, so that a file that was looked at when it was
// opened is not imported coarsely again.
import { Cancelled } from '../../model/input-error.ts';
import type { JobPart } from '../../model/job.ts';
import type { Part } from '../../model/part.ts';
import type { CadImporter } from '../../model/raw-import.ts';
import type { Task } from '../../model/task.ts';
import { RAD_PER_DEG } from '../../model/units.ts';
import { importPart } from '../../intake/import-part.ts';

/** mm, rad, triangles: what a quick look needs. */
const COARSE = { linear: 0.2, angular: 20 * RAD_PER_DEG, maxTriangles: 2_000_000 };

/** Results kept. */
const KEPT = 32;

export interface CoarseImports {
  /** One file; throws as `importPart` does. */
  one(file: string, bytes: Uint8Array, unitScale: number, task: Task): Promise<Part>;
  /** All files of the parts, or null where the last scene has them already. */
  of(
    parts: readonly JobPart[],
    files: ReadonlyMap<string, Uint8Array>,
    shown: readonly Part[],
    task: Task,
  ): Promise<readonly Part[] | null>;
}

export function createCoarseImports(host: {
  readonly importCad: CadImporter;
  sha256(bytes: Uint8Array): Promise<string>;
}): CoarseImports {
  const kept = new Map<string, Part>();

  async function one(file: string, bytes: Uint8Array, unitScale: number, task: Task): Promise<Part> {
    const key = `${await host.sha256(bytes)}/${unitScale}/${file}`;
    const known = kept.get(key);
    if (known !== undefined) return known;
    const part = await importPart(file, bytes, { tessellation: COARSE, unitScale }, host, task);
    kept.set(key, part);
    const oldest = kept.keys().next().value;
    if (kept.size > KEPT && oldest !== undefined) kept.delete(oldest);
    return part;
  }

  return {
    one,
    async of(parts, files, shown, task) {
      const wanted = new Map(parts.map((part) => [part.file, part]));
      const there = new Set(shown.map((part) => part.file));
      if ([...wanted.keys()].every((file) => there.has(file))) return null;
      const made: Part[] = [];
      for (const { file, unitScale } of wanted.values()) {
        const bytes = files.get(file);
        if (bytes !== undefined) made.push(await one(file, bytes, unitScale, task));
        if (task.signal.aborted) throw new Cancelled();
      }
      return made;
    },
  };
}
