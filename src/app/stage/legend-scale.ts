// Where things stand on the legend's bar.
import { isConstant, type Quantity } from './quantities.ts';

/** Share 0 .. 1 of the bar at which a value stands; null where it lies off the bar or the quantity has one value only. */
export function barShare(quantity: Quantity, value: number): number | null {
  const { low, high } = quantity;
  if (isConstant(quantity) || !Number.isFinite(value)) return null;
  const share = (value - low) / (high - low);
  return share >= 0 && share <= 1 ? share : null;
}

/** The limit that a quantity exceeds somewhere. */
export function isExceeded({ low, high, decimals }: Quantity, kind: 'most' | 'least' | 'aim', limit: number): boolean {
  const slack = 0.5 * 10 ** -decimals;
  return kind === 'most' ? high > limit + slack : kind === 'least' ? low < limit - slack : false;
}
