// Motion problems whose coefficients are exact functions, so that limits can be judged between grid points without
// trusting any interpolation of the solver's.
import { sampleChannel } from '../../src/motion/channel.ts';
import type { MotionProblem } from '../../src/motion/step-limits.ts';

/** One axis: first and second derivative by arc length, and its limits. */
export interface AnalyticAxis {
  readonly d1: (s: number) => number;
  readonly d2: (s: number) => number;
  readonly speed?: number;
  readonly acceleration?: number;
}

export function analyticProblem(
  from: number,
  to: number,
  intervals: number,
  axes: readonly AnalyticAxis[],
  acceleration: number,
  cap: number,
): MotionProblem {
  const s = Float64Array.from({ length: intervals + 1 }, (_, i) => from + ((to - from) * i) / intervals);
  const channels = axes.map((axis) =>
    sampleChannel(
      {
        dimension: 1,
        d1: s.map(axis.d1),
        d2: s.map(axis.d2),
        speed: axis.speed ?? Number.POSITIVE_INFINITY,
        acceleration: axis.acceleration ?? Number.POSITIVE_INFINITY,
      },
      s,
    ),
  );
  return { s, cap: s.map(() => cap), acceleration, channels };
}

/** Time of a profile whose squared speed x runs linearly between grid points. */
export function driveTime(s: Float64Array, x: Float64Array): number {
  let time = 0;
  for (let i = 0; i + 1 < s.length; i++) time += (2 * (s[i + 1] - s[i])) / (Math.sqrt(x[i]) + Math.sqrt(x[i + 1]));
  return time;
}

/** Largest share of any limit used on a grid `finer` times finer, from the exact functions; 1 at the limit. */
export function worstUse(problem: MotionProblem, x: Float64Array, axes: readonly AnalyticAxis[], finer = 10): number {
  const { s } = problem;
  let worst = 0;
  for (let i = 0; i + 1 < s.length; i++) {
    const u = (x[i + 1] - x[i]) / (2 * (s[i + 1] - s[i]));
    worst = Math.max(worst, Math.abs(u) / problem.acceleration);
    for (let k = 0; k <= finer; k++) {
      const here = s[i] + ((s[i + 1] - s[i]) * k) / finer;
      const xHere = (x[i] * (finer - k) + x[i + 1] * k) / finer;
      for (const axis of axes) {
        const speed = Math.abs(axis.d1(here)) * Math.sqrt(xHere);
        const pull = Math.abs(axis.d1(here) * u + axis.d2(here) * xHere);
        worst = Math.max(worst, speed / (axis.speed ?? Infinity), pull / (axis.acceleration ?? Infinity));
      }
    }
  }
  return worst;
}
