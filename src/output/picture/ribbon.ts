// What the seam's ribbon is coloured by: the quantity that varies most against its limit, on a cividis scale.
import { interpolateCividis } from 'd3-scale-chromatic';
import { DEG_PER_RAD, FRACTION_PER_PERCENT } from '../../model/units.ts';
import type { Plan, SeamPlan } from '../../planner/plan.ts';

const PERCENT = 1 / FRACTION_PER_PERCENT;

/** One quantity along all seams, in the unit shown. */
export interface Ribbon {
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  readonly limit: number;
  /** What the limit is called. */
  readonly limitName: string;
  readonly low: number;
  readonly high: number;
  /** Values at the stations of each seam; NaN where unknown. */
  readonly values: readonly Float64Array[];
}

interface Candidate extends Pick<Ribbon, 'title' | 'unit' | 'decimals' | 'limit' | 'limitName'> {
  readonly of: (seam: SeamPlan) => Float64Array;
}

/** Speed of the weld's first pass over each station, mm/s. */
function stationSpeed({ path, timing }: SeamPlan): Float64Array {
  const speed = new Float64Array(path.count).fill(Number.NaN);
  for (let row = path.rows.count - 1; row >= 0; row--) {
    if (timing.beam[row] === 1) speed[path.rows.station[row]] = timing.speed[row];
  }
  return speed;
}

function candidates({ job }: Plan): Candidate[] {
  const { limits } = job;
  const processSpeed = Math.max(...job.seams.map((seam) => seam.process.speed));
  const degrees = { unit: 'deg', decimals: 1, limitName: 'limit' };
  return [
    {
      title: 'Layer along the beam',
      unit: 'mm',
      decimals: 2,
      limit: limits.layer,
      limitName: 'limit',
      of: (s) => s.aim.layer,
    },
    {
      ...degrees,
      title: 'Incidence at entry',
      limit: limits.incidenceEntry * DEG_PER_RAD,
      of: (s) => s.aim.incidenceEntry.map((x) => x * DEG_PER_RAD),
    },
    {
      ...degrees,
      title: 'Incidence at the joint',
      limit: limits.incidenceJoint * DEG_PER_RAD,
      of: (s) => s.aim.incidenceJoint.map((x) => x * DEG_PER_RAD),
    },
    {
      title: 'Speed of the spot',
      unit: 'mm/s',
      decimals: 1,
      limit: processSpeed,
      limitName: 'process speed',
      of: stationSpeed,
    },
    {
      title: 'Clipped share of the beam',
      unit: '%',
      decimals: 1,
      limit: limits.clipped * PERCENT,
      limitName: 'limit',
      of: (s) => s.aim.clipped.map((x) => x * PERCENT),
    },
    {
      title: 'Head travel, times the spot',
      unit: '',
      decimals: 2,
      limit: limits.headSpeed / processSpeed,
      limitName: 'head speed limit',
      of: (s) => s.aim.headFactor,
    },
  ];
}

/** The first of the candidates with the widest range, counted in limits. */
export function chooseRibbon(plan: Plan): Ribbon {
  const ribbons = candidates(plan).map(({ of, ...words }): Ribbon => {
    const values = plan.seams.map(of);
    const known = values.flatMap((array, k) =>
      Array.from(array).filter((x, i) => Number.isFinite(x) && plan.seams[k].path.onSeam[i] === 1),
    );
    const low = known.reduce((least, x) => Math.min(least, x), Number.POSITIVE_INFINITY);
    const high = known.reduce((most, x) => Math.max(most, x), Number.NEGATIVE_INFINITY);
    return { ...words, values, low, high };
  });
  const range = ({ low, high, limit }: Ribbon): number => (high >= low ? (high - low) / limit : -1);
  return ribbons.reduce((best, ribbon) => (range(ribbon) > range(best) * (1 + 1e-9) ? ribbon : best));
}

/** What varies less than this share of its limit is constant, and has one colour. */
const CONSTANT = 1e-3;

/** Number of colour steps along the scale. */
export const COLOUR_STEPS = 48;

/** Step 0 .. COLOUR_STEPS - 1 of a value; -1 where it is unknown. */
export function colourStep({ low, high, limit }: Ribbon, value: number): number {
  if (!Number.isFinite(value)) return -1;
  const share = high - low > CONSTANT * Math.abs(limit) ? (value - low) / (high - low) : 0.5;
  return Math.min(COLOUR_STEPS - 1, Math.max(0, Math.floor(share * COLOUR_STEPS)));
}

/** Colour of a step. */
export const stepColour = (step: number): string => interpolateCividis((step + 0.5) / COLOUR_STEPS);
