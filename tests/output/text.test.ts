import fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { csvText } from '../../src/output/csv-text.ts';
import { decimalText, roundedNumber, significantNumber } from '../../src/output/decimal-text.ts';
import { jsonText } from '../../src/output/json-text.ts';

const SEED = 20_241;

describe('numbers as text', () => {
  it.each([
    [1.005, 2, '1.00'], // 1.005 is stored as 1.00499999999999989..
    [2.5, 0, '3'],
    [-0.0004, 3, '0.000'],
    [-0, 2, '0.00'],
    [-1.25, 1, '-1.3'],
    [1e-9, 4, '0.0000'],
    [Number.NaN, 3, ''],
    [Number.POSITIVE_INFINITY, 3, ''],
  ])('writes %d with %d decimals as "%s"', (value, decimals, text) => {
    expect(decimalText(value, decimals)).toBe(text);
  });

  it(`rounds to the nearest, and to null what is not finite (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), fc.nat(7), (value, decimals) => {
        const text = decimalText(value, decimals);
        // Half a unit of the last decimal, and what a double of this size can resolve.
        expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(0.5 * 10 ** -decimals + 1e-10);
        expect(text).toMatch(decimals === 0 ? /^-?\d+$/ : new RegExp(`^-?\\d+\\.\\d{${decimals}}$`));
        expect(roundedNumber(value, decimals)).toBe(Number(text));
      }),
      { seed: SEED },
    );
    expect(roundedNumber(Number.NaN, 2)).toBeNull();
    expect(Object.is(roundedNumber(-1e-9, 2), 0)).toBe(true);
    expect(significantNumber(1 / 3)).toBe(0.333333333333);
    expect(Object.is(significantNumber(-0), 0)).toBe(true);
    expect(significantNumber(Number.NEGATIVE_INFINITY)).toBeNull();
  });
});

describe('CSV', () => {
  it('quotes only where it must, and ends every line with CRLF', () => {
    // Source: RFC 4180 (Shafranovich, 2005), section 2, rules 1, 2, 5, 6 and 7 (memory).
    const text = csvText(
      ['a', 'b'],
      [
        ['x,y', 'say "hi"'],
        ['line\r\nbreak', ''],
      ],
    );
    expect(text).toBe('a,b\r\n"x,y","say ""hi"""\r\n"line\r\nbreak",\r\n');
  });

  it(`is read back by papaparse as it was given (seed ${SEED})`, () => {
    const field = fc.string({ unit: fc.constantFrom('a', '1', ' ', ',', '"', '\r\n', ';', 'é', '.') });
    fc.assert(
      fc.property(fc.array(fc.tuple(field, field, field), { minLength: 1 }), (rows) => {
        const text = csvText(['p', 'q', 'r'], rows);
        const read = Papa.parse<string[]>(text, { newline: '\r\n', delimiter: ',' });
        expect(read.data.slice(0, -1)).toEqual([['p', 'q', 'r'], ...rows]);
        expect(read.data.at(-1)).toEqual(['']);
      }),
      { seed: SEED },
    );
  });
});

describe('JSON', () => {
  it(`is read back as it was given, and says the same as JSON.stringify (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 4 }), (value) => {
        const plain = JSON.parse(JSON.stringify(value));
        const text = jsonText(value);
        expect(JSON.parse(text)).toEqual(plain);
        expect(text.endsWith('\n')).toBe(true);
      }),
      { seed: SEED },
    );
  });

  it('keeps the order of keys and refuses what has no JSON', () => {
    expect(jsonText({ b: [1, null, 'x'], a: { c: [] }, d: undefined })).toBe(
      '{\n  "b": [1, null, "x"],\n  "a": {\n    "c": []\n  }\n}\n',
    );
    expect(() => jsonText({ a: Float64Array.of(1) })).toThrow(TypeError);
    expect(() => jsonText({ a: new Map() })).toThrow(TypeError);
    expect(() => jsonText([undefined])).toThrow(TypeError);
  });
});
