// Heat that started evenly on a disc and has spread: the share of a round normal distribution that falls on a unit disc, which
// is 1 - Q1(r / s, 1 / s) with Marcum's Q function (Marcum 1960, IRE Trans. Inf. Theory 6, 59). A table makes it quick.
import { asin, erf, exp, sin } from '../geometry/elementary.ts';
import { gaussLegendre } from '../geometry/quadrature.ts';
import type { Profile } from '../model/optics.ts';

const RULE = gaussLegendre(16);

/** Beyond this many deviations a normal distribution has nothing left (1e-10 of it). */
const FAR = 6.5;

/** Share of a normal distribution of deviation `s` in each direction, centred at `r` from the disc's centre; s > 0; to 1e-8. */
export function discShare(r: number, s: number): number {
  // Strip by strip at y = sin(angle): a chord of half length cos(angle).
  const widest = asin(Math.min(1, FAR * s));
  const unit = 1 / (Math.SQRT2 * s);
  let sum = 0;
  for (let m = 0; m < RULE.node.length; m++) {
    const y = sin(0.5 * widest * (1 + RULE.node[m]));
    const half = Math.sqrt(1 - y * y);
    const along = erf((half + r) * unit) + erf((half - r) * unit);
    sum += RULE.weight[m] * exp(-y * y * unit * unit) * half * along;
  }
  return (0.5 * widest * sum * unit) / Math.sqrt(Math.PI);
}

/** Shares over (r - 1) / s = -DEEP .. DEEP and s = 0 .. WIDE, row by row of s. */
export type DiscTable = Float64Array;

const DEEP = 5;

/** Deviations beyond this, in radii, are not in the table. */
export const WIDE = 1.5;

const COLUMNS = 101;
const ROWS = 76;
const PER_DEPTH = (COLUMNS - 1) / (2 * DEEP);
const PER_WIDTH = (ROWS - 1) / WIDE;

export function createDiscTable(): DiscTable {
  const table = new Float64Array(COLUMNS * ROWS);
  for (let j = 0; j < ROWS; j++) {
    const s = j / PER_WIDTH;
    for (let i = 0; i < COLUMNS; i++) {
      const depth = i / PER_DEPTH - DEEP;
      const r = Math.abs(1 + depth * s);
      table[j * COLUMNS + i] = s === 0 ? 0.5 * (1 - erf(depth / Math.SQRT2)) : discShare(r, s);
    }
  }
  return table;
}

/** The table that a profile needs. */
export function discTableFor(profile: Profile): DiscTable | null {
  return profile === 'top-hat' ? createDiscTable() : null;
}

/** `discShare` from its table by cubic interpolation: to 4e-5, for s up to `WIDE`. */
export function lookUpShare(table: DiscTable, r: number, s: number): number {
  const depth = s > 0 ? (r - 1) / s : r < 1 ? -DEEP : DEEP;
  if (depth >= DEEP) return 0;
  if (depth <= -DEEP) return 1;
  const x = (depth + DEEP) * PER_DEPTH;
  const y = s * PER_WIDTH;
  const i = Math.min(COLUMNS - 3, Math.max(1, Math.floor(x)));
  const j = Math.min(ROWS - 3, Math.max(1, Math.floor(y)));
  const f = x - i;
  const g = y - j;
  const a0 = (-f * (f - 1) * (f - 2)) / 6;
  const a1 = ((f + 1) * (f - 1) * (f - 2)) / 2;
  const a2 = (-(f + 1) * f * (f - 2)) / 2;
  const a3 = ((f + 1) * f * (f - 1)) / 6;
  let k = (j - 1) * COLUMNS + i - 1;
  const r0 = a0 * table[k] + a1 * table[k + 1] + a2 * table[k + 2] + a3 * table[k + 3];
  k += COLUMNS;
  const r1 = a0 * table[k] + a1 * table[k + 1] + a2 * table[k + 2] + a3 * table[k + 3];
  k += COLUMNS;
  const r2 = a0 * table[k] + a1 * table[k + 1] + a2 * table[k + 2] + a3 * table[k + 3];
  k += COLUMNS;
  const r3 = a0 * table[k] + a1 * table[k + 1] + a2 * table[k + 2] + a3 * table[k + 3];
  const lower = (-g * (g - 1) * (g - 2) * r0 + 3 * (g + 1) * (g - 1) * (g - 2) * r1) / 6;
  return lower + (-3 * (g + 1) * g * (g - 2) * r2 + (g + 1) * g * (g - 1) * r3) / 6;
}

/** `discShare` for wide spreads s^2 from the square of r: a normal distribution of the same variance and fourth moment; to 8e-5 at `WIDE`, 2e-6 from 2.5 on. */
export function wideShare(square: number, spread: number): number {
  const variance = spread + 0.25;
  const q = square / variance;
  return (exp(-q / 2) / (2 * variance)) * (1 - (8 - 8 * q + q * q) / (384 * variance * variance));
}
