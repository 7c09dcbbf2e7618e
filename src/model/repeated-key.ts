// Finds what a JSON parser passes over in silence: a key that stands twice in one object (RFC 8259, section 4: the outcome
// is then unpredictable), and the one key that JavaScript takes for something else.

export interface OddKey {
  readonly key: string;
  readonly kind: 'twice' | 'unknown';
  /** Counted from 1. */
  readonly line: number;
}

const TOKEN = /"(?:[^"\\]|\\.)*"|[{}[\]:\n]/g;

/** The first odd key of a text that is valid JSON, or null. */
export function findOddKey(text: string): OddKey | null {
  /** Keys of the objects that are open; null for a list. */
  const open: (Set<string> | null)[] = [];
  let line = 1;
  let word = '';
  for (const [token] of text.matchAll(TOKEN)) {
    if (token === '\n') line++;
    else if (token === '{') open.push(new Set());
    else if (token === '[') open.push(null);
    else if (token === '}' || token === ']') open.pop();
    else if (token === ':') {
      const key: string = JSON.parse(word);
      const keys = open.at(-1);
      if (key === '__proto__') return { key, kind: 'unknown', line };
      if (keys?.has(key)) return { key, kind: 'twice', line };
      keys?.add(key);
    } else word = token;
  }
  return null;
}
