// The head at the arm's flange: where the beam leaves it, what it weighs, what room it takes, how far it may wind its hoses.
import type { ArmFrame, Capsule } from './arm.ts';

export interface Head {
  readonly id: string;
  readonly title: string;
  /** Head point in the flange frame, z along the beam; the tool centre point lies the standoff further on along z. */
  readonly flangeToHead: ArmFrame;
  /** kg, with all that hangs on the flange. */
  readonly mass: number;
  /** Capsules in the head point's frame; `link` is ignored. */
  readonly envelope: readonly Capsule[];
  /** Fibre and hoses allow the last axis to turn by `limit` to either side of `neutral`, rad; null where nothing winds. */
  readonly umbilical: { readonly neutral: number; readonly limit: number } | null;
}
