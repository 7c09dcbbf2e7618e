// What an import gives: bodies as welded triangle meshes with the faces and edges of the model they came from.

/** One face of the model: a run of triangles in `Body.triangle`. */
export interface Face {
  /** Index of its first triangle. */
  readonly firstTriangle: number;
  /** Number of its triangles; 0 when the importer gave none. */
  readonly triangleCount: number;
}

/** A chain of mesh edges between two faces (or along an open border), from branch point to branch point, or closed. */
export interface Edge {
  /** `body:3-7`, made of its two faces and so stable under deflection; a further edge between the same faces ends in `.2` .. */
  readonly id: string;
  /** Indices of its two faces, the smaller first; the second is -1 along an open border. */
  readonly faces: readonly [number, number];
  /** Vertex indices in order; a closed edge does not repeat its first. */
  readonly vertex: Uint32Array;
  readonly closed: boolean;
  /** Length of the chain of chords, mm. */
  readonly length: number;
  /** Smallest and largest angle between the two faces' outward normals along it, rad; 0 is smooth, NaN along an open border. */
  readonly dihedral: readonly [number, number];
}

/** One solid or shell. */
export interface Body {
  /** Name as in the file; `#0`, `#1` .. by position when the file gives none. */
  readonly name: string;
  /** Position in the file, 0-based. */
  readonly index: number;
  /** Vertex positions, 3 x nv, mm, part frame, double precision, doubles welded. */
  readonly position: Float64Array;
  /** Vertex indices, 3 x nt, counter-clockwise seen from outside; zero-area triangles removed. */
  readonly triangle: Uint32Array;
  /** Face of each triangle, nt. */
  readonly faceOfTriangle: Uint32Array;
  readonly faces: readonly Face[];
  readonly edges: readonly Edge[];
  /** Number of mesh edges that have one triangle only. */
  readonly openEdges: number;
  /** Chordal error that vertices may have against the true surface, mm: 1e-6 for a model, the noise level for a scan. */
  readonly noise: number;
}

/** Something an import wants said, not an error. */
export interface ImportNote {
  /** Stable, kebab-case: `triangle-cap`, `open-edges`, `size-doubtful` .. */
  readonly code: string;
  readonly sentence: string;
}

export type PartFormat = 'step' | 'iges' | 'brep' | 'stl';

/** One imported file. */
export interface Part {
  /** Name as in the job, with forward slashes. */
  readonly file: string;
  readonly format: PartFormat;
  /** SHA-256 of the file's bytes, lower-case hex. */
  readonly sha256: string;
  readonly bodies: readonly Body[];
  readonly notes: readonly ImportNote[];
  /** Deflections the import really used (a triangle cap may have coarsened them), mm and rad; NaN for a mesh file. */
  readonly linearDeflection: number;
  readonly angularDeflection: number;
}

/** What a body does in the process. */
export type Role = 'transmissive' | 'absorbing' | 'tooling' | 'clear-clamp';
