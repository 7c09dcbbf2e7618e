import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { closestPoint } from '../../src/geometry/closest-point.ts';
import { buildCurve, pointAt, reverseCurve, sampleCurve } from '../../src/geometry/curve.ts';
import { movePoints, rigidFromAngles, turnVectors } from '../../src/geometry/rigid.ts';
import { interpolate, interpolatePeriodic } from '../../src/geometry/spline.ts';
import { cross, distance, dot, length } from '../../src/geometry/vector.ts';
import type { Curve } from '../../src/model/curve.ts';
import { Cancelled } from '../../src/model/input-error.ts';
import { PHASES, type Path } from '../../src/model/path.ts';
import { samplePath } from '../../src/path/sample-path.ts';
import { saddle, sampleKnown } from '../geometry/known-curves.ts';
import { countingTask, type NormalField, radial, saddleFlange, sceneOf, seamOf, upward } from './known-joint.ts';

const SEED = 20260305;
const TURN = 2 * Math.PI;
const settings = { spacing: 0.5, chord: 0, runIn: 10, overlap: 8 };

const rim = buildCurve([interpolatePeriodic(sampleKnown(saddle, 200, TURN / 200).position)], true);
const line = (...p: number[]) => interpolate(Float64Array.of(...p), null, null);
/** Open: 30 along x, a corner of 90 degrees to the left, 20.3 along y. */
const bracket = buildCurve([line(0, 0, 0, 30, 0, 0), line(30, 0, 0, 30, 20.3, 0)], false);
/** Closed square of 10 x 10 that begins in the middle of a side. */
const square = buildCurve(
  [
    line(5, 0, 0, 10, 0, 0),
    line(10, 0, 0, 10, 10, 0),
    line(10, 10, 0, 0, 10, 0),
    line(0, 10, 0, 0, 0, 0),
    line(0, 0, 0, 5, 0, 0),
  ],
  true,
);
/** Closed stadium, straights of 30 and half circles of radius 3. */
const stadium = (() => {
  const arc = (x: number, from: number) => {
    const points = Array.from({ length: 41 }, (_, k) => from + (Math.PI * k) / 40).flatMap((p) => [
      x + 3 * Math.cos(p),
      3 * Math.sin(p),
      0,
    ]);
    const tangent = (p: number) => [-Math.sin(p), Math.cos(p), 0];
    return interpolate(Float64Array.from(points), tangent(from), tangent(from + Math.PI));
  };
  return buildCurve(
    [line(-15, -3, 0, 15, -3, 0), arc(15, -Math.PI / 2), line(15, 3, 0, -15, 3, 0), arc(-15, Math.PI / 2)],
    true,
  );
})();

const sample = (curve: Curve, field: NormalField, changed: Partial<typeof settings> = {}) =>
  samplePath(seamOf(curve), { ...settings, ...changed }, sceneOf(field), countingTask());

const gaps = (path: Path) => Array.from(path.s.subarray(1), (x, i) => x - path.s[i]);
const phases = (path: Path, phase: (typeof PHASES)[number]) =>
  Array.from(path.rows.s).filter((_, row) => path.rows.phase[row] === PHASES.indexOf(phase));

describe('stations', () => {
  test('a smooth closed seam: even, L / round(L / spacing), the first not repeated', async () => {
    const path = await sample(rim, radial);
    const n = Math.round(rim.length / 0.5);
    expect(path.count).toBe(n);
    expect(path.s[0]).toBe(0);
    for (const gap of gaps(path)) expect(Math.abs(gap - rim.length / n)).toBeLessThan(1e-12);
    expect(Math.abs(rim.length - path.s[n - 1] - rim.length / n)).toBeLessThan(1e-12);
    const exact = sampleCurve(rim, path.s);
    expect(Array.from(path.position)).toEqual(Array.from(exact.position));
  });

  test('between corners each stretch has its own even spacing, and every corner a station', async () => {
    const path = await sample(bracket, upward);
    expect(path.count).toBe(20 + 60 + 41 + 1 + 20);
    const corner = path.corner.findIndex((angle) => angle > 0);
    expect(path.s[corner]).toBe(30);
    expect(path.corner[corner]).toBeCloseTo(Math.PI / 2, 13);
    expect(path.corner.filter((angle) => angle > 0)).toHaveLength(1);
    expect(Array.from(path.tangent.subarray(3 * corner, 3 * corner + 3))).toEqual([0, 1, 0]);
    expect(Array.from(path.tangent.subarray(3 * corner - 3, 3 * corner))).toEqual([1, 0, 0]);
    expect(gaps(path)[corner - 1]).toBeCloseTo(0.5, 12);
    expect(gaps(path)[corner]).toBeCloseTo(20.3 / 41, 12);
  });

  test('a closed seam that begins between corners has a station at its start and at each corner', async () => {
    const path = await sample(square, upward, { spacing: 3 });
    expect(Array.from(path.s, (x) => Math.round(1e6 * x) / 1e6)).toEqual([
      0, 2.5, 5, 8.333333, 11.666667, 15, 18.333333, 21.666667, 25, 28.333333, 31.666667, 35, 37.5,
    ]);
    expect(Array.from(path.corner, (angle) => (angle > 0 ? 1 : 0))).toEqual([0, 0, 1, 0, 0, 1, 0, 0, 1, 0, 0, 1, 0]);
    expect(Array.from(path.geodesicTorsion)).toEqual(new Array(13).fill(0));
  });

  test('a spacing beyond the seam still gives three stations round, one interval open', async () => {
    expect((await sample(rim, radial, { spacing: 1000 })).count).toBe(3);
    expect((await sample(bracket, upward, { spacing: 1000, runIn: 0 })).count).toBe(3);
  });

  test('an open seam goes on straight as long as the run-in, with its end frames', async () => {
    const path = await sample(bracket, upward, { runIn: 7.7 });
    expect(path.s[0]).toBe(-7.7);
    expect(path.s[path.count - 1]).toBeCloseTo(50.3 + 7.7, 12);
    expect(path.onSeam.indexOf(1)).toBe(15);
    expect(path.s[15]).toBe(0);
    for (const i of [0, 14, path.count - 1]) {
      expect(path.onSeam[i]).toBe(0);
      expect(path.curvature[i]).toBe(0);
      expect(path.geodesicTorsion[i]).toBe(0);
      expect(Array.from(path.normal.subarray(3 * i, 3 * i + 3))).toEqual([0, 0, 1]);
    }
    expect(path.position[0]).toBeCloseTo(-7.7, 13);
    expect(path.position[3 * path.count - 2]).toBeCloseTo(28, 12);
  });
});

describe('chord error', () => {
  const largestChordError = (curve: Curve, path: Path) => {
    const at = new Float64Array(9);
    let worst = 0;
    for (let i = 0; i < path.count; i++) {
      const a = path.position.subarray(3 * i, 3 * i + 3);
      const j = (i + 1) % path.count;
      const b = path.position.subarray(3 * j, 3 * j + 3);
      const gap = (j > 0 ? path.s[j] : path.length) - path.s[i];
      for (let k = 1; k < 8; k++) {
        pointAt(curve, path.s[i] + (gap * k) / 8, at);
        const chord = buildCurve([line(...a, ...b)], false);
        worst = Math.max(worst, closestPoint(chord, at[0], at[1], at[2]).distance);
      }
    }
    return worst;
  };

  test('kept in the bends, spacing left alone on the straights', async () => {
    const even = await sample(stadium, upward);
    expect(largestChordError(stadium, even)).toBeGreaterThan(0.008);
    const path = await sample(stadium, upward, { chord: 0.002 });
    expect(largestChordError(stadium, path)).toBeLessThan(0.002);
    const bend = Math.sqrt(8 * 0.002 * 3);
    const step = gaps(path);
    step.forEach((gap, i) => {
      expect(gap).toBeLessThanOrEqual(0.5 + 1e-9);
      if (path.curvature[i] > 0.1) expect(gap).toBeLessThanOrEqual(bend * 1.01);
      if (i > 0) expect(Math.max(gap / step[i - 1], step[i - 1] / gap)).toBeLessThan(1.3);
    });
    expect(Math.max(...step)).toBeGreaterThan(0.47);
  });

  test('where the even spacing keeps it, nothing changes', async () => {
    const even = await sample(stadium, upward);
    const path = await sample(stadium, upward, { chord: 0.02 });
    expect(Array.from(path.s)).toEqual(Array.from(even.s));
  });
});

describe('rows', () => {
  test('closed: run-in backwards on the same grid, weld on every station, overlap, run-out', async () => {
    const path = await sample(rim, radial);
    const { rows, length: L } = path;
    const step = L / path.count;
    expect(phases(path, 'weld')).toEqual(Array.from(path.s));
    expect(phases(path, 'run-in')).toHaveLength(Math.floor(10 / step));
    expect(phases(path, 'run-in').every((s) => s >= -10 && s < 0)).toBe(true);
    const overlap = phases(path, 'overlap');
    expect(overlap[0]).toBe(L);
    expect(overlap).toHaveLength(Math.floor(8 / step) + 1);
    expect(overlap[overlap.length - 1]).toBeLessThanOrEqual(L + 8);
    const out = phases(path, 'run-out');
    expect(out[out.length - 1]).toBeLessThanOrEqual(L + 18);
    expect(out[out.length - 1] + step).toBeGreaterThan(L + 18);
    for (let row = 0; row < rows.count; row++) {
      const s = rows.s[row] - L * Math.floor(rows.s[row] / L);
      const miss = Math.abs(path.s[rows.station[row]] - s);
      expect(Math.min(miss, L - miss)).toBeLessThan(1e-10);
      if (row > 0) expect(rows.s[row]).toBeGreaterThan(rows.s[row - 1]);
      if (row > 0) expect(rows.phase[row]).toBeGreaterThanOrEqual(rows.phase[row - 1]);
    }
  });

  test('closed without run-in and overlap: the weld, and the row that closes it', async () => {
    const path = await sample(rim, radial, { runIn: 0, overlap: 0 });
    expect(path.rows.count).toBe(path.count + 1);
    expect(path.rows.s[path.count]).toBe(path.length);
    expect(path.rows.station[path.count]).toBe(0);
    expect(PHASES[path.rows.phase[path.count]]).toBe('overlap');
  });

  test('a run-in longer than the seam goes round more than once', async () => {
    const path = await sample(square, upward, { runIn: 90, spacing: 1, overlap: 2 });
    const runIn = phases(path, 'run-in');
    expect(runIn).toHaveLength(90);
    expect(runIn[0]).toBeCloseTo(-90, 12);
    expect(path.rows.station[0]).toBe(30);
  });

  test('open: every station once, no overlap', async () => {
    const path = await sample(bracket, upward);
    expect(Array.from(path.rows.s)).toEqual(Array.from(path.s));
    expect(phases(path, 'overlap')).toEqual([]);
    expect(phases(path, 'run-in')).toHaveLength(20);
    expect(phases(path, 'run-out')).toHaveLength(20);
    expect(phases(path, 'weld').at(-1)).toBeCloseTo(50.3, 13);
  });
});

describe('frames', () => {
  test("t, n, b are orthonormal, and C'' = -k_n n + k_g b but for what the curve leaves the surface", async () => {
    const path = await sample(rim, saddleFlange);
    const side = new Float64Array(3);
    const { second } = sampleCurve(rim, path.s);
    for (let k = 0; k < 3 * path.count; k += 3) {
      expect(Math.abs(length(path.tangent, k) - 1)).toBeLessThan(1e-14);
      expect(Math.abs(dot(path.tangent, k, path.normal, k))).toBeLessThan(1e-14);
      cross(path.normal, k, path.tangent, k, side, 0);
      for (let c = 0; c < 3; c++) {
        const sum = -path.normalCurvature[k / 3] * path.normal[k + c] + path.geodesicCurvature[k / 3] * side[c];
        // Tangents of a spline through exact points are off by 1e-6 rad here, and C'' by as much of 0.03.
        expect(Math.abs(sum - second[k + c])).toBeLessThan(1e-6);
      }
    }
  });

  test('a crease between faces is not smeared: torsion stays zero on either side', async () => {
    // Two planes that meet across the seam, which runs straight over the ridge between them.
    const ridge = buildCurve([line(0, 0, 0, 10, 0, 0), line(10, 0, 0, 20, 0, -4)], false);
    const seam = seamOf(ridge, [0, 10]);
    const tilted: NormalField = () => [0.37, 0.05, 0.92];
    const path = await samplePath(seam, settings, sceneOf(upward, tilted), countingTask());
    expect(Math.max(...path.geodesicTorsion.map(Math.abs))).toBeLessThan(1e-12);
    expect(path.face[path.s.indexOf(10)]).toBe(1);
    expect(path.face[path.s.indexOf(10) - 1]).toBe(0);
    const ridgeUnbroken = buildCurve([line(0, 0, 0, 10, 0, 0), line(10, 0, 0, 20, 0, 0)], false);
    const creased = await samplePath(
      seamOf(ridgeUnbroken, [0, 10]),
      settings,
      sceneOf(upward, () => [0, 0.05, 1]),
      countingTask(),
    );
    expect(Math.max(...creased.geodesicTorsion.map(Math.abs))).toBeLessThan(1e-12);
  });

  // Source: a line at angle a to the rulings' normal section of a cylinder of radius R has |tau_g| = sin a cos a / R (Euler and
  // Weingarten, do Carmo 1976, ch. 3); n' = k_n t - tau_g b makes it positive for a climb anti-clockwise under outward normals.
  test('torsion is not smeared over a corner, a kink or the ends of an open seam', async () => {
    for (const bend of [Math.PI / 3, 0.04]) {
      const climb = (from: number, height: number, slope: number) => {
        const points = Array.from({ length: 61 }, (_, k) => from + k / 100).flatMap((p) => [
          20 * Math.cos(p),
          20 * Math.sin(p),
          height + 20 * (p - from) * Math.tan(slope),
        ]);
        const tangent = (p: number) => [-Math.sin(p), Math.cos(p), Math.tan(slope)];
        return interpolate(Float64Array.from(points), tangent(from), tangent(from + 0.6));
      };
      const slopes = [0.2, 0.2 - bend];
      const curve = buildCurve([climb(0, 0, 0.2), climb(0.6, 12 * Math.tan(0.2), 0.2 - bend)], false);
      const seam = seamOf(curve);
      expect([seam.corners.length, seam.kinks.length]).toEqual(bend > 0.1 ? [1, 0] : [0, 1]);
      const path = await samplePath(seam, settings, sceneOf(radial), countingTask());
      const joint = curve.pieces[1].arc[0];
      for (let i = 0; i < path.count; i++) {
        const slope = slopes[path.s[i] < joint ? 0 : 1];
        const exact = path.onSeam[i] ? (Math.sin(slope) * Math.cos(slope)) / 20 : 0;
        // One-sided differences over 0.5 mm of normals that turn within 20 mm.
        expect(Math.abs(path.geodesicTorsion[i] - exact)).toBeLessThan(1e-6);
      }
    }
  });

  test('a face that begins late on a closed seam: before it lies the last one', async () => {
    const seam = seamOf(square, [7, 20]);
    const path = await samplePath(seam, settings, sceneOf(upward, upward), countingTask());
    expect(path.face[0]).toBe(1);
    expect(path.face[path.s.findIndex((s) => s >= 7)]).toBe(0);
    expect(path.face[path.count - 1]).toBe(1);
  });

  test(`a rigid motion moves the frames and changes no scalar, seed ${SEED}`, async () => {
    const number = fc.double({ min: -3, max: 3, noNaN: true });
    const { position } = sampleKnown(saddle, 60, TURN / 60);
    const still = await sample(buildCurve([interpolatePeriodic(position)], true), saddleFlange, { spacing: 2 });
    await fc.assert(
      fc.asyncProperty(fc.tuple(number, number, number), async (angles) => {
        const motion = rigidFromAngles([30, -80, 55], angles);
        const back = (x: number, y: number, z: number) => {
          const r = motion.rotation;
          const d = [x - 30, y + 80, z - 55];
          return [0, 1, 2].map((c) => r[c] * d[0] + r[3 + c] * d[1] + r[6 + c] * d[2]) as [number, number, number];
        };
        const field: NormalField = (x, y, z) =>
          Array.from(turnVectors(motion, Float64Array.from(saddleFlange(...back(x, y, z))))) as [
            number,
            number,
            number,
          ];
        const curve = buildCurve([interpolatePeriodic(movePoints(motion, position))], true);
        const moved = await sample(curve, field, { spacing: 2 });
        expect(moved.count).toBe(still.count);
        const place = movePoints(motion, still.position);
        const normal = turnVectors(motion, still.normal);
        for (let i = 0; i < still.count; i++) {
          expect(distance(place, 3 * i, moved.position, 3 * i)).toBeLessThan(1e-10);
          expect(distance(normal, 3 * i, moved.normal, 3 * i)).toBeLessThan(1e-11);
        }
        for (const key of ['curvature', 'normalCurvature', 'geodesicCurvature', 'geodesicTorsion'] as const) {
          for (let i = 0; i < still.count; i++) expect(Math.abs(moved[key][i] - still[key][i])).toBeLessThan(1e-10);
        }
      }),
      { seed: SEED, numRuns: 10 },
    );
  });

  test('reversal: k_n and tau_g stay, b and k_g turn', async () => {
    const there = await sample(rim, saddleFlange);
    const back = await sample(reverseCurve(rim), saddleFlange);
    const n = there.count;
    for (let i = 0; i < n; i++) {
      const j = (n - i) % n;
      expect(distance(there.position, 3 * i, back.position, 3 * j)).toBeLessThan(1e-9);
      expect(Math.abs(there.normalCurvature[i] - back.normalCurvature[j])).toBeLessThan(1e-9);
      expect(Math.abs(there.geodesicTorsion[i] - back.geodesicTorsion[j])).toBeLessThan(1e-9);
      // b = n x t turns with t, so the bend that was towards b is now against it.
      expect(Math.abs(there.geodesicCurvature[i] + back.geodesicCurvature[j])).toBeLessThan(1e-9);
    }
  });
});

describe('task and errors', () => {
  test('pauses along the way, and a cancelled task ends it', async () => {
    const task = countingTask();
    const path = await samplePath(seamOf(rim), settings, sceneOf(radial), task);
    expect(task.pauses).toBe(Math.ceil(path.count / 16));
    const cancelled = { ...countingTask(), pause: () => Promise.reject(new Cancelled()) };
    await expect(samplePath(seamOf(rim), settings, sceneOf(radial), cancelled)).rejects.toThrow(Cancelled);
  });

  test('a surface that is not defined under the seam is an input error with a place', async () => {
    const field: NormalField = (x) => (x < 0 ? [Number.NaN, 0, 0] : [0, 0, 1]);
    await expect(sample(rim, field)).rejects.toMatchObject({ code: 'joint-normal', place: 'seam rim' });
  });
});

test('a long run-in at the finest spacing: more stations than a call takes arguments', async () => {
  const path = await samplePath(
    seamOf(buildCurve([line(0, 0, 0, 30, 0, 0)], false)),
    { spacing: 0.01, chord: 0, runIn: 1000, overlap: 0 },
    sceneOf(upward),
    countingTask(),
  );
  expect(path.count).toBe(203001);
  expect([path.s[0], path.s[100000], path.s[203000]]).toEqual([-1000, 0, 1030]);
});
