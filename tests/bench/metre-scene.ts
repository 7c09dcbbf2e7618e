// The scene that the figures are measured on: the sample pod with a clamp, enlarged to one metre of seam and meshed to
// about 100,000 triangles in all.
import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import arms from '../../shared/data/arms.json' with { type: 'json' };
import heads from '../../shared/data/heads.json' with { type: 'json' };
import materials from '../../shared/data/materials.json' with { type: 'json' };
import optics from '../../shared/data/optics.json' with { type: 'json' };
import pairs from '../../shared/data/pairs.json' with { type: 'json' };
import { importPart } from '../../src/intake/import-part.ts';
import { parseCatalogue } from '../../src/model/catalogue.ts';
import type { Job } from '../../src/model/job.ts';
import type { JobFile } from '../../src/model/job-file.ts';
import { parseJobFile, readJob } from '../../src/model/parse-job.ts';
import type { Body, Part } from '../../src/model/part.ts';
import type { Task } from '../../src/model/task.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';

const SAMPLES = new URL('../../sample-parts/', import.meta.url);

/** A task that never pauses: what is measured is the work. */
export const busyTask: Task = {
  check: () => undefined,
  pause: async () => undefined,
  signal: new AbortController().signal,
};

export const catalogue = parseCatalogue(optics, materials, arms, heads, pairs);

export function sampleJobFile(name: string): JobFile {
  return parseJobFile(readFileSync(new URL(name, SAMPLES), 'utf8'), name);
}

/** Imports a sample file at the given deflection, mm. */
export async function importSample(file: string, linear: number, unitScale: number): Promise<Part> {
  const host = createNodeHost(SAMPLES.pathname);
  const tessellation = { linear, angular: 0.1, maxTriangles: 5_000_000 };
  return importPart(basename(file), readFileSync(new URL(file, SAMPLES)), { tessellation, unitScale }, host, busyTask);
}

/** The job with all its points moved along with parts enlarged by `scale`; spacing as given, mm. */
export function enlargedJob(name: string, scale: number, spacing: number): Job {
  const file = sampleJobFile(name);
  const seams = file.seams.map((seam) => {
    if (!('band' in seam.select)) throw new Error('the measured job selects a band');
    const { start_near_mm, ...rest } = seam;
    const band = { ...seam.select.band, near_mm: enlarged(seam.select.band.near_mm, scale) };
    const start = start_near_mm === undefined ? {} : { start_near_mm: enlarged(start_near_mm, scale) };
    return { ...rest, ...start, spacing_mm: spacing, select: { band } };
  });
  return readJob({ ...file, seams }, catalogue, name);
}

function enlarged([x, y, z]: readonly [number, number, number], scale: number): [number, number, number] {
  return [x * scale, y * scale, z * scale];
}

/** A body enlarged by `scale`. */
export function enlargedBody(body: Body, scale: number): Body {
  return {
    ...body,
    position: body.position.map((value) => value * scale),
    edges: body.edges.map((edge) => ({ ...edge, length: edge.length * scale })),
  };
}
