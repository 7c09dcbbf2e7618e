// What an import worker hands back, before bodies are made of it.

export interface RawBody {
  readonly name: string;
  /** 3 x nv, mm. */
  readonly position: Float64Array;
  /** 3 x nt. */
  readonly triangle: Uint32Array;
  /** First triangle of each face and the one after its last, 2 x nf; equal for a face without triangles. */
  readonly faceRange: Uint32Array;
}

export interface ImportSettings {
  /** mm, rad */
  readonly linear: number;
  readonly angular: number;
}

/** Either bodies, or why not (what the importer printed). */
export type RawImport =
  | { readonly ok: true; readonly bodies: readonly RawBody[] }
  | { readonly ok: false; readonly reason: string };

export type CadFormat = 'step' | 'iges' | 'brep';

/**
 * Runs the CAD importer away from the caller's thread: one worker an import, ended afterwards or when the signal aborts.
 * A trap in the importer is `ok: false`, never an exception.
 */
export type CadImporter = (
  bytes: Uint8Array,
  format: CadFormat,
  settings: ImportSettings,
  signal: import('./task.ts').AbortSignalLike,
) => Promise<RawImport>;
