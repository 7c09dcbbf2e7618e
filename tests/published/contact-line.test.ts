// The centre line of a contact on the wave pod: against the middle of the band that the rib's top is, and against geodesics
// on the exact torus that share no code with the planner.
import { beforeAll, expect, test } from 'vitest';
import { closestPoint } from '../../src/geometry/closest-point.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Role } from '../../src/model/part.ts';
import type { Seam } from '../../src/model/seam.ts';
import { borderDistance, pieceOver, planPieces } from '../seam/known-wave-pod.ts';
import { draw, sampleScene, sampleSeam } from '../seam/support.ts';

let scene: SceneBody[];
let band: Seam;
beforeAll(async () => {
  scene = await sampleScene('wave-pod', { lid: 'transmissive', tub: 'absorbing' });
  const select = { kind: 'band', body: 'tub', near: [-19.87105, -44, 47.564393], follow: 'tangent' } as const;
  band = await draw(scene, { select });
}, 120_000);

const contact = (roles: Readonly<Record<string, Role>>): Promise<Seam> =>
  draw(
    scene.map((body) => ({ ...body, role: roles[body.name] })),
    { select: { kind: 'contact', bodies: ['lid', 'tub'], tolerance: 0.1, near: null } },
  );

function apart(one: Seam, two: Seam): number {
  return Math.max(...sampleSeam(one, 1000).map(({ p }) => closestPoint(two.curve, p[0], p[1], p[2]).distance));
}

const outline = planPieces(0);

/** Largest difference of the distances to both borders in the surface, halved, mm. */
function offMiddle(seam: Seam): number {
  let worst = 0;
  for (const { p } of sampleSeam(seam, 40)) {
    const at = [p[0], p[1], p[2]] as const;
    const { index, fromEnd } = pieceOver(at);
    if (fromEnd < 1) continue;
    const [right, left] = [1.5, -1.5].map((side) => borderDistance(at, outline[index], side));
    worst = Math.max(worst, Math.abs(right - left) / 2);
  }
  return worst;
}

// Figure to reach: 5 um from the middle of the band. Source of the distances: geodesics by their differential equation
// (do Carmo 1976, sec. 4-4), integrated by Runge-Kutta of order 4.
test("the joint on the rib: its borders are the rib's own", { timeout: 120_000 }, async () => {
  const seam = await contact({ lid: 'transmissive', tub: 'absorbing' });
  expect(seam.edgeIds.every((id) => id.startsWith('tub'))).toBe(true);
  expect(apart(seam, band)).toBeLessThan(5e-3);
  expect(apart(band, seam)).toBeLessThan(5e-3);
  expect(offMiddle(seam)).toBeLessThan(1e-3);
});

test('the joint on the lid: its borders are the edges of the rib that lies on it', { timeout: 120_000 }, async () => {
  const seam = await contact({ lid: 'absorbing', tub: 'transmissive' });
  expect(seam.faces.every(({ ref }) => scene[ref.part].name === 'lid')).toBe(true);
  expect(seam.edgeIds.every((id) => id.startsWith('tub'))).toBe(true);
  expect(apart(seam, band)).toBeLessThan(5e-3);
  expect(apart(band, seam)).toBeLessThan(5e-3);
  expect(offMiddle(seam)).toBeLessThan(1e-3);
});
