import { expect, test } from 'vitest';
import { buildBody } from '../../src/intake/build-body.ts';
import type { Body } from '../../src/model/part.ts';
import type { RawBody } from '../../src/model/raw-import.ts';
import { quietTask, rawBox, rawTube, seeded } from './support.ts';

const build = (raw: RawBody) => buildBody(raw, raw.name, 0, raw.name, quietTask());
const ids = (body: Body): string[] => body.edges.map((edge) => edge.id);

test('a box has 8 vertices, 12 edges of the right lengths and right angles, and no open edge', async () => {
  const { body, notes } = await build(rawBox(10, 20, 30));
  expect(notes).toEqual([]);
  expect(body.position.length).toBe(24);
  expect(body.openEdges).toBe(0);
  expect(body.faces.map((face) => face.triangleCount)).toEqual([2, 2, 2, 2, 2, 2]);
  expect(body.edges.map((edge) => edge.length).sort((a, b) => a - b)).toEqual([
    10, 10, 10, 10, 20, 20, 20, 20, 30, 30, 30, 30,
  ]);
  expect(new Set(ids(body)).size).toBe(12);
  for (const edge of body.edges) {
    expect(edge.closed).toBe(false);
    expect(edge.dihedral[0]).toBeCloseTo(Math.PI / 2, 12);
    expect(edge.dihedral[1]).toBeCloseTo(Math.PI / 2, 12);
  }
});

test('doubles that differ by less than the weld tolerance change nothing but digits', async () => {
  const random = seeded(3);
  const raw = rawBox(10, 20, 30);
  const shaken = { ...raw, position: raw.position.map((c) => c + 4e-6 * (random() - 0.5)) };
  const { body } = await build(shaken);
  expect(body.position.length).toBe(24);
  expect(body.openEdges).toBe(0);
  expect(ids(body)).toEqual(ids((await build(raw)).body));
});

test('the seam of a periodic face is no edge: a tube has four closed rims', async () => {
  const n = 48;
  const { body } = await build(rawTube(30, 20, 15, n));
  expect(body.openEdges).toBe(0);
  expect(ids(body)).toEqual(['tube:0-1', 'tube:0-3', 'tube:1-2', 'tube:2-3']);
  for (const edge of body.edges) {
    expect(edge.closed).toBe(true);
    expect(edge.vertex.length).toBe(n);
    const radius = edge.faces.includes(0) ? 30 : 20;
    expect(edge.length).toBeCloseTo(2 * n * radius * Math.sin(Math.PI / n), 9);
  }
});

test('an edge runs with its first face on the left, seen from outside', async () => {
  const { body } = await build(rawTube(30, 20, 15, 48));
  const rim = body.edges[0];
  expect(rim.id).toBe('tube:0-1');
  const [a, b] = [0, 1].map((i) => body.position.subarray(3 * rim.vertex[i], 3 * rim.vertex[i] + 3));
  // Face 0 is the outside, below the top rim: walking with it on the left, looked at from outside, is clockwise from above.
  expect(a[0] * b[1] - a[1] * b[0]).toBeLessThan(0);
});

test('a closed body that is inside out is turned, with a note; edges are those of the sound body', async () => {
  const raw = rawTube(30, 20, 15, 24);
  const turned = raw.triangle.slice();
  for (let c = 0; c < turned.length; c += 3) [turned[c + 1], turned[c + 2]] = [turned[c + 2], turned[c + 1]];
  const sound = (await build(raw)).body;
  const { body, notes } = await build({ ...raw, triangle: turned });
  expect(notes.map((note) => note.code)).toEqual(['turned-outward']);
  expect(body.triangle).toEqual(sound.triangle);
  expect(body.edges).toEqual(sound.edges);
});

test('an open body says so and has edges along its border', async () => {
  const raw = rawBox(10, 20, 30);
  const { body, notes } = await build({
    ...raw,
    triangle: raw.triangle.slice(0, 30),
    faceRange: raw.faceRange.slice(0, 10),
  });
  expect(notes.map((note) => note.code)).toEqual(['open-edges']);
  expect(body.openEdges).toBe(4);
  const border = body.edges.filter((edge) => edge.faces[1] === -1);
  expect(border.map((edge) => edge.id)).toEqual(['box:0-open', 'box:1-open', 'box:2-open', 'box:3-open']);
  for (const edge of border) expect(edge.dihedral).toEqual([Number.NaN, Number.NaN]);
});

test('flat triangles go, but not before they have held their neighbours together', async () => {
  // The edge from (0,0,0) to (10,0,0) has a vertex in its middle on one side only; a flat triangle closes the slit.
  const raw = rawBox(10, 20, 30);
  const middle = raw.position.length / 3;
  const position = Float64Array.from([...raw.position, 5, 0, 0]);
  // Face 0 has corners 0 (0,0,0), 1 (0,20,0), 2 (10,20,0), 3 (10,0,0): its second triangle 0 2 3 is split at the middle.
  const triangle = [0, 1, 2, 0, 2, middle, middle, 2, 3, 0, middle, 3, ...raw.triangle.slice(6)];
  const faceRange = raw.faceRange.map((t) => (t === 0 ? 0 : t + 2));
  const slit = await build({ ...raw, position, triangle: Uint32Array.from(triangle), faceRange });
  expect(slit.body.openEdges).toBe(0);
  expect(slit.body.triangle.length / 3).toBe(13);
  expect(slit.body.faces[0]).toEqual({ firstTriangle: 0, triangleCount: 3 });
  expect(ids(slit.body)).toEqual(ids((await build(raw)).body));
});

test('faces without triangles keep their number', async () => {
  const raw = rawBox(1, 2, 3);
  const faceRange = Uint32Array.from([0, 2, 2, 2, ...raw.faceRange.slice(2)]);
  const { body } = await build({ ...raw, faceRange });
  expect(body.faces.map((face) => face.triangleCount)).toEqual([2, 0, 2, 2, 2, 2, 2]);
  expect(ids(body)).not.toContain('box:0-1');
});

test('two edges between the same two faces are told apart by where they lie', async () => {
  // Both caps of a prism as one face: its sides meet that face twice.
  const raw = rawTube(30, 20, 15, 24);
  const one = { ...raw, faceRange: Uint32Array.from([0, 48, 48, 192]) };
  const { body } = await build(one);
  expect(ids(body)).toEqual(['tube:0-1', 'tube:0-1.2']);
  // The skew measure grows with z: the lower rim comes first.
  expect(body.position[3 * body.edges[0].vertex[0] + 2]).toBe(0);
  expect(body.position[3 * body.edges[1].vertex[0] + 2]).toBe(15);
});
