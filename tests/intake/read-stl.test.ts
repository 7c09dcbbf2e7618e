import { describe, expect, test } from 'vitest';
import { importPart } from '../../src/intake/import-part.ts';
import type { Part } from '../../src/model/part.ts';
import { binaryStl, host, outsideFile, quietTask, rawBox, rawTube, seeded, soup } from './support.ts';

const read = (bytes: Uint8Array, unitScale = 1, maxTriangles = 2e6): Promise<Part> =>
  importPart(
    'part.stl',
    bytes,
    { tessellation: { linear: 0.01, angular: 0.1, maxTriangles }, unitScale },
    host,
    quietTask(),
  );

const text = (lines: string): Uint8Array => Uint8Array.from(lines, (c) => c.charCodeAt(0));

const FACET = `facet normal 0 0 1
 outer loop
  vertex 0 0 0
  vertex 1e1 0 0
  vertex 0 2.5 0
 endloop
endfacet`;

describe('what STL files may be', () => {
  test('an outside cube of 10 mm, ASCII or binary as it comes, has 6 faces and 12 edges of 10 mm', async () => {
    // Source: "Cube 10x10.stl" of occt-import-js' test files; the size is in its name (seen).
    const { bodies, format } = await read(outsideFile('cube-10x10mm/Cube 10x10.stl'));
    expect(format).toBe('stl');
    expect(bodies.length).toBe(1);
    expect(bodies[0].faces.length).toBe(6);
    expect(bodies[0].edges.map((edge) => edge.length)).toEqual(Array(12).fill(10));
  });

  test('a binary file whose header begins with "solid" is binary, and is scaled to mm', async () => {
    const { bodies } = await read(binaryStl(soup(rawBox(1, 2, 3)), 'solid but binary'), 25.4);
    expect(bodies[0].faces.length).toBe(6);
    expect(Math.max(...bodies[0].position)).toBeCloseTo(3 * 25.4, 5);
  });

  test('bytes after the last triangle are let pass', async () => {
    const bytes = binaryStl(soup(rawBox(1, 2, 3)));
    const { bodies } = await read(Uint8Array.from([...bytes, 1, 2, 3]));
    expect(bodies[0].triangle.length).toBe(36);
  });

  test('ASCII in capitals, with several solids, gives bodies with names', async () => {
    const file = `solid frame\n${FACET}\nendsolid frame\nSOLID finger\r\n${FACET.toUpperCase()}\r\nENDSOLID finger\n`;
    const { bodies } = await read(text(file));
    expect(bodies.map((body) => body.name)).toEqual(['frame', 'finger']);
    expect([...bodies[0].position]).toEqual([0, 0, 0, 10, 0, 0, 0, 2.5, 0]);
    expect(bodies[1].openEdges).toBe(3);
  });

  test('faces grow over smooth bends and end at folds of more than 30 degrees', async () => {
    const { bodies } = await read(binaryStl(soup(rawTube(30, 20, 15, 48))));
    expect(bodies[0].faces.length).toBe(4);
    expect(bodies[0].edges.filter((edge) => edge.closed).length).toBe(4);
    expect(bodies[0].openEdges).toBe(0);
    // With 8 segments the outside folds by 45 degrees: every facet of it is a face.
    const coarse = await read(binaryStl(soup(rawTube(30, 20, 15, 8))));
    expect(coarse.bodies[0].faces.length).toBe(2 * 8 + 2);
  });

  test('noise is the rounding for an exact mesh and the scatter of a shaken one', async () => {
    const random = seeded(11);
    const n = 40;
    // A wavy sheet that a quadric follows, and the same with a normal scatter of 0.05 mm (Box and Muller).
    const sheet = (sigma: number): Float64Array => {
      const z = Float64Array.from({ length: n * n }, (_, i) => {
        const scatter = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
        return 0.002 * (i % n) ** 2 - 0.001 * Math.floor(i / n) ** 2 + sigma * scatter;
      });
      const corner = (i: number, j: number): number[] => [i, j, z[i + n * j]];
      const triangles: number[] = [];
      for (let i = 0; i + 1 < n; i++) {
        for (let j = 0; j + 1 < n; j++) {
          triangles.push(...corner(i, j), ...corner(i + 1, j), ...corner(i + 1, j + 1));
          triangles.push(...corner(i, j), ...corner(i + 1, j + 1), ...corner(i, j + 1));
        }
      }
      return Float64Array.from(triangles);
    };
    const exact = (await read(binaryStl(sheet(0)))).bodies[0].noise;
    expect(exact).toBeLessThan(1e-5);
    expect(exact).toBeGreaterThanOrEqual(39 * 2 ** -24);
    const shaken = (await read(binaryStl(sheet(0.05)))).bodies[0].noise;
    // The median of 200 deviations with about 20 degrees of freedom each lies within 10 % of sigma.
    expect(shaken).toBeGreaterThan(0.045);
    expect(shaken).toBeLessThan(0.055);
  });
});

describe('what STL files may lie about', () => {
  const sound = binaryStl(soup(rawBox(1, 2, 3)));
  const lying = sound.slice();
  lying[80] = 255;
  lying[83] = 255;
  const nan = sound.slice();
  new DataView(nan.buffer).setFloat32(84 + 50 * 3 + 12 + 4 * 2, Number.NaN, true);
  const cut = `solid a\n${FACET.slice(0, 60)}`;
  const word = `solid a\n${FACET.replace('2.5', 'two')}\nendsolid`;
  const huge = `solid a\n${FACET.replace('2.5', '1e999')}\nendsolid`;

  test.each([
    ['a header that promises more than the file holds', lying, 'stl-unreadable', 'byte 80'],
    ['a truncated binary file', sound.slice(0, 300), 'stl-unreadable', 'byte 80'],
    [
      'a truncated binary file that begins with "solid"',
      binaryStl(soup(rawBox(1, 2, 3)), 'solid').slice(0, 300),
      'stl-unreadable',
      'byte 80',
    ],
    ['fewer than 84 bytes', sound.slice(0, 50), 'stl-unreadable', 'part.stl'],
    ['a coordinate that is not a number', nan, 'stl-unreadable', 'facet 4, byte 254'],
    ['a cut ASCII file', text(cut), 'stl-unreadable', 'line 5'],
    ['a word for a number', text(word), 'stl-unreadable', 'line 6'],
    ['a number beyond doubles', text(huge), 'stl-unreadable', 'line 6'],
    ['no triangle', text('solid a\nendsolid a\n'), 'no-mesh', 'part.stl'],
    ['no triangle, binary', binaryStl([]), 'no-mesh', 'part.stl'],
    ['only flat triangles', binaryStl([0, 0, 0, 1, 1, 1, 2, 2, 2]), 'no-mesh', 'part.stl'],
    ['nothing at all', new Uint8Array(0), 'file-empty', 'part.stl'],
  ])('%s', async (_name, bytes, code, place) => {
    await expect(read(bytes)).rejects.toMatchObject({
      name: 'InputError',
      code,
      place: expect.stringContaining(place),
    });
  });

  test('more triangles than the limit', async () => {
    await expect(read(sound, 1, 11)).rejects.toMatchObject({ code: 'too-many-triangles' });
  });

  test('no unit', async () => {
    await expect(read(sound, 0)).rejects.toMatchObject({
      code: 'unit-missing',
      hint: expect.stringContaining('--unit'),
    });
  });
});
