// JSON as people write it: text -> value, with the line of what is wrong, and no key twice in one object.
import { InputError } from './input-error.ts';
import { findOddKey } from './repeated-key.ts';

/** The value; `prefix` goes before the error's code: throws InputError `*-json`, `*-key-unknown`, `*-key-twice`. */
export function parseJson(text: string, place: string, prefix: string): unknown {
  try {
    const value: unknown = JSON.parse(text.charCodeAt(0) === 0xfeff ? text.slice(1) : text);
    refuseOddKey(text, place, prefix);
    return value;
  } catch (error) {
    if (error instanceof InputError) throw error;
    const message = error instanceof Error ? error.message : String(error);
    const position = /position (\d+)/.exec(message)?.[1];
    const line = position === undefined ? '' : `:${text.slice(0, Number(position)).split('\n').length}`;
    const reason = (message.split(' in JSON at position')[0] ?? message).replace(/\s+/g, ' ').slice(0, 120);
    throw new InputError(
      `${prefix}-json`,
      `not valid JSON, ${reason}`,
      `${place}${line}`,
      'mend the JSON: no comments, no comma after the last entry',
    );
  }
}

/** Two values for one key: which of them the person meant, nobody knows. */
function refuseOddKey(text: string, place: string, prefix: string): void {
  const odd = findOddKey(text);
  if (odd === null) return;
  const sentence =
    odd.kind === 'twice' ? `the key "${odd.key}" stands twice in one object` : `unknown key "${odd.key}"`;
  const hint = odd.kind === 'twice' ? 'keep one of them' : 'remove it';
  throw new InputError(`${prefix}-key-${odd.kind}`, sentence, `${place}:${odd.line}`, hint);
}
