// The middle of a band of two faces whose surfaces, as fitted, do not quite meet.
import { expect, test } from 'vitest';
import { pointAt } from '../../src/geometry/curve.ts';
import type { Surface } from '../../src/geometry/surface.ts';
import { joinLines, type Track } from '../../src/seam/join-lines.ts';
import { findMidLine } from '../../src/seam/mid-line.ts';
import { quietTask } from '../intake/support.ts';

/** The plane z = level. */
const flat = (level: number): Surface => ({
  kind: 'fitted',
  residual: 0,
  parameters: {},
  project: (x, y, _, out) => {
    out.set([x, y, level, 0, 0, 1]);
    return true;
  },
  normalCurvature: () => 0,
});

/** A border along x at the given y, over face 0 to x = 10 and face 1 from there to x = 20. */
const border = (y: number): Track => {
  const along = Float64Array.of(1, 0, 0);
  const line = (from: number) => ({
    point: Float64Array.of(from, y, 0, from + 5, y, 0, from + 10, y, 0),
    closed: false,
    start: along,
    end: along,
    exact: true,
  });
  return joinLines([line(0), line(10)], [0, 1], false);
};

const middleOver = (step: number) =>
  findMidLine(border(0), border(3), (face) => flat(face * step), 'seam rim', quietTask());

test('ends 0.03 mm apart meet half way, and the fit report hears of it', async () => {
  const { track, check } = await middleOver(0.03);
  expect(track.curve.length).toBeCloseTo(20, 2);
  const heights = Array.from({ length: check.length / 3 }, (_, i) => check[3 * i + 2]);
  expect(new Set(heights.slice(-2))).toEqual(new Set([0, 0.03]));
  const at = new Float64Array(9);
  pointAt(track.curve, 10, at);
  expect(at[2]).toBeCloseTo(0.015, 4);
});

test('ends 0.3 mm apart are no one line', async () => {
  await expect(middleOver(0.3)).rejects.toMatchObject({ code: 'band-unclear' });
});
