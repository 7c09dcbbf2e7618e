import { BoxGeometry, type BufferGeometry, SphereGeometry } from 'three';
import { mergeVertices } from 'three/examples/jsm/utils/BufferGeometryUtils.js';
import { describe, expect, it } from 'vitest';
import { splitFaces } from '../../../src/app/stage/split-faces.ts';

const welded = (geometry: BufferGeometry): { position: Float32Array; triangle: Uint32Array } => {
  for (const name of ['normal', 'uv']) geometry.deleteAttribute(name);
  const merged = mergeVertices(geometry, 1e-4);
  const position = Float32Array.from(merged.getAttribute('position').array);
  return { position, triangle: Uint32Array.from(merged.getIndex()?.array ?? []) };
};

describe('vertices split at face borders', () => {
  it('a box of six faces has four corners a face, each with that face alone as its normal', () => {
    const { position, triangle } = welded(new BoxGeometry(2, 3, 4));
    expect(position).toHaveLength(3 * 8);
    const face = Uint32Array.from({ length: triangle.length / 3 }, (_, t) => Math.floor(t / 2));
    const split = splitFaces(position, triangle, face);
    expect(split.position).toHaveLength(3 * 24);
    for (let k = 0; k < split.normal.length; k += 3) {
      const sizes = [...split.normal.subarray(k, k + 3)].map(Math.abs).sort();
      expect(sizes[0]).toBeCloseTo(0, 6);
      expect(sizes[2]).toBeCloseTo(1, 6);
      // The normal points out: towards the side that the corner is on.
      const axis = [0, 1, 2].find((c) => Math.abs(split.normal[k + c]) > 0.5) ?? 0;
      expect(Math.sign(split.normal[k + axis])).toBe(Math.sign(split.position[k + axis]));
    }
  });

  it('keeps triangles, their order and their turn', () => {
    const { position, triangle } = welded(new BoxGeometry(1, 1, 1));
    const face = Uint32Array.from({ length: 12 }, (_, t) => t % 3);
    const split = splitFaces(position, triangle, face);
    triangle.forEach((vertex, corner) => {
      for (let c = 0; c < 3; c++) {
        expect(split.position[3 * split.index[corner] + c]).toBe(position[3 * vertex + c]);
      }
    });
  });

  it('one face all over a ball is smooth: normals are radial', () => {
    const { position, triangle } = welded(new SphereGeometry(10, 64, 48));
    const split = splitFaces(position, triangle, new Uint32Array(triangle.length / 3));
    expect(split.position).toHaveLength(position.length);
    for (let k = 0; k < split.normal.length; k += 3) {
      let cosine = 0;
      for (let c = 0; c < 3; c++) cosine += (split.normal[k + c] * split.position[k + c]) / 10;
      // A facet is 5.6 degrees wide: the mean of those round a corner is off by less than half of that.
      expect(cosine).toBeGreaterThan(Math.cos((2 * Math.PI) / 180));
    }
  });

  it('a facet without area does not spoil the normals of its corners', () => {
    const position = Float32Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0, 2, 0, 0);
    const split = splitFaces(position, Uint32Array.of(0, 1, 2, 0, 1, 3), Uint32Array.of(0, 0));
    expect([...split.normal].every(Number.isFinite)).toBe(true);
    expect(split.normal[2]).toBe(1);
  });
});
