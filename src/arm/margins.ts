// What the arm has left at every row: to its limits, to singular postures, to the border of its reach, and for the
// umbilical. Singular values of the Jacobian with lengths over the arm's span, so that they have no unit; manipulability
// after Yoshikawa (1985, Int. J. Robotics Research 4(2), 3).
import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import type { Arm } from '../model/arm.ts';
import type { Head } from '../model/head.ts';
import type { Margins } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { chainOf, compose, forward, framesSize, jacobian } from './chain-kinematics.ts';
import { kinematicsOf } from './kinematics.ts';
import { reachMargin } from './opw-kinematics.ts';

/** Margins over the rows of `angle` (n x m, rad; rows with NaN stay NaN). */
export async function margins(arm: Arm, head: Head, angle: Float64Array, task: Task): Promise<Margins> {
  const chain = chainOf(arm);
  const own = kinematicsOf(arm, null);
  const n = chain.count;
  const m = angle.length / n;
  const frames = new Float64Array(framesSize(chain));
  const J = new Float64Array(6 * n);
  const local = new Float64Array(12);
  const nan = (size: number): Float64Array => new Float64Array(size).fill(Number.NaN);
  const out = {
    limit: nan(n * m),
    limitShare: nan(m),
    limitAxis: new Int8Array(m).fill(-1),
    singularity: nan(m),
    manipulability: nan(m),
    reach: nan(m),
    umbilical: nan(m),
  };
  for (let i = 0; i < m; i++) {
    await task.pause('measuring margins', i / m);
    if (Number.isNaN(angle[n * i])) continue;
    for (let j = 0; j < n; j++) {
      const { min, max } = arm.axes[j];
      const q = angle[n * i + j];
      const left = Math.min(q - min, max - q);
      out.limit[n * i + j] = left;
      // An endless axis always has all of its range left.
      const half = (max - min) / 2;
      const share = half === Number.POSITIVE_INFINITY ? 1 : half > 0 ? left / half : Math.min(left, 0);
      if (out.limitAxis[i] < 0 || share < out.limitShare[i]) {
        out.limitShare[i] = share;
        out.limitAxis[i] = j;
      }
    }
    const last = angle[n * i + n - 1];
    out.umbilical[i] =
      head.umbilical === null
        ? Number.POSITIVE_INFINITY
        : head.umbilical.limit - Math.abs(last - head.umbilical.neutral);
    forward(chain, angle, n * i, frames);
    jacobian(chain, frames, frames, 12 * n + 9, J);
    for (let k = 0; k < 3 * n; k++) J[k] /= chain.span;
    // The shape with more rows than columns is the one that the decomposition takes as it is.
    const values = new SingularValueDecomposition(Matrix.from1DArray(6, n, J), {
      computeLeftSingularVectors: false,
      computeRightSingularVectors: false,
      autoTranspose: true,
    }).diagonal;
    out.singularity[i] = n < 6 ? 0 : Math.min(...values);
    out.manipulability[i] = n < 6 ? 0 : values.reduce((product, value) => product * value, chain.span ** 3);
    if (own.model !== null) {
      compose(own.fromBase, 0, frames, 12 * n, local, 0);
      out.reach[i] = reachMargin(own.model, local, 0);
    }
  }
  return out;
}
