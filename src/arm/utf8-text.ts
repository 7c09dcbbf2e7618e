// Text out of UTF-8 bytes by means of the language alone: the kernel knows no decoder of its surroundings.
import { InputError } from '../model/input-error.ts';

/** Throws an InputError of the given code where the bytes are not UTF-8. */
export function utf8Text(bytes: Uint8Array, file: string, code = 'urdf-encoding'): string {
  let escaped = '';
  for (const byte of bytes) {
    const plain = byte < 0x80 && byte !== 0x25;
    escaped += plain ? String.fromCharCode(byte) : `%${byte.toString(16).padStart(2, '0')}`;
  }
  try {
    return decodeURIComponent(escaped);
  } catch {
    throw new InputError(code, 'the file is not UTF-8 text', file, 'save it as UTF-8');
  }
}
