import { describe, expect, it } from 'vitest';
import { coneRings, crossAxes, RING } from '../../../src/app/stage/beam-cone.ts';
import { circleSeam } from './a-seam.ts';

const seam = circleSeam({ radius: 20, rows: 60, width: 2 });

describe('the beam at a row', () => {
  it('narrows straight from the exit through the entry to the spot', () => {
    const made = coneRings(seam, 5);
    expect(made?.radii[0]).toBe(5);
    // 148 of 150 mm are done at the entry.
    expect(made?.radii[1]).toBeCloseTo(5 + (148 / 150) * (1 - 5), 5);
    expect(made?.radii[2]).toBe(1);
  });

  it('has rings of these radii round their middles, square to the beam, the last one in the joint', () => {
    const made = coneRings(seam, 17);
    made?.rings.forEach((ring, k) => {
      const middle = made.centres[k];
      for (let i = 0; i < RING; i++) {
        const off = [0, 1, 2].map((c) => ring[3 * i + c] - middle[c]);
        expect(Math.hypot(...off)).toBeCloseTo(made.radii[k], 4);
        expect(off[2]).toBeCloseTo(0, 5);
      }
    });
  });

  it('does not twist between rings', () => {
    const made = coneRings(seam, 40);
    if (made === null) throw new Error('no cone');
    const direction = (ring: number) =>
      [0, 1].map((c) => (made.rings[ring][c] - made.centres[ring][c]) / made.radii[ring]);
    for (const ring of [1, 2]) {
      for (const c of [0, 1]) expect(direction(ring)[c]).toBeCloseTo(direction(0)[c], 4);
    }
  });

  it('goes straight to the joint where no layer is, and is nothing without a head', () => {
    const bare = { ...seam, entry: new Float32Array(seam.entry.length).fill(Number.NaN) };
    expect(coneRings(bare, 3)?.rings).toHaveLength(2);
    expect(coneRings({ ...seam, head: new Float32Array(seam.head.length).fill(Number.NaN) }, 3)).toBeNull();
  });

  it('finds axes square to any axis', () => {
    for (const axis of [
      [0, 0, 1],
      [0, 0, -3],
      [1, 2, 3],
      [0, 1, 0],
    ] as const) {
      const [u, v] = crossAxes(axis);
      const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, value, c) => sum + value * b[c], 0);
      expect(dot(u, axis)).toBeCloseTo(0, 12);
      expect(dot(v, axis)).toBeCloseTo(0, 12);
      expect(dot(u, v)).toBeCloseTo(0, 12);
      expect(dot(u, u)).toBeCloseTo(1, 12);
    }
  });
});
