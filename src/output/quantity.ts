// How each kind of number is written: unit, decimals, conversion from the units inside. The one place that fixes them.
// Unit codes: UCUM, case-sensitive.
import { DEG_PER_RAD } from '../model/units.ts';

export interface Quantity {
  /** UCUM code; `1` where it has none. */
  readonly unit: string;
  readonly decimals: number;
  /** What a number inside is multiplied with. */
  readonly scale: number;
  readonly minimum?: number;
  readonly maximum?: number;
}

const share: Quantity = { unit: '1', decimals: 7, scale: 1, minimum: 0, maximum: 1 };

export const QUANTITY = {
  count: { unit: '1', decimals: 0, scale: 1, minimum: 0 },
  flag: { unit: '1', decimals: 0, scale: 1, minimum: 0, maximum: 1 },
  length: { unit: 'mm', decimals: 5, scale: 1 },
  size: { unit: 'mm', decimals: 5, scale: 1, minimum: 0 },
  time: { unit: 's', decimals: 6, scale: 1, minimum: 0 },
  component: { unit: '1', decimals: 9, scale: 1, minimum: -1, maximum: 1 },
  speed: { unit: 'mm/s', decimals: 5, scale: 1, minimum: 0 },
  acceleration: { unit: 'mm/s2', decimals: 4, scale: 1 },
  power: { unit: 'W', decimals: 5, scale: 1, minimum: 0 },
  signedPower: { unit: 'W', decimals: 5, scale: 1 },
  lineEnergy: { unit: 'J/mm', decimals: 7, scale: 1, minimum: 0 },
  fluence: { unit: 'J/mm2', decimals: 6, scale: 1, minimum: 0 },
  temperature: { unit: 'Cel', decimals: 2, scale: 1 },
  angle: { unit: 'deg', decimals: 5, scale: DEG_PER_RAD, minimum: 0, maximum: 180 },
  turn: { unit: 'deg', decimals: 5, scale: DEG_PER_RAD },
  jointAngle: { unit: 'deg', decimals: 5, scale: DEG_PER_RAD },
  integer: { unit: '1', decimals: 0, scale: 1 },
  turnRate: { unit: 'deg/mm', decimals: 6, scale: DEG_PER_RAD },
  turnRateChange: { unit: 'deg/mm2', decimals: 6, scale: DEG_PER_RAD },
  share,
  curvature: { unit: '/mm', decimals: 8, scale: 1 },
  ratio: { unit: '1', decimals: 6, scale: 1 },
} as const satisfies Record<string, Quantity>;
