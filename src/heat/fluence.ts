// Light that arrives per area along a section: what each stretch of the way leaves on its points, in closed form for a
// top-hat (the chord that passes over a point), by quadrature along the way for a Gaussian.
import { gaussLegendre } from '../geometry/quadrature.ts';
import { type HeatSource, PLACED_SIZE, placeSource } from './heat-source.ts';
import { type Approach, reachOf, type Section } from './rise.ts';
import { addGaussianRow, type PointRow } from './spot-row.ts';

const RULE = gaussLegendre(4);

/** Longest stretch for these nodes, in spot radii. */
const STRETCH = 0.6;

/** Points per cell over which the fluence of a top-hat, which ends steeply, is averaged. */
const SHARES = 4;

/** Adds the fluence, J/mm2, of one approach: to out[j] for point j of the section, the mean over its cell. */
export function addFluence(source: HeatSource, section: Section, approach: Approach, out: Float64Array): void {
  const reach = reachOf(source, 0);
  const { from, to, excess } = approach;
  for (let k = from; k < to; k++) {
    if (Math.min(excess[k - from], excess[k + 1 - from]) > reach) continue;
    if (source.profile === 'gaussian') addGaussian(source, section, k, out);
    else addTopHat(source, section, k, out);
  }
}

/** Energy of the light between rows k and k + 1, J: its power goes linearly with time. */
function energyOf({ light, time }: HeatSource, k: number): number {
  return 0.5 * (light[k] + light[k + 1]) * (time[k + 1] - time[k]);
}

/** Energy of all light, J; rows whose power is unknown count as NaN. */
export function deliveredEnergy(source: HeatSource): number {
  let sum = 0;
  for (let k = 0; k + 1 < source.count; k++) sum += energyOf(source, k);
  return sum;
}

const placed = (): Float64Array => new Float64Array(PLACED_SIZE);

function addGaussian(source: HeatSource, section: Section, k: number, out: Float64Array): void {
  const { place, side, first, step, count } = section;
  const { time, light } = source;
  const at = placed();
  const row = new Float64Array(count);
  const span = time[k + 1] - time[k];
  const pieces = Math.ceil((source.s[k + 1] - source.s[k]) / (STRETCH * Math.min(source.along[k], source.across[k])));
  for (let piece = 0; piece < pieces; piece++) {
    for (let m = 0; m < RULE.node.length; m++) {
      const g = (piece + 0.5 * (1 + RULE.node[m])) / pieces;
      placeSource(source, k, time[k] + g * span, at);
      const energy = ((light[k] + g * (light[k + 1] - light[k])) * span * RULE.weight[m]) / (2 * pieces);
      row.fill(0);
      addGaussianRow(row, count, first, step, pointRow(place, side, at), at[13], at[14], 0);
      for (let j = 0; j < count; j++) out[j] += energy * row[j];
    }
  }
}

/** The section's points in the frame of a placed element. */
function pointRow(place: Float64Array, side: Float64Array, at: Float64Array): PointRow {
  const along = (v: Float64Array, i: number, origin: boolean) => {
    let sum = 0;
    for (let axis = 0; axis < 3; axis++) sum += (v[axis] - (origin ? at[axis] : 0)) * at[i + axis];
    return sum;
  };
  return {
    x0: along(place, 3, true),
    xb: along(side, 3, false),
    y0: along(place, 6, true),
    yb: along(side, 6, false),
    n0: along(place, 9, true),
    nb: along(side, 9, false),
  };
}

function addTopHat(source: HeatSource, section: Section, k: number, out: Float64Array): void {
  const { first, step, count } = section;
  const at = placed();
  const span = source.time[k + 1] - source.time[k];
  placeSource(source, k, source.time[k] + 0.5 * span, at);
  const row = pointRow(section.place, section.side, at);
  const length = source.s[k + 1] - source.s[k];
  const [along, across] = [at[13], at[14]];
  const perLength = energyOf(source, k) / (length * Math.PI * along * across * SHARES);
  for (let j = 0; j < count; j++) {
    for (let m = 0; m < SHARES; m++) {
      const y = first + (j + (m + 0.5) / SHARES - 0.5) * step;
      const x = row.x0 + y * row.xb;
      const q = (row.y0 + y * row.yb) / across;
      const n = (row.n0 + y * row.nb) / across;
      const half = along * Math.sqrt(Math.max(0, 1 - q * q - n * n));
      // The stretch reaches half its length to either side of its middle.
      const covered = Math.min(x + half, length / 2) - Math.max(x - half, -length / 2);
      if (half > 0 && covered > 0) out[j] += perLength * covered;
      else if (Number.isNaN(perLength) && half > 0) out[j] = Number.NaN;
    }
  }
}
