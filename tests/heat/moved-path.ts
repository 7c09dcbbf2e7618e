// A path turned and moved as a whole.
import type { Path } from '../../src/model/path.ts';

const AXIS = [0.36, -0.48, 0.8];
const ANGLE = 1.1;
const SHIFT = [310, -45, 120];

/** Rotation by Rodrigues' formula. */
function turned(v: readonly number[]): number[] {
  const [c, s] = [Math.cos(ANGLE), Math.sin(ANGLE)];
  const dot = AXIS.reduce((sum, a, k) => sum + a * v[k], 0);
  return v.map((value, k) => {
    const [p, q] = [(k + 1) % 3, (k + 2) % 3];
    return value * c + (AXIS[p] * v[q] - AXIS[q] * v[p]) * s + AXIS[k] * dot * (1 - c);
  });
}

/** The same path elsewhere. */
export function movedPath(path: Path): Path {
  const each = (values: Float64Array, shift: readonly number[]) =>
    values.map((_, k) => {
      const i = k - (k % 3);
      return turned([values[i], values[i + 1], values[i + 2]])[k % 3] + shift[k % 3];
    });
  return {
    ...path,
    position: each(path.position, SHIFT),
    tangent: each(path.tangent, [0, 0, 0]),
    normal: each(path.normal, [0, 0, 0]),
  };
}
