// Limits along rows for the tests: a straight run that nothing but the process speed holds, changed as a test needs.
import type { MotionLimits } from '../../src/model/timing.ts';

/** `count` rows from 0 to `length` mm, head moving with the spot, from rest to rest at 50 mm/s and 300 mm/s2. */
export function straightLimits(count: number, length: number, changes: Partial<MotionLimits> = {}): MotionLimits {
  const along = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) along[3 * i] = 1;
  return {
    s: Float64Array.from({ length: count }, (_, i) => (length * i) / (count - 1)),
    speed: 50,
    powerSpeed: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
    curvature: new Float64Array(count),
    stop: new Uint8Array(count),
    kink: new Float64Array(count),
    headD1: along,
    headD2: new Float64Array(3 * count),
    turnD1: new Float64Array(3 * count),
    turnD2: new Float64Array(3 * count),
    spotAcceleration: 300,
    normalAcceleration: 2000,
    headSpeed: 1000,
    headAcceleration: 8000,
    headTurn: Math.PI,
    headTurnAcceleration: 17,
    axes: [],
    startSpeed: 0,
    endSpeed: 0,
    ...changes,
  };
}

/** Vectors (x, y, 0) at each of the rows. */
export function planar(s: Float64Array, x: (s: number) => number, y: (s: number) => number): Float64Array {
  const out = new Float64Array(3 * s.length);
  s.forEach((here, i) => {
    out[3 * i] = x(here);
    out[3 * i + 1] = y(here);
  });
  return out;
}
