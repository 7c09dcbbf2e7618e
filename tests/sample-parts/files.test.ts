// The files are whole: named, closed bodies; watertight clamps of a modest size; no date, person or program in a header; jobs
// that parse and whose points lie on the geometry.
import { existsSync, readdirSync } from 'node:fs';
import { Triangle, Vector3 } from 'three';
import { describe, expect, it } from 'vitest';
import type { Job, Point } from '../../src/model/job.ts';
import type { Body } from '../../src/model/part.ts';
import { COARSE, sampleBytes, sampleJob, samplePart, vertexAt } from './read-sample.ts';

const FOLDER = new URL('../../sample-parts/', import.meta.url);

const BODIES: Readonly<Record<string, readonly string[]>> = {
  'wave-pod.step': ['lid', 'tub'],
  'tide-pod.step': ['lid', 'tub'],
  'disc.step': ['lid', 'disc'],
  'crossing-cylinders.step': ['lid', 'boss'],
  'saddle-rim.step': ['rim'],
  'dome-pair.step': ['lid', 'dome'],
  'stadium.step': ['lid', 'tray'],
  'torus-ring.step': ['lid', 'ring'],
};

const CLAMPS = ['wave-pod-clamp.stl', 'wave-pod-clamp-shadow.stl'];

const JOBS = readdirSync(FOLDER)
  .filter((file) => file.endsWith('.job.json'))
  .map((file) => file.replace('.job.json', ''));

describe.each(Object.entries(BODIES))('%s', (file, names) => {
  it('holds its bodies by name, closed', async () => {
    const part = await samplePart(file, COARSE);
    expect(part.bodies.map(({ name }) => name)).toEqual(names);
    for (const body of part.bodies) {
      expect(body.openEdges).toBe(0);
      expect(volume(body)).toBeGreaterThan(0);
    }
  });

  it('names no time, author or program', () => {
    // Source: ISO 10303-21, section HEADER: FILE_NAME has name, time stamp, author, organisation and programs (memory).
    const header = new TextDecoder().decode(sampleBytes(file)).split('ENDSEC;')[0];
    expect(header).toContain("FILE_NAME('','',(''),(''),'','','');");
  });
});

describe.each(CLAMPS)('%s', (file) => {
  it('is a binary STL below 2 MB', () => {
    const bytes = sampleBytes(file);
    const count = new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true);
    // Source: STL, 84 + 50 n bytes.
    expect(bytes.length).toBe(84 + 50 * count);
    expect(bytes.length).toBeLessThan(2_000_000);
  });

  it('is watertight, its triangles look outward, and it is one piece', async () => {
    const { bodies } = await samplePart(file, COARSE);
    expect(bodies).toHaveLength(1);
    expect(bodies[0].openEdges).toBe(0);
    expect(volume(bodies[0])).toBeGreaterThan(50_000);
    expect(pieces(bodies[0])).toBe(1);
  });
});

it('has a job for every part', () => {
  expect([...JOBS].sort()).toEqual(
    [
      ...Object.keys(BODIES).map((file) => file.replace('.step', '')),
      'wave-pod-arm',
      'wave-pod-far',
      'wave-pod-relaxed',
      'wave-pod-shadow',
    ].sort(),
  );
});

describe.each(JOBS)('%s.job.json', (name) => {
  it('parses, and its files and bodies exist', async () => {
    const job = sampleJob(name);
    for (const part of job.parts) {
      expect(existsSync(new URL(part.file, FOLDER))).toBe(true);
      if (part.body !== '') expect(BODIES[part.file]).toContain(part.body);
    }
  });

  it('selects by points that lie on the body', async () => {
    const job = sampleJob(name);
    const [seam] = job.seams;
    const points = [...selectionPoints(job), ...(seam.startNear === null ? [] : [seam.startNear])];
    expect(points.length).toBeGreaterThan(1);
    const { select } = seam;
    if (select.kind !== 'edge' && select.kind !== 'band') throw new Error('a job of the samples selects by points');
    const part = job.parts.find(({ body }) => body === select.body);
    const body = (await samplePart(part?.file ?? '', COARSE)).bodies.find(
      (candidate) => candidate.name === select.body,
    );
    if (body === undefined) throw new Error('no such body');
    // A mesh keeps within its deflection of the surface; a little more for what the importer makes of it.
    for (const point of points) expect(distanceToMesh(body, point)).toBeLessThan(1.1 * COARSE.linear);
  });
});

function selectionPoints(job: Job): Point[] {
  const { select } = job.seams[0];
  if (select.kind !== 'edge' && select.kind !== 'band') return [];
  return select.kind === 'edge' && select.faceNear !== null ? [select.near, select.faceNear] : [select.near];
}

function volume(body: Body): number {
  let sum = 0;
  for (let t = 0; t < body.triangle.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => new Vector3(...vertexAt(body, body.triangle[t + k])));
    sum += a.dot(b.cross(c)) / 6;
  }
  return sum;
}

/** Number of pieces that no edge joins. */
function pieces(body: Body): number {
  const parent = Array.from({ length: body.position.length / 3 }, (_, i) => i);
  const root = (i: number): number => {
    let at = i;
    while (parent[at] !== at) at = parent[at];
    return at;
  };
  for (let t = 0; t < body.triangle.length; t += 3) {
    const first = root(body.triangle[t]);
    parent[root(body.triangle[t + 1])] = first;
    parent[root(body.triangle[t + 2])] = first;
  }
  return new Set([...body.triangle].map(root)).size;
}

/** Source: closest point of a triangle as `three` computes it (general-purpose library). */
function distanceToMesh(body: Body, [x, y, z]: Point): number {
  const point = new Vector3(x, y, z);
  const [triangle, closest] = [new Triangle(), new Vector3()];
  let least = Number.POSITIVE_INFINITY;
  for (let t = 0; t < body.triangle.length; t += 3) {
    triangle.a.set(...vertexAt(body, body.triangle[t]));
    triangle.b.set(...vertexAt(body, body.triangle[t + 1]));
    triangle.c.set(...vertexAt(body, body.triangle[t + 2]));
    least = Math.min(least, triangle.closestPointToPoint(point, closest).distanceTo(point));
  }
  return least;
}
