// The line energy that a joint wants at each speed: constant, or such that temperature or width stay the same.

/** Line energy that enters the absorber, J/mm, at increasing speeds, mm/s; straight between, constant beyond the ends. */
export interface EnergyDemand {
  readonly speed: Float64Array;
  readonly lineEnergy: Float64Array;
}

/** Line energy wanted at a speed, J/mm. */
export function demandAt({ speed, lineEnergy }: EnergyDemand, v: number): number {
  const last = speed.length - 1;
  if (v <= speed[0]) return lineEnergy[0];
  if (v >= speed[last]) return lineEnergy[last];
  let k = 0;
  while (speed[k + 1] < v) k++;
  const f = (v - speed[k]) / (speed[k + 1] - speed[k]);
  return lineEnergy[k] + f * (lineEnergy[k + 1] - lineEnergy[k]);
}

/** Highest speed, mm/s, up to `limit`, at which the demand is met with at most `power` W into the absorber. */
export function demandSpeed(demand: EnergyDemand, power: number, limit: number): number {
  if (demandAt(demand, limit) * limit <= power) return limit;
  let [low, high] = [0, limit];
  for (let turn = 0; turn < 60; turn++) {
    const middle = 0.5 * (low + high);
    if (demandAt(demand, middle) * middle <= power) low = middle;
    else high = middle;
  }
  return low;
}
