// Shadows of straight edges against closed forms of the half-plane share, and against numerical integration of the profile.
import { describe, expect, test } from 'vitest';
import { halfPlaneShare, stripShare } from '../../src/beam/spot-share.ts';
import { createBodyQuery } from '../../src/geometry/mesh-body-query.ts';
import type { Profile } from '../../src/model/optics.ts';
import type { Body } from '../../src/model/part.ts';
import { inScene, noMesh, screen, shell, slab, type Vector } from './analytic-bodies.ts';
import { aim, aimJob, circleOnSphere, DEG, head, optics, plate, stated, straight } from './known-paths.ts';

const PROFILES: Profile[] = ['gaussian', 'top-hat'];

// Independent of erf and acos: the profile summed over thin strips (midpoint rule, 20,000 strips: 1e-6).
function summed(profile: Profile, x: number): number {
  const edge = profile === 'gaussian' ? 4 : 1;
  const n = 20_000;
  const step = (2 * edge) / n;
  let [below, all] = [0, 0];
  for (let i = 0; i < n; i++) {
    const u = -edge + (i + 0.5) * step;
    const value = profile === 'gaussian' ? Math.exp(-2 * u * u) : Math.sqrt(1 - u * u);
    all += value;
    if (u < x) below += value;
  }
  return below / all;
}

describe.each(PROFILES)('%s', (profile) => {
  test('half-plane share equals the summed profile', () => {
    for (const x of [-1.2, -0.93, -0.5, 0, 0.2, 0.77, 1, 1.5]) {
      expect(Math.abs(halfPlaneShare(profile, x) - summed(profile, x))).toBeLessThan(1e-4);
    }
    expect(stripShare(profile, 0.4, 0.7)).toBeCloseTo(summed(profile, 0.4) - summed(profile, -0.7), 3);
    expect(stripShare(profile, -3, 1)).toBe(0);
  });

  // Screen at z = 60 above a 2 mm layer, edge along travel: the cone from 10 mm at the head (tool centre at 0.72) to its radius at z = 2.
  const heightOf = (z: number) => (150.72 - z) / (150.72 - 2);
  test.each([0, 17, 90, 143])(
    'a straight edge turned by %d deg, all over the beam: within 0.5 %% of the closed form',
    async (deg) => {
      const radius = 10 + heightOf(60) * (0.5 - 10);
      const across: Vector = [Math.cos(deg * DEG), Math.sin(deg * DEG), 0];
      let worst = 0;
      for (let offset = -1.6; offset <= 1.6; offset += 0.04) {
        const edge: Vector = [0.5 + offset * radius * across[0], offset * radius * across[1], 60];
        const clamp = inScene(0, 'tooling', screen(edge, [0, 0, 1], across));
        const job = stated(2, plate('lid', 1.565), { optics: optics({ profile }) });
        const { clipped, clippedBy } = await aim(straight(3), head(), [clamp], job);
        const exact = 1 - halfPlaneShare(profile, offset);
        worst = Math.max(worst, Math.abs(clipped[1] - exact));
        if (exact > 0.005) expect(clippedBy[1]).toBe(0);
        if (clipped[1] === 0) expect(clippedBy[1]).toBe(-1);
      }
      expect(worst).toBeLessThan(0.005);
      expect(worst).toBeGreaterThan(0);
    },
  );
});

test('delivered is what the shadow leaves of the transmitted share; power is not asked to make up for it', async () => {
  const clamp = inScene(3, 'tooling', screen([0, 0, 60], [0, 0, 1], [0, 1, 0]));
  const job = stated(2, plate('lid', 1.565));
  const { transmitted, delivered, clipped, clippedBy } = await aim(straight(3), head(), [clamp], job);
  expect(clipped[1]).toBeCloseTo(0.5, 2);
  expect(delivered[1]).toBeCloseTo(transmitted[1] * (1 - clipped[1]), 12);
  expect(clippedBy[1]).toBe(3);
});

test('of two bodies the one that takes more is named', async () => {
  const small = inScene(1, 'tooling', screen([0, 4, 60], [0, 0, 1], [0, 1, 0]));
  const large = inScene(2, 'absorbing', screen([0, -1, 80], [0, 0, 1], [0, -1, 0]));
  const { clippedBy, clipped } = await aim(straight(3), head(), [small, large], stated(2, plate('lid', 1.565)));
  expect(clippedBy[1]).toBe(2);
  expect(clipped[1]).toBeGreaterThan(0.2);
  expect(clipped[1]).toBeLessThan(0.8);
});

test('the layer that the beam goes through is no shadow, flat, slanting or domed; another wall beside it is', async () => {
  const materials = new Map([['lid', plate('lid', 1.565)]]);
  const flat = inScene(0, 'transmissive', slab([0, 0, 0], [0, 0, 1], 2), 'lid');
  const slanting = await aim(straight(3), head({ tilt: 14 * DEG, lead: -9 * DEG }), [flat], aimJob({ materials }));
  expect(slanting.clipped[1]).toBe(0);
  const beside = inScene(1, 'transmissive', screen([0, 1, 60], [0, 0, 1], [0, 1, 0]), 'lid');
  const half = await aim(straight(3), head(), [flat, beside], aimJob({ materials }));
  expect(half.walls[1]).toBe(1);
  expect(half.clippedBy[1]).toBe(1);
  expect(half.clipped[1]).toBeGreaterThan(0.2);
  const dome = inScene(0, 'transmissive', shell([0, 0, 0], 30, 32), 'lid');
  const domed = await aim(
    circleOnSphere([0, 0, 0], 30, 0.5, 12),
    head({ tilt: 14 * DEG }),
    [dome],
    aimJob({ materials }),
  );
  expect(Math.max(...domed.clipped)).toBe(0);
});

test('a thin clamp on the layer shades although it is thinner than the spot is wide', async () => {
  const clamp = inScene(1, 'tooling', screen([0, 0, 2.2], [0, 0, 1], [0, 1, 0]));
  const { clipped } = await aim(straight(3), head(), [clamp], stated(2, plate('lid', 1.565)));
  expect(Math.abs(clipped[1] - 0.5)).toBeLessThan(0.005);
});

// A block of twelve facets through the real boxes and rays: its nearer edge is the upper one where the beam's middle passes
// beside it, the lower one where the block covers the middle.
test('driven under a block, every station has the share of the edge that reaches furthest into its cone', async () => {
  const corners = Array.from({ length: 8 }, (_, i): Vector => [i & 1 ? 60 : 12, i & 2 ? 40 : -40, i & 4 ? 50 : 30]);
  const sides = [0, 2, 3, 1, 4, 5, 7, 6, 0, 1, 5, 4, 2, 6, 7, 3, 0, 4, 6, 2, 1, 3, 7, 5];
  const triangle = Uint32Array.from({ length: 36 }, (_, k) => {
    const side = Math.floor(k / 6);
    return sides[4 * side + ([0, 1, 2, 0, 2, 3][k % 6] as number)] as number;
  });
  const body: Body = {
    ...noMesh,
    position: Float64Array.from(corners.flat()),
    triangle,
    faceOfTriangle: Uint32Array.from({ length: 12 }, (_, t) => t >> 1),
    faces: Array.from({ length: 6 }, (_, f) => ({ firstTriangle: 2 * f, triangleCount: 2 })),
    noise: 1e-6,
  };
  const clamp = inScene(0, 'tooling', createBodyQuery(body));
  const { clipped } = await aim(straight(49), head(), [clamp], stated(2, plate('lid', 1.565)));
  let shaded = 0;
  for (let i = 0; i < 49; i++) {
    const beside = 12 - 0.5 * i;
    const radius = (z: number) => 10 + ((150.72 - z) / (150.72 - 2)) * (0.5 - 10);
    const exact = 1 - halfPlaneShare('gaussian', Math.min(beside / radius(50), beside / radius(30)));
    expect(Math.abs((clipped[i] as number) - exact)).toBeLessThan(0.005);
    if (clipped[i] === 1) shaded++;
    if (beside > 2 * radius(50)) expect(clipped[i]).toBe(0);
  }
  expect(shaded).toBeGreaterThan(5);
});
