// Two small dense problems without allocation in between: a symmetric positive definite solve (Cholesky) and the
// eigenvectors of a symmetric 3 x 3 matrix (cyclic Jacobi; Golub & Van Loan, Matrix Computations, 4th ed., 8.5).

/**
 * Solves A x = b for a symmetric positive definite A (n x n, row by row; its lower triangle is overwritten with the
 * Cholesky factor); x replaces b. Returns false, with b spoilt, where A is not positive definite.
 */
export function solvePositive(a: Float64Array, b: Float64Array, n: number): boolean {
  for (let j = 0; j < n; j += 1) {
    let pivot = a[j * n + j];
    for (let k = 0; k < j; k += 1) pivot -= a[j * n + k] * a[j * n + k];
    if (!(pivot > 0)) return false;
    pivot = Math.sqrt(pivot);
    a[j * n + j] = pivot;
    for (let i = j + 1; i < n; i += 1) {
      let s = a[i * n + j];
      for (let k = 0; k < j; k += 1) s -= a[i * n + k] * a[j * n + k];
      a[i * n + j] = s / pivot;
    }
  }
  for (let i = 0; i < n; i += 1) {
    for (let k = 0; k < i; k += 1) b[i] -= a[i * n + k] * b[k];
    b[i] /= a[i * n + i];
  }
  for (let i = n - 1; i >= 0; i -= 1) {
    for (let k = i + 1; k < n; k += 1) b[i] -= a[k * n + i] * b[k];
    b[i] /= a[i * n + i];
  }
  return true;
}

/**
 * Smallest pivot of the Cholesky factorisation of a symmetric n x n matrix scaled to a unit diagonal: the squared sine
 * of the angle between a column and the span of those before it, 0 where they depend on each other. Overwrites `a`.
 */
export function smallestPivot(a: Float64Array, n: number): number {
  for (let i = 0; i < n; i += 1) if (!(a[i * n + i] > 0)) return 0;
  for (let i = 0; i < n; i += 1) {
    for (let j = 0; j < i; j += 1) a[i * n + j] /= Math.sqrt(a[i * n + i] * a[j * n + j]);
  }
  let smallest = 1;
  for (let j = 0; j < n; j += 1) {
    let pivot = 1;
    for (let k = 0; k < j; k += 1) pivot -= a[j * n + k] * a[j * n + k];
    smallest = Math.min(smallest, pivot);
    if (!(pivot > 0)) return 0;
    pivot = Math.sqrt(pivot);
    for (let i = j + 1; i < n; i += 1) {
      let s = a[i * n + j];
      for (let k = 0; k < j; k += 1) s -= a[i * n + k] * a[j * n + k];
      a[i * n + j] = s / pivot;
    }
  }
  return smallest;
}

interface Eigen3 {
  /** Ascending. */
  readonly value: readonly [number, number, number];
  /** Unit eigenvectors in the order of `value`. */
  readonly vector: readonly (readonly [number, number, number])[];
}

/** Eigenvalues and eigenvectors of the symmetric matrix with entries xx, xy, xz, yy, yz, zz. */
export function eigenSymmetric3(m: readonly [number, number, number, number, number, number]): Eigen3 {
  const a = [
    [m[0], m[1], m[2]],
    [m[1], m[3], m[4]],
    [m[2], m[4], m[5]],
  ];
  const v = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const pairs = [
    [0, 1],
    [0, 2],
    [1, 2],
  ] as const;
  for (let sweep = 0; sweep < 30; sweep += 1) {
    const off = a[0][1] * a[0][1] + a[0][2] * a[0][2] + a[1][2] * a[1][2];
    if (off === 0) break;
    for (const [p, q] of pairs) rotate(a, v, p, q);
  }
  const order = [0, 1, 2].sort((i, j) => a[i][i] - a[j][j]);
  const column = (k: number) => [v[0][k], v[1][k], v[2][k]] as const;
  return {
    value: [a[order[0]][order[0]], a[order[1]][order[1]], a[order[2]][order[2]]],
    vector: order.map(column),
  };
}

function rotate(a: number[][], v: number[][], p: number, q: number): void {
  if (a[p][q] === 0) return;
  const tau = (a[q][q] - a[p][p]) / (2 * a[p][q]);
  const t = (tau >= 0 ? 1 : -1) / (Math.abs(tau) + Math.sqrt(1 + tau * tau));
  const c = 1 / Math.sqrt(1 + t * t);
  const s = t * c;
  for (let k = 0; k < 3; k += 1) {
    const x = a[k][p];
    const y = a[k][q];
    a[k][p] = c * x - s * y;
    a[k][q] = s * x + c * y;
  }
  for (let k = 0; k < 3; k += 1) {
    const x = a[p][k];
    const y = a[q][k];
    a[p][k] = c * x - s * y;
    a[q][k] = s * x + c * y;
    const g = v[k][p];
    const h = v[k][q];
    v[k][p] = c * g - s * h;
    v[k][q] = s * g + c * h;
  }
  a[p][q] = 0;
  a[q][p] = 0;
}
