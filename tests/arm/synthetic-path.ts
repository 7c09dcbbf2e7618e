// Tool paths for tests, made by formula: the tool looks down a normal that leans outward on a ring.
import type { ToolPath } from '../../src/arm/tool-path.ts';
import { fromAxes } from '../../src/geometry/quaternion.ts';
import { keepSign } from '../../src/arm/tool-path.ts';
import type { Task } from '../../src/model/task.ts';

export const idleTask: Task = {
  signal: { aborted: false, addEventListener: () => {}, removeEventListener: () => {} },
  check: () => {},
  pause: async () => {},
};

/** Position (mm) and beam axis (from head to part) at parameter u. */
export type Formula = (u: number) => { p: number[]; axis: number[] };

/** A wavy ring of radius r about `centre`, its rim up and down by `wave`, the beam leaning outward by `lean` rad. */
export const wavyRing =
  (centre: number[], r: number, wave: number, lean: number): Formula =>
  (u) => {
    const [c, s] = [Math.cos(u), Math.sin(u)];
    return {
      p: [centre[0] + r * c, centre[1] + r * s, centre[2] + wave * Math.cos(2 * u)],
      axis: [-Math.sin(lean) * c, -Math.sin(lean) * s, -Math.cos(lean)],
    };
  };

/** Rows at even parameters from u0 to u1; x of the frame as near as possible to the world's x axis (no twist about the beam). */
export function pathOf(formula: Formula, u0: number, u1: number, m: number, round: ToolPath['round'] = null): ToolPath {
  const s = new Float64Array(m);
  const position = new Float64Array(3 * m);
  const frame = new Float64Array(4 * m);
  for (let i = 0; i < m; i++) {
    const { p, axis } = formula(u0 + ((u1 - u0) * i) / (m - 1));
    position.set(p, 3 * i);
    const z = Float64Array.from(axis);
    const x = Float64Array.of(1 - z[0] * z[0], -z[0] * z[1], -z[0] * z[2]);
    const l = Math.hypot(...x);
    x.forEach((value, c) => {
      x[c] = value / l;
    });
    const y = Float64Array.of(z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0]);
    fromAxes(x, 0, y, 0, z, 0, frame, 4 * i);
    if (i > 0) {
      keepSign(frame, 4 * i);
      s[i] = s[i - 1] + Math.hypot(...[0, 1, 2].map((c) => position[3 * i + c] - position[3 * i - 3 + c]));
    }
  }
  return { count: m, s, position, frame, breaks: new Uint8Array(m), round };
}
