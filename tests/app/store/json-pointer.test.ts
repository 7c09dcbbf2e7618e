import { describe, expect, it } from 'vitest';
import { pointerStep, valueAt, withValueAt } from '../../../src/app/store/json-pointer.ts';
import type { Json } from '../../../src/app/store/state.ts';

// Source: RFC 6901 (Bryan, Zyp, Nottingham 2013), section 5: the document and what each pointer evaluates to. From memory.
const DOCUMENT: Json = {
  foo: ['bar', 'baz'],
  '': 0,
  'a/b': 1,
  'c%d': 2,
  'e^f': 3,
  'g|h': 4,
  'i\\j': 5,
  'k"l': 6,
  ' ': 7,
  'm~n': 8,
};

describe('JSON pointers', () => {
  it.each([
    ['', DOCUMENT],
    ['/foo', ['bar', 'baz']],
    ['/foo/0', 'bar'],
    ['/', 0],
    ['/a~1b', 1],
    ['/c%d', 2],
    ['/e^f', 3],
    ['/g|h', 4],
    ['/i\\j', 5],
    ['/k"l', 6],
    ['/ ', 7],
    ['/m~0n', 8],
  ])('read %j as the standard says', (pointer, value) => {
    expect(valueAt(DOCUMENT, pointer)).toEqual(value);
  });

  it('find nothing where nothing is, not even what objects inherit', () => {
    for (const pointer of ['/foo/2', '/foo/-1', '/foo/x', '/bar/baz', '/constructor', '/foo/length']) {
      expect(valueAt(DOCUMENT, pointer)).toBeUndefined();
    }
  });

  it('escape the tilde before the slash', () => {
    expect(pointerStep('a/b~c')).toBe('a~1b~0c');
    expect(valueAt({ '~1': 5 }, `/${pointerStep('~1')}`)).toBe(5);
  });

  it('set a value without touching what was there', () => {
    const before: Json = { head: { standoff_mm: 150 }, seams: [{ name: 'rim' }, { name: 'rib' }] };
    const text = JSON.stringify(before);
    const after = withValueAt(before, '/seams/1/width_mm', 2.5) as { seams: Json[]; head: Json };
    expect(after).toEqual({ head: { standoff_mm: 150 }, seams: [{ name: 'rim' }, { name: 'rib', width_mm: 2.5 }] });
    expect(JSON.stringify(before)).toBe(text);
    expect(after.head).toBe((before as { head: Json }).head);
    expect(after.seams[0]).toBe((before as { seams: Json[] }).seams[0]);
  });

  it('make what is missing on the way: objects, and lists for numbers', () => {
    expect(withValueAt({}, '/seams/0/select', { edges: ['a:0-1'] })).toEqual({
      seams: [{ select: { edges: ['a:0-1'] } }],
    });
    expect(withValueAt({ parts: [1] }, '/parts/-', 2)).toEqual({ parts: [1, 2] });
  });

  it('remove with undefined: a key, an entry of a list, nothing where nothing is', () => {
    expect(withValueAt({ a: { b: 1, c: 2 } }, '/a/b', undefined)).toEqual({ a: { c: 2 } });
    expect(withValueAt({ parts: [1, 2, 3] }, '/parts/1', undefined)).toEqual({ parts: [1, 3] });
    const root: Json = { a: 1 };
    expect(withValueAt(root, '/b/c', undefined)).toBe(root);
    expect(withValueAt(root, '/a', 1)).toBe(root);
  });

  it('refuse a place that a list does not have', () => {
    expect(() => withValueAt({ parts: [1] }, '/parts/3', 2)).toThrow('no place "3"');
    expect(() => withValueAt({}, 'parts', 2)).toThrow('not a JSON pointer');
  });
});
