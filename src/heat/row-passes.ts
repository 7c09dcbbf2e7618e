// The pass over every row of a seam. Rows are computed where the plan changes, and elsewhere until a row in the middle of two
// agrees with the straight line between them: a long even stretch costs a few rows.
import type { HeatLimits, Medium } from '../model/heat.ts';
import type { Profile } from '../model/optics.ts';
import type { Task } from '../model/task.ts';
import { depthKernel } from './depth-kernel.ts';
import type { HeatSource } from './heat-source.ts';
import { highest } from './highest.ts';
import { chebyshevDepths, type PassRise, passOver, type Window } from './pass.ts';
import { NEAR, type Near, type RibbonGrid } from './ribbon.ts';
import { type Approach, createRiseWork, onFace, type RiseWork, type Section } from './rise.ts';
import { deepestHot } from './steady-pass.ts';
import { riseOf } from './temperature.ts';

/** What the stage needs to know beside the records of the stages before it. */
export interface HeatSettings {
  readonly profile: Profile;
  readonly medium: Medium;
  readonly limits: HeatLimits;
}

/** A pass warms a section from so many spot radii before the spot's middle to so many behind it (then it cools). */
const ARRIVES = 2;
const LEAVES = 2;

/** Rows are computed at most this many rows apart. */
const STRIDE = 32;

/** How far inputs, and rises, may stray from the straight line between two rows: shares of the largest. */
const EVEN = 1e-2;
const AGREES = 1e-3;

/** What all passes of a seam share. */
export interface Run {
  readonly source: HeatSource;
  readonly settings: HeatSettings;
  readonly near: Near;
  readonly grid: RibbonGrid;
  readonly threshold: number;
  work: RiseWork;
  points: Float64Array;
  deepest: number;
}

export function createRun(source: HeatSource, settings: HeatSettings, near: Near, grid: RibbonGrid): Run {
  const { medium, limits } = settings;
  const stays = source.speed
    .map((v, k) => source.along[k] / v)
    .filter(Number.isFinite)
    .sort();
  const stay = stays.length === 0 ? 1 : stays[stays.length >> 1];
  const deepest = deepestHot(medium.absorption, medium.absorber.diffusivity, stay);
  const { points, depths } = chebyshevDepths(deepest);
  const work = createRiseWork(source, depthKernel(medium), depths, grid.count);
  return { source, settings, near, grid, threshold: riseOf(limits, limits.onset), work, points, deepest };
}

/** The pass over a section in a window; looks deeper where the hottest point lies at the deepest one. */
export function passIn(run: Run, station: number, window: Window): PassRise {
  const section = run.near.section(station);
  const approaches = run.near.approaches(station);
  for (let turn = 0; ; turn++) {
    const rise = passOver(run.work, run.points, section, approaches, window, run.threshold);
    if (!rise.deeper || turn === 6) return rise;
    run.deepest *= 2;
    const { points, depths } = chebyshevDepths(run.deepest);
    run.points = points;
    run.work = createRiseWork(run.source, run.work.kernel, depths, run.grid.count, run.work.discs);
  }
}

/** When the spot arrives at row k, stands on it and has left; the pass lasts until the station's next one begins. */
export function windowOf({ source }: Run, k: number, next: number): Window {
  const { time, s, count } = source;
  const radius = Math.max(source.along[k], source.across[k]);
  const pace = radius / Math.max(source.speed[k], 1e-9 + 0.05 * highest(source.speed));
  let from = k;
  while (from > 0 && s[k] - s[from] < ARRIVES * radius) from--;
  let to = k;
  while (to < count - 1 && s[to] - s[k] < LEAVES * radius) to++;
  const missingBefore = Math.max(0, ARRIVES - (s[k] - s[from]) / radius);
  const missingAfter = Math.max(0, LEAVES - (s[to] - s[k]) / radius);
  const begin = time[from] - missingBefore * pace;
  const end = time[to] + missingAfter * pace;
  return { from: begin, middle: time[k], to: Math.min(end, next), until: next };
}

/** Approaches of other passes to the station of row k: near in space, far along the way, not its mere ends. */
export function othersNear({ source, near }: Run, k: number): Approach[] {
  const station = source.station[k];
  const limit = NEAR * source.largest;
  return near
    .approaches(station)
    .filter(
      ({ closest, distance }) =>
        source.station[closest] !== station && distance < limit && Math.abs(source.s[closest] - source.s[k]) > limit,
    );
}

/** For each row the time at which the next pass over the same station, or near it, begins to warm it. */
async function nextPasses(run: Run, task: Task | undefined): Promise<Float64Array> {
  const { source } = run;
  const next = new Float64Array(source.count).fill(Number.POSITIVE_INFINITY);
  const later = new Map<number, number>();
  for (let k = source.count - 1; k >= 0; k--) {
    if (k % 64 === 0) await task?.pause('looking for passes that follow', 1 - k / source.count);
    const row = later.get(source.station[k]);
    if (row !== undefined) {
      let from = row;
      while (from > k && source.s[row] - source.s[from] < ARRIVES * source.along[row]) from--;
      next[k] = Math.max(source.time[k], source.time[from]);
    }
    later.set(source.station[k], k);
    for (const { closest } of othersNear(run, k)) {
      const begin = windowOf(run, closest, Number.POSITIVE_INFINITY).from;
      if (begin > source.time[k]) next[k] = Math.min(next[k], begin);
    }
  }
  return next;
}

/** Passes over all rows, some computed, the others between them. */
export async function computePasses(run: Run, task: Task | undefined): Promise<PassRise[]> {
  const { source } = run;
  const next = await nextPasses(run, task);
  const passes: PassRise[] = new Array(source.count);
  const compute = async (k: number): Promise<void> => {
    if (passes[k] !== undefined) return;
    await task?.pause('warming the joint', k / source.count);
    passes[k] = passIn(run, source.station[k], windowOf(run, k, next[k]));
  };
  const inputs = evennessInputs(run);
  const refine = async (a: number, b: number): Promise<void> => {
    if (b - a < 2) return;
    const middle = (a + b) >> 1;
    const even =
      inputs.every((values) => isEven(values, a, b)) && Number.isFinite(next[a]) === Number.isFinite(next[b]);
    await compute(middle);
    if (even && agrees(run, middle, passes[a], passes[b], passes[middle], (middle - a) / (b - a))) {
      fillBetween(passes, a, middle);
      fillBetween(passes, middle, b);
      return;
    }
    await refine(a, middle);
    await refine(middle, b);
  };
  for (let a = 0; a < source.count; a += STRIDE) {
    const b = Math.min(source.count - 1, a + STRIDE);
    await compute(a);
    await compute(b);
    await refine(a, b);
  }
  return passes;
}

/** Rows of inputs that a pass depends on, each in shares of what counts as large. */
function evennessInputs({ source, near, grid }: Run): Float64Array[] {
  const scaled = (values: Float64Array, whole: number) => values.map((value) => value / whole);
  const { largest } = source;
  const energy = source.heat.map((watt, k) => (source.speed[k] > 0 ? watt / source.speed[k] : 0));
  const greatest = (values: Float64Array) => Math.max(1e-300, highest(values));
  const wall = (of: (section: Section) => number) =>
    Float64Array.from(source.station, (i) => Math.min(1, of(near.section(i)) / (20 * largest)));
  // Turning of the section over one spot radius, to either direction, tells bends.
  const bend = new Float64Array(source.count);
  for (let k = 1; k < source.count; k++) {
    let dot = 0;
    for (let axis = 0; axis < 3; axis++) dot += source.side[3 * k + axis] * source.tangent[3 * (k - 1) + axis];
    bend[k] = (dot / (source.s[k] - source.s[k - 1])) * grid.half;
  }
  bend[0] = bend[1] ?? 0;
  return [
    scaled(energy, greatest(energy)),
    scaled(source.speed, greatest(source.speed)),
    scaled(source.along, largest),
    scaled(source.across, largest),
    wall((section) => section.left),
    wall((section) => section.right),
    bend,
  ];
}

function isEven(values: Float64Array, a: number, b: number): boolean {
  for (let k = a + 1; k < b; k++) {
    const f = (k - a) / (b - a);
    if (!(Math.abs(values[k] - values[a] - f * (values[b] - values[a])) <= EVEN)) return false;
  }
  return true;
}

const FIELDS = ['peak', 'hottest', 'above', 'before'] as const;

/** Whether the pass over row `middle`, at the share f of the way from a to b, lies between theirs, on the joint face. */
function agrees(run: Run, middle: number, a: PassRise, b: PassRise, between: PassRise, f: number): boolean {
  const section = run.near.section(run.source.station[middle]);
  const whole = highest(onFace(section, between.peak));
  for (const field of FIELDS) {
    const values = onFace(section, between[field]);
    const tolerance = field === 'above' ? 20 * AGREES * highest(values) : AGREES * whole;
    for (let j = 0; j < values.length; j++) {
      const off = Number.isNaN(values[j]) && !Number.isNaN(between[field][j]);
      const straight = a[field][j] + f * (b[field][j] - a[field][j]);
      if (!off && !(Math.abs(values[j] - straight) <= tolerance)) return false;
    }
  }
  return true;
}

function fillBetween(passes: PassRise[], a: number, b: number): void {
  for (let k = a + 1; k < b; k++) {
    const f = (k - a) / (b - a);
    const between = (field: (typeof FIELDS)[number]) =>
      passes[a][field].map((value, j) => value + f * (passes[b][field][j] - value));
    passes[k] = {
      peak: between('peak'),
      hottest: between('hottest'),
      above: between('above'),
      before: between('before'),
      hottestAt: passes[a].hottestAt,
      deeper: false,
    };
  }
}
