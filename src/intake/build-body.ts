// Makes a body of an imported mesh: welds doubles, turns it right side out, finds the model's edges, drops flat triangles.
import type { Task } from '../model/task.ts';
import type { Body, Face, ImportNote } from '../model/part.ts';
import type { RawBody } from '../model/raw-import.ts';
import { chainEdges } from './chain-edges.ts';
import { computeFacetNormals } from './facet-normals.ts';
import { findMeshEdges } from './mesh-edges.ts';
import { weldVertices } from './weld-vertices.ts';

/** Vertices of neighbouring faces of one solid lie at most this far apart, mm (mostly they agree to the bit). */
export const WELD_TOLERANCE = 1e-5;

/** Vertices of an exact model lie this close to its surfaces, mm. */
const MODEL_NOISE = 1e-6;

export interface BuiltBody {
  readonly body: Body;
  readonly notes: readonly ImportNote[];
}

/** A welded mesh whose triangles are ordered by face. */
export interface WeldedMesh {
  readonly name: string;
  readonly index: number;
  /** What the ids of its edges begin with: the name, or `#index` where the name is not unique. */
  readonly idPrefix: string;
  /** 3 x nv, mm. */
  readonly position: Float64Array;
  /** 3 x nt; a triangle may use a vertex twice: it is dropped. */
  readonly triangle: Uint32Array;
  /** nt, ascending. */
  readonly faceOfTriangle: Uint32Array;
  readonly faceCount: number;
  readonly noise: number;
}

/** Makes body number `index` of what the importer gave. `name` must not be empty. */
export async function buildBody(
  raw: RawBody,
  name: string,
  index: number,
  idPrefix: string,
  task: Task,
): Promise<BuiltBody> {
  const welded = await weldVertices(raw.position, WELD_TOLERANCE, task);
  const faceCount = raw.faceRange.length / 2;
  const faceOfTriangle = new Uint32Array(raw.triangle.length / 3);
  for (let f = 0; f < faceCount; f++) faceOfTriangle.fill(f, raw.faceRange[2 * f], raw.faceRange[2 * f + 1]);
  const triangle = raw.triangle.map((v) => welded.index[v]);
  const { position } = welded;
  return assembleBody(
    { name, index, idPrefix, position, triangle, faceOfTriangle, faceCount, noise: MODEL_NOISE },
    task,
  );
}

/**
 * Makes a body of a welded mesh. Flat triangles are dropped last: until then they hold their neighbours together, so that
 * edges stay whole and a closed body counts as closed.
 */
export async function assembleBody(mesh: WeldedMesh, task: Task): Promise<BuiltBody> {
  const { name, index, position, faceCount, noise } = mesh;
  const notes: ImportNote[] = [];
  const sound = selectTriangles(mesh.triangle, mesh.faceOfTriangle, (a, b, c) => a !== b && b !== c && c !== a);
  const edges = await findMeshEdges(sound.triangle, position.length / 3, task);
  let openEdges = 0;
  let crowded = 0;
  for (let e = 0; e < edges.count; e++) {
    if (edges.uses[e] === 1) openEdges++;
    if (edges.uses[e] > 2) crowded++;
  }
  const closed = openEdges === 0 && sound.triangle.length > 0;
  let mend = edges;
  if (closed && signedVolume(position, sound.triangle) < 0) {
    flip(sound.triangle);
    mend = { ...edges, left: edges.right, right: edges.left };
    notes.push({ code: 'turned-outward', sentence: `Body ${name} was inside out; its triangles were turned.` });
  }
  if (openEdges > 0) {
    notes.push({
      code: 'open-edges',
      sentence: `Body ${name} is not closed: ${openEdges} mesh edges border one triangle only.`,
    });
  }
  if (crowded > 0) {
    notes.push({
      code: 'crowded-edges',
      sentence: `Body ${name} has ${crowded} mesh edges shared by more than two triangles.`,
    });
  }
  const normal = computeFacetNormals(position, sound.triangle);
  await task.pause('finding edges', 0.5);
  const chained = chainEdges({
    name: mesh.idPrefix,
    position,
    faceOfTriangle: sound.faceOfTriangle,
    normal,
    mesh: mend,
  });
  await task.pause('finding edges', 1);
  const kept = selectTriangles(sound.triangle, sound.faceOfTriangle, (_a, _b, _c, t) => !Number.isNaN(normal[3 * t]));
  const faces = faceRuns(kept.faceOfTriangle, faceCount);
  return { body: { name, index, position, ...kept, faces, edges: chained, openEdges, noise }, notes };
}

interface Triangles {
  readonly triangle: Uint32Array;
  readonly faceOfTriangle: Uint32Array;
}

function selectTriangles(
  triangle: Uint32Array,
  faceOfTriangle: Uint32Array,
  keep: (a: number, b: number, c: number, t: number) => boolean,
): Triangles {
  const chosen = new Uint32Array(triangle.length);
  const face = new Uint32Array(faceOfTriangle.length);
  let n = 0;
  for (let t = 0; t < faceOfTriangle.length; t++) {
    const a = triangle[3 * t];
    const b = triangle[3 * t + 1];
    const c = triangle[3 * t + 2];
    if (!keep(a, b, c, t)) continue;
    chosen[3 * n] = a;
    chosen[3 * n + 1] = b;
    chosen[3 * n + 2] = c;
    face[n] = faceOfTriangle[t];
    n++;
  }
  return { triangle: chosen.slice(0, 3 * n), faceOfTriangle: face.slice(0, n) };
}

function faceRuns(faceOfTriangle: Uint32Array, faceCount: number): Face[] {
  const triangleCount = new Uint32Array(faceCount);
  for (const face of faceOfTriangle) triangleCount[face]++;
  const faces: Face[] = [];
  let firstTriangle = 0;
  for (const count of triangleCount) {
    faces.push({ firstTriangle, triangleCount: count });
    firstTriangle += count;
  }
  return faces;
}

/** Volume inside a closed mesh, mm3; negative when it is inside out. Counted from its first vertex to keep digits. */
function signedVolume(position: Float64Array, triangle: Uint32Array): number {
  const o = 3 * triangle[0];
  let volume = 0;
  const d = new Float64Array(9);
  for (let c = 0; c < triangle.length; c += 3) {
    for (let k = 0; k < 9; k++) {
      d[k] = position[3 * triangle[c + ((k / 3) | 0)] + (k % 3)] - position[o + (k % 3)];
    }
    volume +=
      d[0] * (d[4] * d[8] - d[5] * d[7]) + d[1] * (d[5] * d[6] - d[3] * d[8]) + d[2] * (d[3] * d[7] - d[4] * d[6]);
  }
  return volume / 6;
}

function flip(triangle: Uint32Array): void {
  for (let c = 0; c < triangle.length; c += 3) {
    const b = triangle[c + 1];
    triangle[c + 1] = triangle[c + 2];
    triangle[c + 2] = b;
  }
}
