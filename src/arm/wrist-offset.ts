// Whether the last three axes of a chain meet in one point: only then can position and orientation be solved apart, in
// closed form (Pieper 1968). An arm without such a wrist goes to the numeric solver, and the plan says so.
import { type Chain, forward, framesSize } from './chain-kinematics.ts';

/**
 * Smallest ball (radius, mm) about one point that all three last axes pass through, near the best such point: 0 for a
 * spherical wrist. NaN for a chain of fewer than three axes. The three move as one about axis n - 2, so one posture tells.
 */
export function wristOffset(chain: Chain): number {
  const n = chain.count;
  if (n < 3) return Number.NaN;
  const frames = new Float64Array(framesSize(chain));
  // Away from zero, where axes may happen to meet or to be parallel.
  forward(
    chain,
    Float64Array.from({ length: n }, (_, j) => 0.3 + 0.4 * j),
    0,
    frames,
  );
  // The point with the least sum of squared distances from the three lines: sum (I - u u') (x - p) = 0.
  const A = new Float64Array(9);
  const right = new Float64Array(3);
  const lines: { p: Float64Array; u: Float64Array }[] = [];
  for (let j = n - 3; j < n; j++) {
    const f = frames.subarray(12 * j, 12 * j + 12);
    const a = chain.axis.subarray(3 * j, 3 * j + 3);
    const u = Float64Array.from([0, 3, 6], (r) => f[r] * a[0] + f[r + 1] * a[1] + f[r + 2] * a[2]);
    const p = f.slice(9);
    lines.push({ p, u });
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) {
        const m = (r === c ? 1 : 0) - u[r] * u[c];
        A[3 * r + c] += m;
        right[r] += m * p[c];
      }
    }
  }
  const x = solve3(A, right);
  return Math.max(
    ...lines.map(({ p, u }) => {
      const d = x.map((v, c) => v - p[c]);
      const along = d[0] * u[0] + d[1] * u[1] + d[2] * u[2];
      return Math.sqrt(Math.max(d[0] * d[0] + d[1] * d[1] + d[2] * d[2] - along * along, 0));
    }),
  );
}

/** Cramer's rule; parallel axes give NaN or a far point, which is as unfit. */
function solve3(A: Float64Array, b: Float64Array): Float64Array {
  const minor = (p: number, q: number, r: number, s: number): number => A[p] * A[s] - A[q] * A[r];
  const c0 = minor(4, 5, 7, 8);
  const c1 = -minor(3, 5, 6, 8);
  const c2 = minor(3, 4, 6, 7);
  const det = A[0] * c0 + A[1] * c1 + A[2] * c2;
  return Float64Array.of(
    (c0 * b[0] - minor(1, 2, 7, 8) * b[1] + minor(1, 2, 4, 5) * b[2]) / det,
    (c1 * b[0] + minor(0, 2, 6, 8) * b[1] - minor(0, 2, 3, 5) * b[2]) / det,
    (c2 * b[0] - minor(0, 1, 6, 7) * b[1] + minor(0, 1, 3, 4) * b[2]) / det,
  );
}
