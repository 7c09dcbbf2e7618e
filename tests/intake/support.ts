// Meshes by hand, a task that only counts, and the way to the STEP files that occt-import-js ships.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import type { ImportHost } from '../../src/intake/import-part.ts';
import type { RawBody } from '../../src/model/raw-import.ts';
import type { AbortSignalLike, Task } from '../../src/model/task.ts';
import { createNodeImporter } from '../../src/worker/node-importer.ts';

/** A task that never pauses; `aborted` cancels it. */
export function quietTask(signal: AbortSignalLike = new AbortController().signal): Task {
  return { signal, check() {}, async pause() {} };
}

/** A file of the interoperability set inside occt-import-js: read where it is installed. */
export function outsideFile(path: string): Uint8Array {
  const folder = dirname(createRequire(import.meta.url).resolve('occt-import-js/package.json'));
  return new Uint8Array(readFileSync(join(folder, 'test', 'testfiles', path)));
}

/** Importer of the tests, with what else an import needs of its host. */
export const host: ImportHost = {
  importCad: createNodeImporter(),
  async sha256(bytes) {
    return createHash('sha256').update(bytes).digest('hex');
  },
};

/** Six faces of a box from the origin, each with four vertices of its own, counter-clockwise seen from outside. */
export function rawBox(x: number, y: number, z: number): RawBody {
  const corner = (i: number): number[] => [i & 1 ? x : 0, i & 2 ? y : 0, i & 4 ? z : 0];
  const quads = [
    [0, 2, 3, 1],
    [4, 5, 7, 6],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 4, 6, 2],
    [1, 3, 7, 5],
  ];
  return {
    name: 'box',
    position: Float64Array.from(quads.flat().flatMap(corner)),
    triangle: Uint32Array.from(quads.flatMap((_, q) => [0, 1, 2, 0, 2, 3].map((k) => 4 * q + k))),
    faceRange: Uint32Array.from(quads.flatMap((_, q) => [2 * q, 2 * q + 2])),
  };
}

/** A tube (faces: outside, top ring, inside, bottom ring) with n segments; each face has vertices of its own. */
export function rawTube(outer: number, inner: number, height: number, n: number): RawBody {
  const position: number[] = [];
  const triangle: number[] = [];
  const faceRange: number[] = [];
  const ring = (r: number, z: number): number => {
    const first = position.length / 3;
    // One vertex more than segments, as an importer has it along the seam of a periodic face.
    for (let i = 0; i <= n; i++) {
      const a = (2 * Math.PI * (i % n)) / n;
      position.push(r * Math.cos(a), r * Math.sin(a), z);
    }
    return first;
  };
  const strip = (low: [number, number], high: [number, number]): void => {
    faceRange.push(triangle.length / 3);
    const a = ring(...low);
    const b = ring(...high);
    for (let i = 0; i < n; i++) triangle.push(a + i, a + i + 1, b + i + 1, a + i, b + i + 1, b + i);
    faceRange.push(triangle.length / 3);
  };
  strip([outer, 0], [outer, height]);
  strip([outer, height], [inner, height]);
  strip([inner, height], [inner, 0]);
  strip([inner, 0], [outer, 0]);
  return {
    name: 'tube',
    position: Float64Array.from(position),
    triangle: Uint32Array.from(triangle),
    faceRange: Uint32Array.from(faceRange),
  };
}

/** Binary STL of a triangle soup, 9 numbers a triangle. */
export function binaryStl(corner: ArrayLike<number>, header = ''): Uint8Array {
  const count = corner.length / 9;
  const bytes = new Uint8Array(84 + 50 * count);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < header.length; i++) bytes[i] = header.charCodeAt(i);
  view.setUint32(80, count, true);
  for (let t = 0; t < count; t++) {
    for (let k = 0; k < 9; k++) view.setFloat32(84 + 50 * t + 12 + 4 * k, corner[9 * t + k], true);
  }
  return bytes;
}

/** Corners of a raw body's triangles, 9 a triangle. */
export function soup(raw: RawBody): Float64Array {
  return Float64Array.from([...raw.triangle].flatMap((v) => [...raw.position.subarray(3 * v, 3 * v + 3)]));
}

/** Reproducible numbers in [0, 1): two rounds of a 32-bit mixer. */
export function seeded(seed: number): () => number {
  let x = seed + 1;
  return () => {
    x = Math.imul(x ^ (x >>> 15), 0x2c1b3c6d);
    x = Math.imul(x ^ (x >>> 12), 0x297a2d39);
    x ^= x >>> 15;
    return (x >>> 0) / 2 ** 32;
  };
}
