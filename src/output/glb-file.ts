// A glTF 2.0 binary file (ISO/IEC 12113): one JSON chunk, one binary chunk. Arrays go in with the accessor that describes them.

const MAGIC = 0x46546c67;
const JSON_CHUNK = 0x4e4f534a;
const BINARY_CHUNK = 0x004e4942;

/** Component types and targets of the standard. */
const GL = { ubyte: 5121, uint: 5125, float: 5126, vertices: 34962, indices: 34963 } as const;

interface View {
  readonly buffer: 0;
  readonly byteOffset: number;
  readonly byteLength: number;
  readonly target: number;
}

/** The document so far. */
export interface GlbBuilder {
  /** Adds x, y, z of points as floats; its accessor's number. */
  points(values: Float32Array): number;
  /** Adds red, green, blue, alpha (0 .. 255) of points. */
  colours(values: Uint8Array): number;
  /** Adds corners of triangles. */
  indices(values: Uint32Array): number;
  /** The file: the document without its accessors, views and buffer, which are added here. */
  finish(document: object): Uint8Array;
}

export function createGlbBuilder(): GlbBuilder {
  const views: View[] = [];
  const accessors: object[] = [];
  const pieces: { readonly offset: number; readonly bytes: Uint8Array }[] = [];
  let length = 0;

  function add(values: Float32Array | Uint8Array | Uint32Array, target: number, accessor: object): number {
    const bytes = new Uint8Array(values.buffer, values.byteOffset, values.byteLength);
    views.push({ buffer: 0, byteOffset: length, byteLength: bytes.length, target });
    pieces.push({ offset: length, bytes });
    length += (bytes.length + 3) & ~3;
    accessors.push({ bufferView: views.length - 1, ...accessor });
    return accessors.length - 1;
  }

  return {
    points(values) {
      const min = [Infinity, Infinity, Infinity];
      const max = [-Infinity, -Infinity, -Infinity];
      values.forEach((value, k) => {
        min[k % 3] = Math.min(min[k % 3], value);
        max[k % 3] = Math.max(max[k % 3], value);
      });
      const count = values.length / 3;
      return add(values, GL.vertices, { componentType: GL.float, type: 'VEC3', count, min, max });
    },
    colours(values) {
      const count = values.length / 4;
      return add(values, GL.vertices, { componentType: GL.ubyte, normalized: true, type: 'VEC4', count });
    },
    indices(values) {
      return add(values, GL.indices, { componentType: GL.uint, type: 'SCALAR', count: values.length });
    },
    finish(document) {
      const full = { ...document, accessors, bufferViews: views, buffers: [{ byteLength: length }] };
      const text = utf8(JSON.stringify(full));
      const padded = (text.length + 3) & ~3;
      const out = new Uint8Array(12 + 8 + padded + 8 + length);
      const view = new DataView(out.buffer);
      view.setUint32(0, MAGIC, true);
      view.setUint32(4, 2, true);
      view.setUint32(8, out.length, true);
      view.setUint32(12, padded, true);
      view.setUint32(16, JSON_CHUNK, true);
      out.set(text, 20);
      out.fill(0x20, 20 + text.length, 20 + padded);
      view.setUint32(20 + padded, length, true);
      view.setUint32(24 + padded, BINARY_CHUNK, true);
      for (const { offset, bytes } of pieces) out.set(bytes, 28 + padded + offset);
      return out;
    },
  };
}

/** UTF-8 of a text (RFC 3629); the kernel has no TextEncoder. */
function utf8(text: string): Uint8Array {
  const bytes: number[] = [];
  for (const character of text) {
    const code = character.codePointAt(0) ?? 0xfffd;
    if (code < 0x80) bytes.push(code);
    else if (code < 0x800) bytes.push(0xc0 | (code >> 6), 0x80 | (code & 63));
    else if (code < 0x10000) bytes.push(0xe0 | (code >> 12), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
    else bytes.push(0xf0 | (code >> 18), 0x80 | ((code >> 12) & 63), 0x80 | ((code >> 6) & 63), 0x80 | (code & 63));
  }
  return Uint8Array.from(bytes);
}
