// The records that other tests start from keep the signs that the model gives them.
import { expect, test } from 'vitest';
import { circlePath, plainAim } from './plain-seam.ts';

// dt/ds = k_g b + k_n n with b = n x t (Darboux frame; do Carmo 1976, 4-4, from memory): here by central differences,
// which are 1e-3 off on this circle.
test('the circle bends towards b: its tangent turns by the geodesic curvature, its head is led round', () => {
  const path = circlePath(40);
  const { headD2 } = plainAim(path);
  const step = path.length / path.count;
  for (let i = 1; i + 1 < path.count; i++) {
    const [tx, ty] = [path.tangent[3 * i], path.tangent[3 * i + 1]];
    const b = [-ty, tx];
    for (const axis of [0, 1]) {
      const turn = (path.tangent[3 * (i + 1) + axis] - path.tangent[3 * (i - 1) + axis]) / (2 * step);
      expect(Math.abs(turn - path.geodesicCurvature[i] * b[axis])).toBeLessThan(2e-3 * path.curvature[i]);
      expect(Math.abs(turn - headD2[3 * i + axis])).toBeLessThan(2e-3 * path.curvature[i]);
    }
  }
});
