// Reads what the folder of sample parts holds: parts as an import gives them, jobs, and the borders of a face.
import { readFileSync } from 'node:fs';
import { vi } from 'vitest';
import { importPart } from '../../src/intake/import-part.ts';
import { type Catalogue, parseCatalogue } from '../../src/model/catalogue.ts';
import type { Job } from '../../src/model/job.ts';
import { parseJobFile, readJob } from '../../src/model/parse-job.ts';
import type { Body, Edge, Part } from '../../src/model/part.ts';
import { host, quietTask } from '../intake/support.ts';

export type Vertex = readonly [number, number, number];

// A pod takes 4 s to import on a quiet machine; a busy one must not fail the test.
vi.setConfig({ testTimeout: 180_000 });

const FOLDER = new URL('../../sample-parts/', import.meta.url);
const DATA = new URL('../../shared/data/', import.meta.url);

export function sampleBytes(file: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(file, FOLDER)));
}

const parts = new Map<string, Promise<Part>>();

/** Deflections of a mesh, mm and rad: those a job has by default, and coarser ones where a test asks little of the mesh. */
export const FINE = { linear: 0.01, angular: 0.1 };
export const COARSE = { linear: 0.05, angular: 0.2 };

/** A sample imported; once a test file for each deflection. */
export function samplePart(file: string, deflection: typeof FINE): Promise<Part> {
  const key = `${file} ${deflection.linear}`;
  const settings = {
    tessellation: { ...deflection, maxTriangles: 2_000_000 },
    unitScale: file.endsWith('.stl') ? 1 : 0,
  };
  const part = parts.get(key) ?? importPart(file, sampleBytes(file), settings, host, quietTask());
  parts.set(key, part);
  return part;
}

export async function sampleBody(file: string, name: string, deflection = FINE): Promise<Body> {
  const body = (await samplePart(file, deflection)).bodies.find((candidate) => candidate.name === name);
  if (body === undefined) throw new Error(`${file} has no body ${name}`);
  return body;
}

export function catalogue(): Catalogue {
  const json = (file: string): unknown => JSON.parse(readFileSync(new URL(file, DATA), 'utf8'));
  return parseCatalogue(
    json('optics.json'),
    json('materials.json'),
    json('arms.json'),
    json('heads.json'),
    json('pairs.json'),
  );
}

export function sampleJob(name: string): Job {
  const file = `${name}.job.json`;
  return readJob(parseJobFile(readFileSync(new URL(file, FOLDER), 'utf8'), file), catalogue(), file);
}

export function vertexAt(body: Body, index: number): Vertex {
  return [body.position[3 * index], body.position[3 * index + 1], body.position[3 * index + 2]];
}

/** Vertices of a face, each once. */
export function faceVertices(body: Body, face: number): Vertex[] {
  const indices = new Set<number>();
  for (let t = 0; t < body.faceOfTriangle.length; t++) {
    if (body.faceOfTriangle[t] === face) for (let k = 0; k < 3; k++) indices.add(body.triangle[3 * t + k]);
  }
  return [...indices].map((index) => vertexAt(body, index));
}

/** The only face whose every vertex satisfies `test`. */
export function faceWhere(body: Body, test: (vertex: Vertex) => boolean): number {
  const found = body.faces.map((_, face) => face).filter((face) => faceVertices(body, face).every(test));
  if (found.length !== 1) throw new Error(`${found.length} faces of ${body.name} fit`);
  return found[0];
}

export function edgesOf(body: Body, face: number): Edge[] {
  return body.edges.filter((edge) => edge.faces.includes(face));
}

export function edgeVertices(body: Body, edges: readonly Edge[]): Vertex[] {
  return edges.flatMap((edge) => [...edge.vertex].map((index) => vertexAt(body, index)));
}
