import { describe, expect, it } from 'vitest';
import { parseJobFile } from '../../src/model/parse-job.ts';
import { findOddKey } from '../../src/model/repeated-key.ts';

describe('findOddKey', () => {
  it.each([
    '{}',
    '[]',
    '3',
    '"a: b"',
    '{"a": {"a": 1}, "b": [{"a": 1}, {"a": 2}], "c": "a", "d": ["a", "a"]}',
    '{"a\\"": 1, "a": ":\\"a\\": {", "\\\\": 2, "A": 3}',
    '{"constructor": 1, "toString": 2}',
  ])('finds nothing in %s', (text) => {
    JSON.parse(text);
    expect(findOddKey(text)).toBeNull();
  });

  it.each([
    ['{"a": 1,\n "b": 2,\n "a": 3}', 'a', 'twice', 3],
    ['[{"a": 1}, {"b": {"c": [], "c": 1}}]', 'c', 'twice', 1],
    ['{"a": {"x": 1}, "b": 2, "\\u0061": 3}', 'a', 'twice', 1],
    ['{"": 1, "": 2}', '', 'twice', 1],
    ['{"a":\n{"__proto__": 1}}', '__proto__', 'unknown', 2],
  ])('finds the key in %j', (text, key, kind, line) => {
    JSON.parse(text);
    expect(findOddKey(text)).toEqual({ key, kind, line });
  });

  it('stops a job in which a key stands twice', () => {
    const text = '{"format": "raythread-job/1",\n"process": {"speed_mm_s": 50, "speed_mm_s": 500}}';
    expect(() => parseJobFile(text, 'x.job.json')).toThrow(
      'job-key-twice: the key "speed_mm_s" stands twice in one object (x.job.json:2)',
    );
  });
});
