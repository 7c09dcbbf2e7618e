import { describe, expect, test } from 'vitest';
import { describePart } from '../../src/intake/describe-part.ts';
import { importPart } from '../../src/intake/import-part.ts';
import { InputError } from '../../src/model/input-error.ts';
import type { Body, Part } from '../../src/model/part.ts';
import { host, outsideFile, quietTask, rawBox, seeded } from './support.ts';

const settings = { tessellation: { linear: 0.01, angular: 0.1, maxTriangles: 2e6 }, unitScale: 0 };
const read = (name: string, bytes: Uint8Array, linear = 0.01): Promise<Part> =>
  importPart(name, bytes, { ...settings, tessellation: { ...settings.tessellation, linear } }, host, quietTask());

/** V - E + F of the welded mesh: 2 for a closed body without holes through it. */
function euler(body: Body): number {
  const edges = new Set<number>();
  const n = body.position.length / 3;
  for (let c = 0; c < body.triangle.length; c++) {
    const a = body.triangle[c];
    const b = body.triangle[c % 3 === 2 ? c - 2 : c + 1];
    edges.add(Math.min(a, b) * n + Math.max(a, b));
  }
  return new Set(body.triangle).size - edges.size + body.triangle.length / 3;
}

describe('outside files', () => {
  test.each(['cube-in.step', 'cube-m.step', 'cube-mm.step'])('%s: whatever its unit, 1000 mm a side', async (name) => {
    // Source: cube-units of occt-import-js' test files: one cube of 1 m, saved in three units (seen).
    const { bodies } = await read(name, outsideFile(`cube-units/${name}`));
    expect(bodies.map((body) => body.name)).toEqual(['Cube']);
    expect(bodies[0].edges.length).toBe(12);
    for (const edge of bodies[0].edges) expect(edge.length).toBeCloseTo(1000, 6);
  });

  test.each([
    ['cube-10x10mm/Cube 10x10.stp', 'step'],
    ['cube-10x10mm/Cube 10x10.igs', 'iges'],
  ])('%s: 10 mm a side, and its format is known by content', async (path, format) => {
    // Source: occt-import-js' test files; the size is in the name (seen).
    const part = await read('renamed.dat', outsideFile(path));
    expect(part.format).toBe(format);
    expect(part.bodies[0].edges.map((edge) => Number(edge.length.toFixed(9)))).toEqual(Array(12).fill(10));
  });

  test('an assembly of the interoperability forum: 18 closed bodies with their names', async () => {
    // Source: CAx-IF file as1-oc-214.stp: a plate, two brackets with three bolts and nuts each, a rod and its two nuts (seen).
    const part = await read('as1.stp', outsideFile('cax-if/as1-oc-214.stp'));
    const count = (name: string): number => part.bodies.filter((body) => body.name === name).length;
    expect([count('plate'), count('l-bracket'), count('bolt'), count('nut'), count('rod')]).toEqual([1, 2, 6, 8, 1]);
    expect(part.notes).toEqual([]);
    expect(new Set(part.bodies.flatMap((body) => body.edges.map((edge) => edge.id))).size).toBe(
      part.bodies.reduce((sum, body) => sum + body.edges.length, 0),
    );
    // A rod and a nut: no hole through the one, one through the other.
    const named = (name: string): Body => part.bodies.filter((body) => body.name === name)[0];
    expect(euler(named('rod'))).toBe(2);
    expect(euler(named('nut'))).toBe(0);
  });

  test('edge ids and lengths stay when the deflection changes from 0.01 to 0.05 mm', async () => {
    for (const path of ['cax-if/io1-tu-203.stp', 'conical-surface/conical-surface.step', 'cax-if/dm1-id-214.stp']) {
      const bytes = outsideFile(path);
      const [fine, coarse] = [await read('a.stp', bytes, 0.01), await read('a.stp', bytes, 0.05)];
      const edges = (part: Part) => part.bodies.flatMap((body) => body.edges);
      expect(edges(coarse).map((edge) => edge.id)).toEqual(edges(fine).map((edge) => edge.id));
      edges(coarse).forEach((edge, i) => {
        // Chords of sag 0.05 mm and at most 0.1 rad fall short by less than angle^2 / 24 = 0.05 % of the arc.
        expect(Math.abs(edge.length - edges(fine)[i].length)).toBeLessThan(0.0005 * edge.length + 1e-6);
        expect(edge.closed).toBe(edges(fine)[i].closed);
      });
    }
  });

  test('a description carries what a selection needs', async () => {
    const part = await read('cube.stp', outsideFile('simple-basic-cube/cube.stp'));
    const described = describePart(part, (_body, face) => `kind of ${face}`);
    expect(described).toMatchObject({ file: 'cube.stp', format: 'step', linear_mm: 0.01, notes: [] });
    expect(described.angular_deg).toBeCloseTo(5.7296, 4);
    const [body] = described.bodies;
    for (const face of body.faces) expect(face.area_mm2).toBeCloseTo(90000, 8);
    expect(body.faces[3].surface).toBe('kind of 3');
    expect(body.edges[0]).toMatchObject({ id: 'cube:0-1', faces: [0, 1], length_mm: 300, closed: false });
    expect(JSON.parse(JSON.stringify(described))).toEqual(described);
  });
});

describe('bad files', () => {
  const cube = outsideFile('simple-basic-cube/cube.stp');
  const ascii = (text: string): Uint8Array => Uint8Array.from(text, (c) => c.charCodeAt(0));

  test.each([
    ['empty', 'a.step', new Uint8Array(0), 'file-empty'],
    ['cut in half', 'a.step', cube.slice(0, cube.length / 2), 'step-unreadable'],
    ['junk by the name of STEP', 'a.step', ascii('the tide table of last year'), 'step-unreadable'],
    ['a header and nothing else', 'a.step', ascii('ISO-10303-21;\nEND-ISO-10303-21;\n'), 'step-unreadable'],
    ['junk', 'a.dat', ascii('the tide table of last year'), 'format-unknown'],
    ['an archive', 'a.dat', Uint8Array.from([0x50, 0x4b, 3, 4]), 'format-unknown'],
    ['junk by the name of IGES', 'a.igs', ascii('nothing'), 'iges-unreadable'],
    ['junk by the name of BREP', 'a.brep', ascii('DBRep_DrawableShape\nnothing'), 'brep-unreadable'],
    ['parts in other files', 'a.stp', outsideFile('cax-if/s1-c5-214/s1-c5-214.stp'), 'no-mesh'],
  ])('%s', async (_name, file, bytes, code) => {
    await expect(read(file, bytes)).rejects.toMatchObject({ name: 'InputError', code });
  });

  test('damaged files end in an error or a part, never in anything else (seeds 4 to 11)', async () => {
    let refused = 0;
    let trapped = 0;
    for (let seed = 4; seed < 12; seed++) {
      const random = seeded(seed);
      const bytes = cube.slice();
      // Between the first and the last line, so that it still looks whole.
      for (let k = 0; k < 40; k++)
        bytes[20 + Math.floor(random() * (bytes.length - 60))] = 32 + Math.floor(95 * random());
      try {
        await read('a.stp', bytes);
      } catch (error) {
        if (!(error instanceof InputError)) throw error;
        refused++;
        if (error.sentence.includes('stopped')) trapped++;
      }
    }
    expect(refused).toBeGreaterThan(4);
    expect(trapped).toBeGreaterThan(0);
  });

  test('a unit for a file that states its own', async () => {
    await expect(importPart('a.stp', cube, { ...settings, unitScale: 25.4 }, host, quietTask())).rejects.toMatchObject({
      code: 'unit-unneeded',
    });
  });
});

describe('the triangle cap', () => {
  const body = rawBox(1, 2, 3);
  const asked: number[] = [];
  /** An importer whose answer halves its triangles for every fourfold deflection. */
  const importer = {
    ...host,
    importCad: async (_bytes: Uint8Array, _format: string, { linear }: { linear: number }) => {
      asked.push(linear);
      const copies = Math.max(1, Math.round(8 * Math.sqrt(0.01 / linear)));
      return { ok: true as const, bodies: Array(copies).fill(body) };
    },
  };
  const cube = outsideFile('simple-basic-cube/cube.stp');
  const capped = (maxTriangles: number): Promise<Part> =>
    importPart(
      'a.stp',
      cube,
      { ...settings, tessellation: { ...settings.tessellation, maxTriangles } },
      importer,
      quietTask(),
    );

  test('coarsens until the file fits, and says so', async () => {
    asked.length = 0;
    const part = await capped(30);
    expect(asked).toEqual([0.01, 0.04, 0.16]);
    expect(part.linearDeflection).toBe(0.16);
    expect(part.angularDeflection).toBeCloseTo(0.4, 12);
    expect(part.notes.map((note) => note.code)).toEqual(['triangle-cap']);
  });

  test('gives up with an error when coarsening does not help', async () => {
    await expect(capped(5)).rejects.toMatchObject({ code: 'too-many-triangles' });
  });
});
