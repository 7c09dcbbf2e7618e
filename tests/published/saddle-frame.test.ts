// The Darboux frame of a sampled seam against closed forms: disc, helix-like seams on a cylinder, the saddle rim.
import { describe, expect, test } from 'vitest';
import { buildCurve } from '../../src/geometry/curve.ts';
import { interpolatePeriodic } from '../../src/geometry/spline.ts';
import { samplePath } from '../../src/path/sample-path.ts';
import { type KnownCurve, saddle, sampleKnown } from '../geometry/known-curves.ts';
import { countingTask, type NormalField, radial, saddleFlange, sceneOf, seamOf, upward } from '../path/known-joint.ts';

const TURN = 2 * Math.PI;
const [R, A] = [40, 8];

const sample = (known: KnownCurve, points: number, field: NormalField) =>
  samplePath(
    seamOf(buildCurve([interpolatePeriodic(sampleKnown(known, points, TURN / points).position)], true)),
    { spacing: 0.5, chord: 0, runIn: 10, overlap: 8 },
    sceneOf(field),
    countingTask(),
  );

// Source: do Carmo 1976, Differential Geometry of Curves and Surfaces, sec. 4-4 (from memory): a plane circle has geodesic
// curvature 1/R and no normal curvature; run anti-clockwise under an upward normal it bends towards b = n x t.
test('disc: k_g = 1/R towards b, k_n = tau_g = 0', async () => {
  const circle: KnownCurve = (p, out) => {
    out.set([R * Math.cos(p), R * Math.sin(p), 0, -R * Math.sin(p), R * Math.cos(p), 0]);
  };
  const path = await sample(circle, 180, upward);
  for (let i = 0; i < path.count; i++) {
    expect(Math.abs(path.geodesicCurvature[i] * R - 1)).toBeLessThan(1e-3);
    expect(Math.abs(path.normalCurvature[i])).toBeLessThan(1e-15);
    expect(Math.abs(path.geodesicTorsion[i])).toBeLessThan(1e-15);
  }
});

// Source: closed forms of the saddle rim z = A cos 2 phi, g = sqrt(R^2 + 4 A^2 sin^2 2 phi) (computed for the reference
// sheet of the project, Euler and Weingarten as in do Carmo 1976, ch. 3). Tolerances: curvature of a spline through 360
// points 1e-4 relative; differences over 0.5 mm of normals that turn within 20 mm 1e-6.
describe('saddle rim', () => {
  test('radial normals: k_n = R / g^2, tau_g = -2 A sin 2 phi / g^2', async () => {
    const path = await sample(saddle, 360, radial);
    for (let i = 0; i < path.count; i++) {
      const phi = Math.atan2(path.position[3 * i + 1], path.position[3 * i]);
      const g2 = R * R + (2 * A * Math.sin(2 * phi)) ** 2;
      expect(Math.abs(path.normalCurvature[i] - R / g2)).toBeLessThan(1e-4 * 0.025);
      expect(Math.abs(path.geodesicTorsion[i] + (2 * A * Math.sin(2 * phi)) / g2)).toBeLessThan(1e-6);
    }
    expect(Math.abs(path.normalCurvature[0] - 0.025)).toBeLessThan(1e-5);
    expect(Math.abs(Math.min(...path.normalCurvature) - 0.0215517)).toBeLessThan(1e-6);
  });

  test('ruled flange: k_n = 4 A R cos 2 phi / g^3, +0.02 at the crest, -0.02 in the trough, same torsion', async () => {
    const path = await sample(saddle, 360, saddleFlange);
    for (let i = 0; i < path.count; i++) {
      const phi = Math.atan2(path.position[3 * i + 1], path.position[3 * i]);
      const g2 = R * R + (2 * A * Math.sin(2 * phi)) ** 2;
      const exact = (4 * A * R * Math.cos(2 * phi)) / g2 ** 1.5;
      expect(Math.abs(path.normalCurvature[i] - exact)).toBeLessThan(2e-4 * 0.02);
      expect(Math.abs(Math.abs(path.geodesicTorsion[i]) - Math.abs(2 * A * Math.sin(2 * phi)) / g2)).toBeLessThan(1e-6);
    }
    expect(Math.abs(Math.max(...path.normalCurvature) - 0.02)).toBeLessThan(1e-5);
    expect(Math.abs(Math.min(...path.normalCurvature) + 0.02)).toBeLessThan(1e-5);
  });

  // Source: as above: a vertical beam meets the flange at the slope angle, arc mean 14.277857 deg, largest 21.801409 deg.
  test('slope of the flange: arc mean and largest', async () => {
    const path = await sample(saddle, 360, saddleFlange);
    const angle = Array.from({ length: path.count }, (_, i) => (Math.acos(path.normal[3 * i + 2]) * 360) / TURN);
    expect(Math.abs(angle.reduce((sum, x) => sum + x, 0) / path.count - 14.277857)).toBeLessThan(1e-3);
    expect(Math.abs(Math.max(...angle) - 21.801409)).toBeLessThan(1e-3);
  });
});
