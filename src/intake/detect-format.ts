// Tells a part file's format by its first bytes; the name's extension only decides where the bytes leave it open.
// ISO 10303-21 (STEP), the initial graphics exchange specification's 80-column start section (IGES), OpenCascade BREP, STL.
import type { PartFormat } from '../model/part.ts';

/** Text is looked for within this many bytes. */
const HEAD = 2048;

/** The bytes from `from` to `to` as Latin-1 text. */
export function latin1(bytes: Uint8Array, from: number, to: number): string {
  let text = '';
  for (let i = Math.max(0, from); i < Math.min(bytes.length, to); i++) text += String.fromCharCode(bytes[i]);
  return text;
}

/** Format of the file, or null when neither the bytes nor the name say. */
export function detectFormat(fileName: string, bytes: Uint8Array): PartFormat | null {
  const head = latin1(bytes, 0, HEAD);
  if (head.includes('ISO-10303-21;')) return 'step';
  if (/^\s*(DBRep_DrawableShape|CASCADE Topology)/.test(head)) return 'brep';
  if (/^[^\r\n]{72}S {0,6}0*1\s*[\r\n]/.test(head)) return 'iges';
  if (isBinaryStl(bytes) || /^\s*solid\b[\s\S]*\bfacet\b/i.test(head)) return 'stl';
  return byExtension(fileName);
}

/** Whether the length is what the triangle count at byte 80 promises. */
export function isBinaryStl(bytes: Uint8Array): boolean {
  return bytes.length >= 84 && bytes.length === 84 + 50 * binaryCount(bytes);
}

/** Triangle count that a binary STL states in bytes 80 to 83, little-endian. */
export function binaryCount(bytes: Uint8Array): number {
  return (bytes[80] | (bytes[81] << 8) | (bytes[82] << 16) | (bytes[83] << 24)) >>> 0;
}

function byExtension(fileName: string): PartFormat | null {
  const extension = fileName.slice(fileName.lastIndexOf('.') + 1).toLowerCase();
  if (extension === 'step' || extension === 'stp') return 'step';
  if (extension === 'iges' || extension === 'igs') return 'iges';
  if (extension === 'brep' || extension === 'brp') return 'brep';
  return extension === 'stl' ? 'stl' : null;
}
