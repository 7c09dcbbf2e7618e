// Reads STL, binary (84 + 50 n bytes, little-endian) and ASCII, from 3D Systems' interface specification of 1989 (from
// memory); its length rule is in the reference sheet. Every coordinate is checked; normals and attributes are ignored.
import { InputError } from '../model/input-error.ts';
import type { Task } from '../model/task.ts';
import { binaryCount, isBinaryStl, latin1 } from './detect-format.ts';

/** One solid of a file: nine numbers a triangle, in the file's unit. */
export interface StlSolid {
  /** Empty where the file gives none. */
  readonly name: string;
  /** 9 x nt */
  readonly corner: Float64Array;
}

const CHUNK = 1 << 14;

/**
 * Solids of an STL file that hold at least one facet (binary files have one). Throws InputError `stl-unreadable` with the
 * byte, line or facet, `no-mesh`, and `too-many-triangles` beyond `maxTriangles`.
 */
export async function readStl(
  file: string,
  bytes: Uint8Array,
  maxTriangles: number,
  task: Task,
): Promise<readonly StlSolid[]> {
  // Binary headers begin with "solid" too; but the count after them has a zero byte below 2^24 triangles, a text none.
  const head = latin1(bytes, 0, 84);
  const text = /^\s*solid\b/i.test(head) && !head.includes('\0') && !isBinaryStl(bytes);
  const solids = text
    ? await readText(file, bytes, maxTriangles, task)
    : [await readBinary(file, bytes, maxTriangles, task)];
  const filled = solids.filter((solid) => solid.corner.length > 0);
  if (filled.length === 0) {
    throw new InputError('no-mesh', 'the file holds no triangle', file, 'export the part again');
  }
  return filled;
}

async function readBinary(file: string, bytes: Uint8Array, maxTriangles: number, task: Task): Promise<StlSolid> {
  if (bytes.length < 84) {
    throw unreadable(`the file has ${bytes.length} bytes, a binary STL has at least 84`, file);
  }
  const count = binaryCount(bytes);
  const needed = 84 + 50 * count;
  // Some writers append bytes of their own after the triangles; too few bytes are a broken file.
  if (needed > bytes.length) {
    const held = Math.floor((bytes.length - 84) / 50);
    throw unreadable(`its header promises ${count} triangles, the file ends after ${held}`, `${file}, byte 80`);
  }
  if (count > maxTriangles) throw tooMany(count, maxTriangles, file);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const corner = new Float64Array(9 * count);
  for (let start = 0; start < count; start += CHUNK) {
    const stop = Math.min(count, start + CHUNK);
    for (let t = start; t < stop; t++) {
      for (let k = 0; k < 9; k++) {
        const value = view.getFloat32(84 + 50 * t + 12 + 4 * k, true);
        if (!Number.isFinite(value)) {
          throw unreadable(`a coordinate is ${value}`, `${file}, facet ${t + 1}, byte ${84 + 50 * t + 12 + 4 * k}`);
        }
        corner[9 * t + k] = value;
      }
    }
    await task.pause('reading triangles', stop / count);
  }
  return { name: '', corner };
}

/** Words of a text one after the other, with the line each stands on. */
interface Words {
  /** Next word as written, or empty at the end of the file. */
  next(): string;
  /** Rest of the current line. */
  rest(): string;
  readonly line: number;
  readonly at: number;
}

function words(bytes: Uint8Array): Words {
  let at = 0;
  let line = 1;
  return {
    next() {
      while (at < bytes.length && bytes[at] <= 32) if (bytes[at++] === 10) line++;
      const start = at;
      while (at < bytes.length && bytes[at] > 32) at++;
      return latin1(bytes, start, at);
    },
    rest() {
      const start = at;
      while (at < bytes.length && bytes[at] !== 10 && bytes[at] !== 13) at++;
      return latin1(bytes, start, at).trim();
    },
    get line() {
      return line;
    },
    get at() {
      return at;
    },
  };
}

async function readText(
  file: string,
  bytes: Uint8Array,
  maxTriangles: number,
  task: Task,
): Promise<readonly StlSolid[]> {
  const source = words(bytes);
  const place = (): string => `${file}, line ${source.line}`;
  const expect = (wanted: string): void => {
    const word = source.next();
    if (word.toLowerCase() !== wanted) throw unexpected(word, `"${wanted}"`, place());
  };
  const number = (): number => {
    const word = source.next();
    const value = Number(word);
    if (word === '' || !Number.isFinite(value)) throw unexpected(word, 'a number', place());
    return value;
  };

  const solids: StlSolid[] = [];
  let total = 0;
  for (let word = source.next(); word !== ''; word = source.next()) {
    if (word.toLowerCase() !== 'solid') throw unexpected(word, '"solid"', place());
    const name = source.rest();
    const corner: number[] = [];
    for (let inner = source.next(); inner.toLowerCase() !== 'endsolid'; inner = source.next()) {
      if (inner.toLowerCase() !== 'facet') throw unexpected(inner, '"facet" or "endsolid"', place());
      expect('normal');
      // A flat facet's normal may be written as "nan": it is not used.
      for (let k = 0; k < 3; k++) source.next();
      expect('outer');
      expect('loop');
      for (let k = 0; k < 3; k++) {
        expect('vertex');
        corner.push(number(), number(), number());
      }
      expect('endloop');
      expect('endfacet');
      total++;
      if (total > maxTriangles) throw tooMany(total, maxTriangles, file);
      if (total % 1024 === 0) await task.pause('reading triangles', source.at / bytes.length);
    }
    source.rest();
    solids.push({ name, corner: Float64Array.from(corner) });
  }
  return solids;
}

function unreadable(why: string, place: string): InputError {
  return new InputError('stl-unreadable', `the STL file is damaged: ${why}`, place, 'export the part again');
}

function unexpected(word: string, wanted: string, place: string): InputError {
  const found = word === '' ? 'the file ends' : `"${word.slice(0, 40)}" stands`;
  return unreadable(`${found} where ${wanted} is expected`, place);
}

function tooMany(count: number, maxTriangles: number, file: string): InputError {
  const sentence = `the mesh has at least ${count} triangles, more than the limit of ${maxTriangles}`;
  return new InputError('too-many-triangles', sentence, file, 'thin the mesh, or raise tessellation.max_triangles');
}
