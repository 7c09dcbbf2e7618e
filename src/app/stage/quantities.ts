// What may colour the ribbon, with range and limits: the columns that tell something along a seam, and the heat beside it.
import type { RibbonView, SeamView } from '../../output/view/plan-view.ts';

/** A value that a quantity is held against. `most`: above is too much; `least`: below is too little; `aim`: what is wanted. */
export interface QuantityLimit {
  readonly name: string;
  readonly kind: 'most' | 'least' | 'aim';
  readonly value: number;
}

export interface Quantity {
  readonly name: string;
  readonly title: string;
  readonly unit: string;
  readonly decimals: number;
  /** One value a row, or one a point of the heat ribbon. */
  readonly values: Float64Array;
  readonly on: 'rows' | 'ribbon';
  /** Least and largest known value where the beam is on; NaN where none is known. */
  readonly low: number;
  readonly high: number;
  readonly limits: readonly QuantityLimit[];
}

export interface QuantityName {
  readonly name: string;
  readonly title: string;
  readonly group: 'Aim' | 'Motion' | 'Heat' | 'Seam' | 'Arm' | 'Margins';
}

const GROUPS: readonly (readonly [QuantityName['group'], readonly string[]])[] = [
  [
    'Aim',
    [
      'incidence_entry_deg',
      'incidence_joint_deg',
      'layer_mm',
      'gap_mm',
      'transmitted',
      'delivered',
      'clipped',
      'capture',
      'spot_along_mm',
      'spot_across_mm',
    ],
  ],
  ['Motion', ['speed_mm_s', 'head_speed_mm_s', 'power_W', 'line_energy_J_mm', 'incident_J_mm']],
  ['Heat', ['fluence_J_mm2', 'peak_C', 'hottest_C', 'above_melt_s', 'weld_width_mm', 'edge_ratio']],
  ['Seam', ['curvature_1_mm', 'k_n_1_mm', 'k_g_1_mm']],
];

/** Where the limit of a column stands among the tracks: title, name there, kind, and what it is multiplied with. */
const LIMITS: Readonly<Record<string, readonly (readonly [string, string, QuantityLimit['kind'], number])[]>> = {
  incidence_entry_deg: [['Incidence', 'limit entry', 'most', 1]],
  incidence_joint_deg: [['Incidence', 'limit joint', 'most', 1]],
  layer_mm: [['Layer', 'limit', 'most', 1]],
  capture: [['Light', 'limit captured', 'least', 0.01]],
  speed_mm_s: [['Speed', 'process', 'aim', 1]],
  power_W: [
    ['Power', 'source, least', 'least', 1],
    ['Power', 'source, most', 'most', 1],
  ],
  line_energy_J_mm: [['Line energy', 'wanted', 'aim', 1]],
};

/** Places shown of a number that a file writes with more. */
const SHOWN_DECIMALS: Readonly<Record<string, number>> = {
  deg: 2,
  mm: 3,
  'mm/s': 2,
  W: 2,
  'J/mm': 3,
  'J/mm2': 3,
  Cel: 0,
  s: 3,
  '/mm': 4,
  '1': 3,
};

/** What this seam can be coloured by: only what is known somewhere. */
export function quantityNames(seam: SeamView): QuantityName[] {
  const isKnown = (values: Float64Array) => values.some((value) => Number.isFinite(value));
  const names: QuantityName[] = [];
  for (const { name, title, values } of seam.ribbon?.quantities ?? []) {
    if (isKnown(values)) names.push({ name, title: `${capital(title)}, across the seam`, group: 'Heat' });
  }
  for (const [group, wanted] of GROUPS) {
    for (const name of wanted) {
      const column = seam.columns.find((candidate) => candidate.name === name);
      if (column !== undefined && isKnown(column.values)) names.push({ name, title: capital(column.title), group });
    }
  }
  for (const { name, title, values } of seam.columns) {
    if (/^q\d+_deg$/.test(name) && isKnown(values)) names.push({ name, title: capital(title), group: 'Arm' });
  }
  for (const { name, title, values } of seam.margins) {
    if (isKnown(values)) names.push({ name, title: capital(title), group: 'Margins' });
  }
  return names;
}

/** The quantity of that name with its range; null where the seam has none. */
export function findQuantity(seam: SeamView, name: string): Quantity | null {
  const beside = seam.ribbon?.quantities.find((candidate) => candidate.name === name);
  if (beside !== undefined && seam.ribbon !== null) {
    const { title, unit, values } = beside;
    const [low, high] = rangeOf(values, () => true);
    return { ...shown(name, title, unit, beside.decimals), values, on: 'ribbon', low, high, limits: [] };
  }
  const column = [...seam.columns, ...seam.margins].find((candidate) => candidate.name === name);
  if (column === undefined) return null;
  const { title, unit, decimals, values } = column;
  const [low, high] = rangeOf(values, (row) => seam.beam[row] === 1);
  return { ...shown(name, title, unit, decimals), values, on: 'rows', low, high, limits: limitsOf(seam, name) };
}

/** The quantity of that name along each seam, all on one scale, so that one legend holds for all. */
export function planQuantities(seams: readonly SeamView[], name: string): (Quantity | null)[] {
  const each = seams.map((seam) => findQuantity(seam, name));
  const ends = (pick: (quantity: Quantity) => number) =>
    each.flatMap((quantity) => (quantity === null || Number.isNaN(pick(quantity)) ? [] : [pick(quantity)]));
  const lows = ends(({ low }) => low);
  const highs = ends(({ high }) => high);
  if (lows.length === 0) return each;
  const range = { low: Math.min(...lows), high: Math.max(...highs) };
  return each.map((quantity) => quantity && { ...quantity, ...range });
}

function shown(name: string, title: string, unit: string, decimals: number) {
  const places = Math.min(decimals, SHOWN_DECIMALS[unit] ?? decimals);
  return { name, title: capital(title), unit, decimals: places };
}

function limitsOf(seam: SeamView, name: string): QuantityLimit[] {
  if (seam.margins.some((margin) => margin.name === name)) return [{ name: 'none left', kind: 'least', value: 0 }];
  return (LIMITS[name] ?? []).flatMap(([title, limitName, kind, scale]) => {
    const track = seam.tracks.find((candidate) => candidate.title === title);
    const limit = track?.limits.find((candidate) => candidate.name === limitName);
    return limit === undefined ? [] : [{ name: limitName, kind, value: limit.value * scale }];
  });
}

function rangeOf(values: Float64Array, counts: (index: number) => boolean): [number, number] {
  let low = Number.NaN;
  let high = Number.NaN;
  for (let k = 0; k < values.length; k++) {
    if (!Number.isFinite(values[k]) || !counts(k)) continue;
    if (!(values[k] >= low)) low = values[k];
    if (!(values[k] <= high)) high = values[k];
  }
  return [low, high];
}

/** Place on the map of what is the same everywhere: its bright end, so that the seam stands out. */
export const CONSTANT_SHARE = 0.9;

/** Varies by less than what is shown: one colour, one number. */
export function isConstant({ low, high, decimals }: Quantity): boolean {
  return !(high - low > 0.5 * 10 ** -decimals);
}

/** Value of a quantity in a row: on the heat ribbon the one on the seam's line. */
export function valueAtRow(quantity: Quantity, seam: SeamView, row: number): number {
  if (quantity.on === 'rows') return quantity.values[row];
  const { ribbon } = seam;
  if (ribbon === null) return Number.NaN;
  return quantity.values[ribbon.stationOfRow[row] * ribbon.across + middleLine(ribbon)];
}

function middleLine(ribbon: RibbonView): number {
  let best = 0;
  for (let j = 1; j < ribbon.across; j++) {
    if (Math.abs(ribbon.offset[j]) < Math.abs(ribbon.offset[best])) best = j;
  }
  return best;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
