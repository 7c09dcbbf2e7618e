// JSON that people can read: two spaces a level, and a list of plain values on one line.

const isPlain = (value: unknown): boolean => value === null || typeof value !== 'object';

const isNumberOrNull = (value: unknown): boolean => value === null || typeof value === 'number';

/**
 * Text of a value made of objects, arrays, strings, numbers, booleans and null, ended by a line break. Keys keep the
 * order in which they were set; keys that are undefined are left out. Throws on anything else: a typed array must be
 * rounded on purpose before it is written.
 */
export function jsonText(value: unknown): string {
  return `${write(value, '')}\n`;
}

function write(value: unknown, indent: string): string {
  if (isPlain(value)) {
    const text = JSON.stringify(value);
    if (text === undefined) throw new TypeError(`no JSON for ${typeof value}`);
    return text;
  }
  if (ArrayBuffer.isView(value) || value instanceof Map || value instanceof Set) {
    throw new TypeError('typed arrays, maps and sets have no JSON of their own');
  }
  const deeper = `${indent}  `;
  if (Array.isArray(value)) {
    if (value.length === 0) return '[]';
    if (value.every(isNumberOrNull)) return `[${JSON.stringify(value).slice(1, -1).replaceAll(',', ', ')}]`;
    if (value.every(isPlain)) return `[${value.map((item) => write(item, '')).join(', ')}]`;
    return `[\n${value.map((item) => deeper + write(item, deeper)).join(',\n')}\n${indent}]`;
  }
  const entries = Object.entries(value as object).filter(([, item]) => item !== undefined);
  if (entries.length === 0) return '{}';
  const lines = entries.map(([key, item]) => `${deeper}${JSON.stringify(key)}: ${write(item, deeper)}`);
  return `{\n${lines.join(',\n')}\n${indent}}`;
}
