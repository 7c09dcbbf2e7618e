// Curves and frames against closed forms: lengths, curvatures, orders of convergence, rotation-minimising frames.
import { describe, expect, test } from 'vitest';
import { buildCurve, evaluate, sampleCurve } from '../../src/geometry/curve.ts';
import { closingAngle, rotationMinimisingFrames, turnAbout } from '../../src/geometry/frames.ts';
import { interpolate, interpolatePeriodic, type Spline } from '../../src/geometry/spline.ts';
import { distance, length, scale } from '../../src/geometry/vector.ts';
import {
  ellipse,
  helix,
  type KnownCurve,
  knownCurvature,
  saddle,
  sampleKnown,
  torusKnot,
  viviani,
} from '../geometry/known-curves.ts';

const TURN = 2 * Math.PI;

function closedCurve(known: KnownCurve, n: number, round: number) {
  return buildCurve([interpolatePeriodic(sampleKnown(known, n, round / n).position)], true);
}

function helixCurve(n: number) {
  const { position, tangent } = sampleKnown(helix, n + 1, TURN / n);
  return buildCurve([interpolate(position, tangent.subarray(0, 3), tangent.subarray(3 * n))], false);
}

// Source: elliptic integrals and elementary closed forms, 30-digit quadrature (computed for the reference sheet of the
// project with mpmath). Viviani: L = 8 sqrt 2 a E(1/2); saddle: L = 4 R E(m = -4 A^2 / R^2).
describe('lengths within 1 ppm', () => {
  test('helix of radius 40 and pitch 20, one turn', () => {
    expect(Math.abs(helixCurve(96).length / 252.1219311503303 - 1)).toBeLessThan(1e-6);
  });
  test('ellipse 50 x 30', () => {
    expect(Math.abs(closedCurve(ellipse, 128, TURN).length / 255.2699886339813 - 1)).toBeLessThan(1e-6);
  });
  test('curve of Viviani, a = 1', () => {
    expect(Math.abs(closedCurve(viviani, 128, 2 * TURN).length / 15.28079115611085 - 1)).toBeLessThan(1e-6);
  });
  test('saddle rim, R 40, A 8', () => {
    expect(Math.abs(closedCurve(saddle, 128, TURN).length / 261.097422645194 - 1)).toBeLessThan(1e-6);
  });
});

// Source: as above (computed): helix kappa = R / (R^2 + c^2); Viviani 0.5 and 1.118.. = sqrt 5 / 2; saddle from r' and r''.
// A cubic's curvature is second-order: 0.1 % takes about 5 times the points that 1 ppm of length takes.
describe('curvatures within 0.1 %', () => {
  const extremes = (curve: ReturnType<typeof closedCurve>) => {
    const s = Float64Array.from({ length: 4000 }, (_, i) => (curve.length * i) / 4000);
    const { second } = sampleCurve(curve, s);
    const all = Array.from(s, (_, i) => length(second, 3 * i));
    return [Math.min(...all), Math.max(...all)];
  };
  test('helix', () => {
    const [low, high] = extremes(helixCurve(256));
    expect(Math.abs(low / 0.02484268187919686 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(high / 0.02484268187919686 - 1)).toBeLessThan(1e-3);
  });
  test('Viviani', () => {
    const [low, high] = extremes(closedCurve(viviani, 256, 2 * TURN));
    expect(Math.abs(low / 0.5 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(high / 1.11803398875 - 1)).toBeLessThan(1e-3);
  });
  test('saddle rim', () => {
    const [low, high] = extremes(closedCurve(saddle, 256, TURN));
    expect(Math.abs(low / 0.021551724138 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(high / 0.032015621187 - 1)).toBeLessThan(1e-3);
  });
});

/** Largest errors of a spline of one piece against the closest points of the saddle: position, tangent, curvature (relative). */
function saddleErrors(spline: Spline): [number, number, number] {
  const at = new Float64Array(9);
  const exact = new Float64Array(9);
  const worst: [number, number, number] = [0, 0, 0];
  for (let j = 0; j + 1 < spline.knot.length; j++) {
    for (let part = 0; part < 40; part++) {
      evaluate(spline, j, ((spline.knot[j + 1] - spline.knot[j]) * part) / 40, at);
      let p = Math.atan2(at[1], at[0]);
      for (let step = 0; step < 8; step++) {
        saddle(p, exact);
        let miss = 0;
        for (let c = 0; c < 3; c++) miss += (exact[c] - at[c]) * exact[3 + c];
        p -= miss / length(exact, 3) ** 2;
      }
      saddle(p, exact);
      const curvature = knownCurvature(exact);
      scale(exact, 3, 1 / length(exact, 3));
      worst[0] = Math.max(worst[0], distance(at, 0, exact, 0));
      worst[1] = Math.max(worst[1], distance(at, 3, exact, 3));
      worst[2] = Math.max(worst[2], Math.abs(length(at, 6) / curvature - 1));
    }
  }
  return worst;
}

describe('orders of convergence on the saddle rim', () => {
  const sizes = [32, 64, 128, 256];
  const errors = sizes.map((n) => saddleErrors(interpolatePeriodic(sampleKnown(saddle, n, TURN / n).position)));

  // Source: SciPy 1.17.1, scipy.interpolate.CubicSpline(chord lengths, points, bc_type='periodic') at the same 40 places
  // a span (computed). With the angle phi as parameter instead of chord lengths the position errors are about half:
  // 5.286e-4, 3.259e-5, 2.030e-6 for 32, 64, 128 (computed for the reference sheet).
  test('errors equal those of an independent periodic spline over chord lengths', () => {
    const scipy = [
      [1.1502e-3, 4.3741e-4, 1.6198e-2],
      [6.407e-5, 4.9575e-5, 3.8683e-3],
      [3.8775e-6, 6.0495e-6, 9.5422e-4],
      [2.4037e-7, 7.516e-7, 2.3775e-4],
    ];
    for (let k = 0; k < sizes.length; k++) {
      for (let e = 0; e < 3; e++) expect(Math.abs(errors[k][e] / scipy[k][e] - 1)).toBeLessThan(1e-3);
    }
  });

  // Source: Hall & Meyer 1976, J. Approx. Theory 16, 105: optimal orders of cubic spline interpolation, h^4 for the
  // function, h^3 and h^2 for its first two derivatives (from memory). Halving h must come within 10 % of 16, 8 and 4.
  test('position h^4, tangent h^3, curvature h^2', () => {
    for (let k = 1; k < sizes.length; k++) {
      expect(errors[k - 1][0] / errors[k][0]).toBeGreaterThan(0.9 * 16);
      expect(errors[k - 1][1] / errors[k][1]).toBeGreaterThan(0.9 * 8);
      expect(errors[k - 1][2] / errors[k][2]).toBeGreaterThan(0.9 * 4);
    }
  });

  // Source: as above. Irregular spacing (steps 1 : 3) must keep the order: this is what chord lengths are for.
  test('position h^4 over steps of 1 : 3 as well', () => {
    const worst = [64, 128, 256].map((n) => {
      const points = new Float64Array(3 * n);
      const out = new Float64Array(9);
      for (let i = 0; i < n; i++) {
        saddle((TURN * (2 * i - (i % 2))) / (2 * n), out);
        points.set(out.subarray(0, 3), 3 * i);
      }
      return saddleErrors(interpolatePeriodic(points))[0];
    });
    expect(worst[0] / worst[1]).toBeGreaterThan(0.85 * 16);
    expect(worst[1] / worst[2]).toBeGreaterThan(0.85 * 16);
  });

  // Source: Floater 2006, IMA J. Numer. Anal. 26, 25: chordal cubic splines with unit end tangents are fourth-order (abstract).
  test('open stretch of the saddle with given end tangents: position h^4', () => {
    const worst = [16, 32, 64].map((n) => {
      const { position, tangent } = sampleKnown(saddle, n + 1, 2.5 / n);
      return saddleErrors(interpolate(position, tangent.subarray(0, 3), tangent.subarray(3 * n)))[0];
    });
    expect(worst[0] / worst[1]).toBeGreaterThan(0.85 * 16);
    expect(worst[1] / worst[2]).toBeGreaterThan(0.85 * 16);
  });
});

describe('rotation-minimising frames', () => {
  // Source: Wang, Juettler, Zheng & Liu 2008, ACM TOG 27(1), the torus knot of their paper; the method is fourth-order
  // (abstract). Errors in rad against a frame carried in 64 times finer steps (computed for the reference sheet: the same three).
  test('torus knot (2, 7): errors and fourth order', () => {
    const finer = 64;
    const up = Float64Array.of(0, 0, 1);
    const expected = [8.67e-4, 5.45e-5, 3.415e-6];
    [100, 200, 400].forEach((n, k) => {
      const coarse = sampleKnown(torusKnot, n + 1, TURN / n);
      const fine = sampleKnown(torusKnot, n * finer + 1, TURN / (n * finer));
      const r = rotationMinimisingFrames(coarse.position, coarse.tangent, up);
      const exact = rotationMinimisingFrames(fine.position, fine.tangent, up);
      let worst = 0;
      for (let i = 0; i <= n; i++) {
        worst = Math.max(worst, Math.abs(turnAbout(coarse.tangent, 3 * i, r, 3 * i, exact, 3 * i * finer)));
      }
      // The sheet rounds to three or four digits.
      expect(Math.abs(worst / expected[k] - 1)).toBeLessThan(2e-3);
    });
  });

  // Source: a rotation-minimising frame turns against the Frenet frame by minus the integral of torsion (Bishop 1975,
  // Am. Math. Monthly 82, 246, from memory): one turn of the helix, torsion 0.001976917810366818, gives -0.498424336075 (computed).
  test('helix: angle after one turn', () => {
    const n = 400;
    const { position, tangent } = sampleKnown(helix, n + 1, TURN / n);
    const r = rotationMinimisingFrames(position, tangent, Float64Array.of(1, 0, 0));
    const angle = turnAbout(tangent, 0, r, 0, r, 3 * n);
    // Fourth-order: 400 steps leave about 1e-10 rad.
    expect(Math.abs(angle + 0.498424336075)).toBeLessThan(1e-9);
  });

  // Source: a closed plane curve has torsion 0, and so closes (elementary).
  test('ellipse: a plane curve closes', () => {
    const { position, tangent } = sampleKnown(ellipse, 90, TURN / 90);
    const r = rotationMinimisingFrames(position, tangent, Float64Array.of(0, 0, 1));
    expect(Math.abs(closingAngle(position, tangent, r))).toBeLessThan(1e-13);
  });
});
