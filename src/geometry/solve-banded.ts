// Symmetric positive definite systems whose entries lie near the diagonal, by Cholesky's factorisation inside the band
// (Golub & Van Loan, Matrix Computations, 4th ed., 4.3.5): cost n x half^2.

/**
 * Solves A x = b for a symmetric positive definite A of size n with A(i, j) = 0 where |i - j| > half. `band` holds the lower
 * triangle, n x (half + 1): A(i, j) at i (half + 1) + j - i + half; it is overwritten with the factor, b with x. Returns
 * false, with both spoilt, where A is not positive definite.
 */
export function solveBanded(band: Float64Array, b: Float64Array, n: number, half: number): boolean {
  const width = half + 1;
  for (let i = 0; i < n; i++) {
    const row = i * width + half - i;
    const first = Math.max(0, i - half);
    for (let j = first; j < i; j++) {
      const other = j * width + half - j;
      let sum = band[row + j];
      for (let k = Math.max(first, j - half); k < j; k++) sum -= band[row + k] * band[other + k];
      band[row + j] = sum / band[other + j];
    }
    let pivot = band[row + i];
    for (let k = first; k < i; k++) pivot -= band[row + k] * band[row + k];
    if (!(pivot > 0)) return false;
    band[row + i] = Math.sqrt(pivot);
    let value = b[i];
    for (let k = first; k < i; k++) value -= band[row + k] * b[k];
    b[i] = value / band[row + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    const row = i * width + half - i;
    b[i] /= band[row + i];
    for (let k = Math.max(0, i - half); k < i; k++) b[k] -= band[row + k] * b[i];
  }
  return true;
}
