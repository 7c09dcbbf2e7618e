// Tangent and curvature of the wave pod's seam, from STEP at the default deflection, against a middle line that is found
// without the planner: on the torus, equally far from both borders by geodesics, differentiated along the plan.
import { expect, test } from 'vitest';
import { closestPoint } from '../../src/geometry/closest-point.ts';
import { pointAt } from '../../src/geometry/curve.ts';
import { borderDistance, lift, planPieces } from '../seam/known-wave-pod.ts';
import { draw, lineAngle, norm, sampleScene } from '../seam/support.ts';

const pieces = planPieces(0);

/** Place on the middle line over a share of a piece: out from the lifted plan until both borders are equally far. */
function middle(index: number, share: number): number[] {
  const piece = pieces[index];
  const { p, out } = piece.at(share);
  const miss = (d: number): number => {
    const q = lift(p[0] + d * out[0], p[1] + d * out[1]);
    return borderDistance(q, piece, 1.5) - borderDistance(q, piece, -1.5);
  };
  let [a, b, fa, fb] = [0, 0.02, miss(0), miss(0.02)];
  for (let i = 0; i < 20 && Math.abs(fb) > 1e-12 && fa !== fb; i++) {
    [a, fa, b] = [b, fb, b - (fb * (b - a)) / (fb - fa)];
    fb = miss(b);
  }
  return [...lift(p[0] + b * out[0], p[1] + b * out[1])];
}

// Source: geodesics by their differential equation (do Carmo 1976, sec. 4-4), Runge-Kutta of order 4; curvature of a curve in
// any parameter |r' x r''| / |r'|^3 (do Carmo 1976, sec. 1-5). Figures to reach beyond 1 mm from joints: 1 um, 0.02 deg, 0.5 %
// of max(kappa, 1/500 mm).
test('wave pod: position, tangent, curvature', { timeout: 120_000 }, async () => {
  const scene = await sampleScene('wave-pod', { lid: 'transmissive', tub: 'absorbing' });
  const select = { kind: 'band', body: 'tub', near: [-19.87105, -44, 47.564393], follow: 'tangent' } as const;
  const { curve } = await draw(scene, { select });
  const at = new Float64Array(9);
  const errors = { position: 0, tangent: 0, curvature: 0 };
  let asked = 0;
  // One half of the outline, the bow's last straight included: the other half is its mirror image.
  pieces.slice(0, 6).forEach(({ length }, index) => {
    // Differences reach 2 h to either side: all of it stays on the piece, and the place in the middle beyond 1 mm of its ends.
    const h = Math.min(0.5, length / 16);
    const places = [1.02, length / 2, length - 1.02].filter((d) => d >= 1 && d <= length - 1 && d >= 2 * h);
    for (const d of places) {
      const q = [-2, -1, 0, 1, 2].map((k) => middle(index, (d + k * h) / length));
      const first = [0, 1, 2].map((c) => (q[0][c] - 8 * q[1][c] + 8 * q[3][c] - q[4][c]) / (12 * h));
      const second = [0, 1, 2].map(
        (c) => (-q[0][c] + 16 * q[1][c] - 30 * q[2][c] + 16 * q[3][c] - q[4][c]) / (12 * h * h),
      );
      const cross = [0, 1, 2].map((c) => {
        const [i, j] = [(c + 1) % 3, (c + 2) % 3];
        return first[i] * second[j] - first[j] * second[i];
      });
      const kappa = norm(cross) / norm(first) ** 3;
      const found = closestPoint(curve, q[2][0], q[2][1], q[2][2]);
      pointAt(curve, found.s, at);
      errors.position = Math.max(errors.position, found.distance);
      errors.tangent = Math.max(errors.tangent, lineAngle([...at.subarray(3, 6)], first));
      const own = norm([...at.subarray(6, 9)]);
      errors.curvature = Math.max(errors.curvature, Math.abs(own - kappa) / Math.max(kappa, 1 / 500));
      asked++;
    }
  });
  expect(asked).toBe(18);
  expect(errors.position).toBeLessThan(1e-3);
  expect(errors.tangent).toBeLessThan(0.02);
  expect(errors.curvature).toBeLessThan(5e-3);
});
