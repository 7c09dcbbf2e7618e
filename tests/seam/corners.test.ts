// Corners: kept as stops, or rounded at a stated distance without a jump of direction or curvature.
import { beforeAll, describe, expect, test } from 'vitest';
import { closestPoint } from '../../src/geometry/closest-point.ts';
import { pointAt, sampleCurve } from '../../src/geometry/curve.ts';
import { createPlane } from '../../src/geometry/primitive-surfaces.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Point } from '../../src/model/job.ts';
import { blendCorners } from '../../src/seam/blend-corners.ts';
import { joinLines } from '../../src/seam/join-lines.ts';
import { runStages } from '../planner/run-stages.ts';
import { rawBox } from '../intake/support.ts';
import { bodyOf, draw, sampleSeam, sceneOf } from './support.ts';

const CORNER = (5 * Math.PI) / 180;

let box: SceneBody[];
beforeAll(async () => {
  box = sceneOf([await bodyOf({ ...rawBox(40, 30, 10), name: 'tub' })], ['absorbing']);
});

const rim = {
  kind: 'edge',
  body: 'tub',
  near: [20, 0, 10] as Point,
  follow: 'loop',
  faceNear: [20, 15, 10] as Point,
} as const;

/** Two straight lines of 20 on a plane that meet at the origin and break by an angle. */
function bent(angle: number) {
  const line = (from: readonly number[], to: readonly number[]) => {
    const way = Math.hypot(to[0] - from[0], to[1] - from[1]);
    const along = Float64Array.of((to[0] - from[0]) / way, (to[1] - from[1]) / way, 0);
    return {
      point: Float64Array.of(from[0], from[1], 0, to[0], to[1], 0),
      closed: false,
      start: along,
      end: along,
      exact: true,
    };
  };
  return joinLines([line([-20, 0], [0, 0]), line([0, 0], [20 * Math.cos(angle), 20 * Math.sin(angle)])], [0, 0], false);
}

const plane = () => createPlane([0, 0, 0], [0, 0, 1], 0);

describe('rounded corners', () => {
  test.each([0.1, 0.5, 2])('a rim of four corners, at %d mm', async (cornerBlend) => {
    const seam = await draw(box, { select: rim, offset: 2, cornerBlend });
    expect(seam.corners).toEqual([]);
    expect(seam.kinks).toEqual([]);
    expect(seam.blends.length).toBe(4);
    for (const { angle, deviation, wanted, from, to } of seam.blends) {
      expect(angle).toBeCloseTo(Math.PI / 2, 6);
      // As far as asked for, and no farther.
      expect(deviation).toBeGreaterThan(0.998 * wanted);
      expect(deviation).toBeLessThan(1.0015 * wanted);
      expect(wanted).toBe(cornerBlend);
      // Source: Bernstein form at 1/2, sides of a right angle: deviation = 0.234375 sqrt(2) d.
      const reach = wanted / (0.234375 * Math.SQRT2);
      expect((to - from + seam.curve.length) % seam.curve.length).toBeLessThan(2 * reach);
    }
    // What is said of the deviation holds: the four corners that were, against the curve.
    for (const [x, y] of [
      [2, 2],
      [38, 2],
      [38, 28],
      [2, 28],
    ]) {
      expect(closestPoint(seam.curve, x, y, 10).distance).toBeCloseTo(cornerBlend, 2);
    }
    for (const { p } of sampleSeam(seam, 300)) expect(p[2]).toBeCloseTo(10, 9);
  });

  test('neither direction nor curvature jumps where a blend begins and ends', () => {
    for (const degrees of [20, 60, 90, 120]) {
      const { track } = blendCorners(bent((degrees * Math.PI) / 180), plane, 0.5, CORNER);
      const { curve } = track;
      const peak = Math.max(
        ...Array.from({ length: 400 }, (_, i) => {
          const at = new Float64Array(9);
          pointAt(curve, (i * curve.length) / 399, at);
          return Math.hypot(at[6], at[7], at[8]);
        }),
      );
      expect(curve.pieces.length).toBe(3);
      for (const { arc } of curve.pieces.slice(1)) {
        const { tangent, second } = sampleCurve(curve, [arc[0] - 1e-7, arc[0] + 1e-7]);
        for (let c = 0; c < 3; c++) {
          expect(Math.abs(tangent[c] - tangent[3 + c])).toBeLessThan(1e-6);
          // The spline through the quintic's places keeps its end curvature to a part of what it bends by in between.
          expect(Math.abs(second[c] - second[3 + c])).toBeLessThan(0.03 * peak);
        }
      }
    }
  });

  test('a right angle bends by little more than an arc at the same distance', () => {
    const { track } = blendCorners(bent(Math.PI / 2), plane, 1, CORNER);
    const bends = Array.from({ length: 2000 }, (_, i) => {
      const at = new Float64Array(9);
      pointAt(track.curve, (i * track.curve.length) / 1999, at);
      return Math.hypot(at[6], at[7], at[8]);
    });
    // Source: an arc that passes a right angle at distance e has the radius e / (sqrt(2) - 1): curvature 0.4142 / e.
    expect(Math.max(...bends)).toBeGreaterThan(Math.SQRT2 - 1);
    expect(Math.max(...bends)).toBeLessThan(1.16 * (Math.SQRT2 - 1));
  });

  test('on a curved side the blend follows its curvature', async () => {
    // A quarter circle of radius 10 between two straight lines that stand at right angles to its ends.
    const arc = Array.from({ length: 46 }, (_, i) => {
      const u = (i / 45) * (Math.PI / 2);
      return [10 * Math.cos(u), 10 * Math.sin(u), 0];
    });
    const lines = [
      {
        point: Float64Array.of(0, 0, 0, 10, 0, 0),
        closed: false,
        start: Float64Array.of(1, 0, 0),
        end: Float64Array.of(1, 0, 0),
        exact: true,
      },
      {
        point: Float64Array.from(arc.flat()),
        closed: false,
        start: Float64Array.of(0, 1, 0),
        end: Float64Array.of(-1, 0, 0),
        exact: true,
      },
      {
        point: Float64Array.of(0, 10, 0, 0, 0, 0),
        closed: false,
        start: Float64Array.of(0, -1, 0),
        end: Float64Array.of(0, -1, 0),
        exact: true,
      },
    ];
    const track = joinLines(lines, [0, 0, 0], true);
    const rounded = blendCorners(track, plane, 0.3, CORNER);
    const blends = rounded.blendsOn(rounded.track.curve);
    expect(blends.length).toBe(3);
    for (const { deviation } of blends) expect(deviation).toBeCloseTo(0.3, 3);
    for (const { arc: at } of rounded.track.curve.pieces) {
      const { second } = sampleCurve(rounded.track.curve, [at[0] - 1e-7, at[0] + 1e-7]);
      for (let c = 0; c < 3; c++) expect(Math.abs(second[c] - second[3 + c])).toBeLessThan(0.06);
    }
  });

  test('where there is no room the blend is as large as fits, and says so', () => {
    const { track, blendsOn } = blendCorners(bent(Math.PI / 2), plane, 30, CORNER);
    const [blend] = blendsOn(track.curve);
    expect(blend.wanted).toBe(30);
    expect(blend.deviation).toBeLessThan(30);
    expect(blend.deviation).toBeCloseTo(0.234375 * Math.SQRT2 * 18, 2);
  });

  test('where the joint folds the corner stays', () => {
    const track = { ...bent(Math.PI / 2), face: [0, 1] };
    const fold = (face: number) => createPlane([0, 0, 0], face === 0 ? [0, 0, 1] : [1, 0, 0], 0);
    const rounded = blendCorners(track, fold, 0.5, CORNER);
    expect(rounded.track).toBe(track);
    expect(rounded.blendsOn(track.curve)).toEqual([]);
  });

  test('reversed and begun elsewhere the blends are where they are', async () => {
    const ahead = await draw(box, { select: rim, offset: 2, cornerBlend: 0.5, startNear: [20, 2, 10] });
    const back = await draw(box, { select: rim, offset: -2, cornerBlend: 0.5, startNear: [20, 2, 10], reverse: true });
    expect(back.curve.length).toBeCloseTo(ahead.curve.length, 6);
    for (const [i, { from, to }] of ahead.blends.entries()) {
      const other = back.blends[3 - i];
      expect(other.from).toBeCloseTo(ahead.curve.length - to, 5);
      expect(other.to).toBeCloseTo(ahead.curve.length - from, 5);
    }
  });
});

describe('the time law', () => {
  test('stops at a corner, and goes on through a rounded one', async () => {
    const stops = await runStages(box, { select: rim, offset: 2, layer: 2 });
    expect(stops.path.corner.filter((angle) => angle > 0).length).toBe(4);
    expect(Math.min(...stops.timing.speed.filter((_, i) => stops.path.rows.phase[i] === 1))).toBe(0);
    const goes = await runStages(box, { select: rim, offset: 2, layer: 2, cornerBlend: 0.5 });
    expect(goes.path.corner.every((angle) => angle === 0)).toBe(true);
    const slowest = Math.min(...goes.timing.speed.filter((_, i) => goes.path.rows.phase[i] === 1));
    // Normal acceleration 2000 over curvature 0.47 / 0.5: 46 mm/s; the head's turn is free of the bend on a plane.
    expect(slowest).toBeGreaterThan(30);
    expect(goes.timing.cycle.total).toBeLessThan(stops.timing.cycle.total);
    // Stations stand close enough to show the bend: chords stay within a twentieth of the deviation.
    const { s, curvature } = goes.path;
    for (let i = 1; i < s.length; i++) {
      const k = Math.min(curvature[i], curvature[i - 1]);
      expect((k * (s[i] - s[i - 1]) ** 2) / 8).toBeLessThan(0.5 / 20 + 1e-9);
    }
  });
});
