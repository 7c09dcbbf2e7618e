// The parts are what their closed forms say: every vertex of a joint face or edge lies on them. Tolerance 1e-6 mm, a tenth
// of what the finest figure asked of the seam (0.1 um) leaves, and ten times what the STEP writer's own fits showed.
import { describe, expect, it } from 'vitest';
import { edgesOf, edgeVertices, faceVertices, faceWhere, sampleBody, type Vertex } from './read-sample.ts';

const EXACT = 1e-6;

const largest = (values: readonly number[]): number =>
  values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

/** Distance from a torus about y through (0, 0, 310) with major radius 330. */
const fromWaveTorus = ([x, y, z]: Vertex, minor: number): number => Math.hypot(Math.hypot(x, z - 310) - 330, y) - minor;

const onWave =
  (minor: number) =>
  (vertex: Vertex): boolean =>
    Math.abs(fromWaveTorus(vertex, minor)) < 1e-3;

const tideHeight = (x: number, y: number): number =>
  42 + (x * x) / 800 - (y * y) / 190 + 1.2 * Math.sin(x / 32) * Math.cos(y / 36) + 0.06 * y;

describe('wave pod', () => {
  it('has one rib top, on the torus, as high and as long and as tightly bent as the housing is meant to be', async () => {
    const tub = await sampleBody('wave-pod.step', 'tub');
    const rib = faceWhere(tub, onWave(80));
    const vertices = faceVertices(tub, rib);
    expect(vertices.length).toBeGreaterThan(1000);
    expect(largest(vertices.map((vertex) => fromWaveTorus(vertex, 80)))).toBeLessThan(EXACT);

    const heights = vertices.map(([, , z]) => z);
    expect(Math.max(...heights) - Math.min(...heights)).toBeGreaterThan(25);

    // Both borders are offsets of the middle by the same amount, so that its length is their mean.
    const edges = edgesOf(tub, rib);
    const length = edges.reduce((sum, edge) => sum + edge.length, 0) / 2;
    expect(length).toBeGreaterThan(350);
    expect(length).toBeLessThan(600);

    // Smallest circle through three successive border vertices in plan, 1.5 mm inside the middle.
    const radii = edges.flatMap((edge) => planRadii(edgeVertices(tub, [edge])));
    expect(Math.min(...radii) + 1.5).toBeCloseTo(12, 2);
  });

  it('meshes to no more triangles than a housing needs', async () => {
    const bodies = [await sampleBody('wave-pod.step', 'lid'), await sampleBody('wave-pod.step', 'tub')];
    expect(bodies.reduce((sum, body) => sum + body.triangle.length / 3, 0)).toBeLessThan(60_000);
  });

  it('has a lid 2.0 mm thick that touches the rib', async () => {
    const lid = await sampleBody('wave-pod.step', 'lid');
    for (const minor of [80, 82]) {
      const faces = lid.faces.map((_, face) => faceVertices(lid, face)).filter((face) => face.every(onWave(minor)));
      expect(faces.length).toBeGreaterThan(0);
      expect(largest(faces.flat().map((vertex) => fromWaveTorus(vertex, minor)))).toBeLessThan(EXACT);
    }
  });
});

describe('tide pod', () => {
  it('has one free-form rib top that follows its height function', async () => {
    const tub = await sampleBody('tide-pod.step', 'tub');
    const rib = faceWhere(tub, ([x, y, z]) => Math.abs(z - tideHeight(x, y)) < 1e-3);
    // 1e-5 mm: the B-spline runs through a 4 mm grid of the function's points, between them it is off by h^4.
    expect(largest(faceVertices(tub, rib).map(([x, y, z]) => z - tideHeight(x, y)))).toBeLessThan(1e-5);
  });

  it('has a lid whose top lies 2.0 mm above that, along the normal', async () => {
    const lid = await sampleBody('tide-pod.step', 'lid');
    const top = faceWhere(lid, ([x, y, z]) => z - tideHeight(x, y) > 1.9 && z - tideHeight(x, y) < 2.6);
    expect(largest(faceVertices(lid, top).map((vertex) => distanceToTide(vertex) - 2))).toBeLessThan(1e-5);
  });
});

describe('calibration pieces', () => {
  it('disc: a circle R 40 on a plane', async () => {
    const disc = await sampleBody('disc.step', 'disc');
    const rim = edgesOf(
      disc,
      faceWhere(disc, ([, , z]) => Math.abs(z - 6) < EXACT),
    );
    expect(rim.map(({ closed }) => closed)).toEqual([true]);
    expect(largest(edgeVertices(disc, rim).map(([x, y]) => Math.hypot(x, y) - 40))).toBeLessThan(EXACT);
  });

  it('crossing cylinders: the edge lies on both', async () => {
    const boss = await sampleBody('crossing-cylinders.step', 'boss');
    const edges = edgesOf(
      boss,
      faceWhere(boss, ([, y, z]) => Math.abs(Math.hypot(y, z) - 40) < EXACT),
    );
    const vertices = edgeVertices(boss, edges);
    expect(vertices.length).toBeGreaterThan(50);
    expect(largest(vertices.map(([x, y]) => Math.hypot(x, y) - 25))).toBeLessThan(EXACT);
    expect(largest(vertices.map(([, y, z]) => Math.hypot(y, z) - 40))).toBeLessThan(EXACT);
    // Source: quadrature of the closed form with 30 digits (computed). Chords fall short by kappa^2 h^2 / 24, below 1e-4.
    const length = edges.reduce((sum, edge) => sum + edge.length, 0);
    expect(Math.abs(length / 161.8113525984039 - 1)).toBeLessThan(1e-4);
  });

  it('saddle rim: the edge and the radial rulings of its flange', async () => {
    const rim = await sampleBody('saddle-rim.step', 'rim');
    const height = ([x, y]: Vertex): number => 8 * Math.cos(2 * Math.atan2(y, x));
    const flange = faceWhere(rim, (vertex) => Math.abs(vertex[2] - height(vertex)) < 1e-3);
    expect(largest(faceVertices(rim, flange).map((vertex) => vertex[2] - height(vertex)))).toBeLessThan(EXACT);
    const outer = edgesOf(rim, flange).filter((edge) => edge.length > 240);
    expect(outer.map(({ closed }) => closed)).toEqual([true]);
    expect(largest(edgeVertices(rim, outer).map(([x, y]) => Math.hypot(x, y) - 40))).toBeLessThan(EXACT);
    // Source: arc length 4 R E(m = -4 A^2 / R^2), complete elliptic integral of the second kind, 30 digits (computed).
    expect(Math.abs(outer[0].length / 261.097422645194 - 1)).toBeLessThan(1e-4);
  });

  it('dome pair: a rib on the sphere R 60, 3 mm wide about the latitude of 40 degrees', async () => {
    const dome = await sampleBody('dome-pair.step', 'dome');
    const rib = faceWhere(dome, (vertex) => Math.abs(Math.hypot(...vertex) - 60) < EXACT);
    const polar = edgesOf(dome, rib).map((edge) =>
      edgeVertices(dome, [edge]).map(([x, y, z]) => Math.atan2(Math.hypot(x, y), z)),
    );
    const middle = (40 * Math.PI) / 180;
    const borders = polar.map((angles) => 60 * (angles[0] - middle)).sort((a, b) => a - b);
    expect(borders).toHaveLength(2);
    expect(borders[0]).toBeCloseTo(-1.5, 6);
    expect(borders[1]).toBeCloseTo(1.5, 6);
    for (const angles of polar) expect(largest(angles.map((angle) => 60 * (angle - angles[0])))).toBeLessThan(EXACT);

    const lid = await sampleBody('dome-pair.step', 'lid');
    for (const radius of [60, 62]) faceWhere(lid, (vertex) => Math.abs(Math.hypot(...vertex) - radius) < EXACT);
  });

  it('stadium: a rib 3 mm wide about straights of 60 and half circles R 20', async () => {
    const tray = await sampleBody('stadium.step', 'tray');
    const edges = edgesOf(
      tray,
      faceWhere(tray, ([, , z]) => Math.abs(z - 8) < EXACT),
    );
    const offsets = edgeVertices(tray, edges).map(([x, y]) => Math.hypot(Math.max(Math.abs(x) - 30, 0), y) - 20);
    expect(offsets.length).toBeGreaterThan(100);
    expect(largest(offsets.map((offset) => Math.abs(offset) - 1.5))).toBeLessThan(EXACT);
    expect(offsets.some((offset) => offset > 0) && offsets.some((offset) => offset < 0)).toBe(true);
  });

  it('torus ring: a rib 3 mm wide about the parallel circle that leans 30 degrees outward', async () => {
    const ring = await sampleBody('torus-ring.step', 'ring');
    const tube = ([x, y, z]: Vertex): readonly [number, number] => [Math.hypot(x, y) - 50, z];
    const rib = faceWhere(ring, (vertex) => Math.abs(Math.hypot(...tube(vertex)) - 20) < EXACT);
    const borders = edgesOf(ring, rib).map((edge) =>
      edgeVertices(ring, [edge]).map((vertex) => 20 * (Math.atan2(...tube(vertex)) - Math.PI / 6)),
    );
    expect(borders).toHaveLength(2);
    expect(largest(borders.flat().map((offset) => Math.abs(offset) - 1.5))).toBeLessThan(EXACT);
  });
});

/** Radii of the circles through three successive vertices seen from above, where the chain bends at all. */
function planRadii(chain: readonly Vertex[]): number[] {
  return chain.slice(2).flatMap((c, i) => {
    const [a, b] = [chain[i], chain[i + 1]];
    const side = (p: Vertex, q: Vertex): number => Math.hypot(q[0] - p[0], q[1] - p[1]);
    const doubleArea = Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
    // Neighbours less than 0.1 mm apart say nothing of a radius.
    const sides = [side(a, b), side(b, c), side(c, a)];
    return Math.min(...sides) < 0.1 || doubleArea < 1e-4 ? [] : [(sides[0] * sides[1] * sides[2]) / (2 * doubleArea)];
  });
}

/** Distance of a vertex from the tide pod's height function: Gauss-Newton on the foot point. */
function distanceToTide([px, py, pz]: Vertex): number {
  let [x, y] = [px, py];
  for (let round = 0; round < 60; round++) {
    const slopeX = x / 400 + (1.2 / 32) * Math.cos(x / 32) * Math.cos(y / 36);
    const slopeY = -y / 95 - (1.2 / 36) * Math.sin(x / 32) * Math.sin(y / 36) + 0.06;
    const rise = pz - tideHeight(x, y);
    x += (px - x + rise * slopeX) / (1 + slopeX * slopeX);
    y += (py - y + rise * slopeY) / (1 + slopeY * slopeY);
  }
  return Math.hypot(px - x, py - y, pz - tideHeight(x, y));
}
