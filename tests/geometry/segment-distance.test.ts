// The tree against every triangle in turn, and that against a search over points of segment and triangle.
import { describe, expect, it } from 'vitest';
import { segmentDistance } from '../../src/geometry/segment-distance.ts';

function lcg(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}

const soup = (random: () => number, triangles: number, size: number) => {
  const position = new Float64Array(9 * triangles);
  for (let t = 0; t < triangles; t++) {
    const centre = [0, 1, 2].map(() => 100 * random());
    for (let k = 0; k < 9; k++) position[9 * t + k] = centre[k % 3] + size * (random() - 0.5);
  }
  return { position, triangle: Uint32Array.from({ length: 3 * triangles }, (_, i) => i) };
};

/** Smallest value of a convex function on [0, high] by ternary search. */
function least(high: number, f: (x: number) => number): number {
  let [a, b] = [0, high];
  for (let step = 0; step < 45; step++) {
    const [p, q] = [a + (b - a) / 3, b - (b - a) / 3];
    if (f(p) <= f(q)) b = q;
    else a = p;
  }
  return f((a + b) / 2);
}

/** Distance by three nested searches, along the segment and over the triangle: partial minima of a convex function are convex. */
function searched(a: number[], b: number[], [c0, c1, c2]: number[][]): number {
  return least(1, (u) =>
    least(1, (s) =>
      least(1 - s, (t) => {
        let sum = 0;
        for (let c = 0; c < 3; c++) {
          const p = a[c] + u * (b[c] - a[c]);
          sum += (p - c0[c] - s * (c1[c] - c0[c]) - t * (c2[c] - c0[c])) ** 2;
        }
        return Math.sqrt(sum);
      }),
    ),
  );
}

describe('the distance of a segment', () => {
  it('from one triangle is that of a numeric minimisation (seed 61)', () => {
    const random = lcg(61);
    let crossing = 0;
    for (let trial = 0; trial < 14; trial++) {
      const { position, triangle } = soup(random, 1, 30);
      const of = segmentDistance({ position, triangle });
      const centre = [0, 1, 2].map((c) => (position[c] + position[3 + c] + position[6 + c]) / 3);
      const ends = [0, 1].map(() => centre.map((x) => x + 24 * (random() - 0.5)));
      const d = of(Float64Array.from(ends[0]), 0, Float64Array.from(ends[1]), 0, 1000);
      const corners = [0, 1, 2].map((k) => Array.from(position.subarray(3 * k, 3 * k + 3)));
      if (d === 0) crossing++;
      // Ternary searches end at 1e-7 of the interval; a distance of zero has a kink there.
      expect(Math.abs(d - searched(ends[0], ends[1], corners))).toBeLessThan(1e-4);
    }
    expect(crossing).toBeGreaterThan(0);
  });

  it('from many triangles is the smallest of each, within the reach and no farther (seed 62)', () => {
    const random = lcg(62);
    const { position, triangle } = soup(random, 800, 6);
    const whole = segmentDistance({ position, triangle });
    const each = Array.from({ length: 800 }, (_, t) =>
      segmentDistance({ position, triangle: triangle.subarray(3 * t, 3 * t + 3) }),
    );
    let clipped = 0;
    for (let trial = 0; trial < 60; trial++) {
      const a = Float64Array.from([0, 0, 0], () => 160 * random() - 30);
      const b = a.map((x) => x + (trial % 5 === 0 ? 0 : 30 * (random() - 0.5)));
      const smallest = Math.min(...each.map((of) => of(a, 0, b, 0, 1e4)));
      expect(whole(a, 0, b, 0, 1e4)).toBe(smallest);
      expect(whole(a, 0, b, 0, 5)).toBe(Math.min(smallest, 5));
      if (smallest > 5) clipped++;
    }
    expect(clipped).toBeGreaterThan(5);
  });

  it('is the reach for a body without triangles', () => {
    const of = segmentDistance({ position: new Float64Array(0), triangle: new Uint32Array(0) });
    expect(of(new Float64Array(3), 0, new Float64Array(3), 0, 77)).toBe(77);
  });
});
