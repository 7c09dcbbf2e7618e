// Complete elliptic integral of the second kind by the arithmetic-geometric mean (Abramowitz & Stegun 1964, 17.6).

/** E(m), parameter m < 1, also negative. */
export function EllipticE(m: number): number {
  let a = 1;
  let b = Math.sqrt(1 - m);
  let sum = 1 - m / 2;
  for (let n = 0, power = 1; n < 40; n++, power *= 2) {
    const c = (a - b) / 2;
    [a, b] = [(a + b) / 2, Math.sqrt(a * b)];
    sum -= power * c * c;
  }
  return (Math.PI / (2 * a)) * sum;
}
