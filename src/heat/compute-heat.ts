// The heat stage: fluence and temperature over a ribbon round the seam, from the light that the beam stage delivers along
// the time law.
import type { Aim } from '../model/aim.ts';
import type { Heat, HeatRows, Neighbour } from '../model/heat.ts';
import type { Path } from '../model/path.ts';
import type { Task } from '../model/task.ts';
import type { Timing } from '../model/timing.ts';
import { deliveredEnergy } from './fluence.ts';
import { heatSource } from './heat-source.ts';
import { highest } from './highest.ts';
import type { PassRise } from './pass.ts';
import { approachFinder, ribbonGrid, spreadLight } from './ribbon.ts';
import { computePasses, createRun, type HeatSettings, othersNear, passIn, type Run, windowOf } from './row-passes.ts';
import { onFace } from './rise.ts';
import { temperatureOf } from './temperature.ts';
import { weldWidth } from './weld-width.ts';

/** Heat of a seam whose path, aim and timing are known. Throws Cancelled when the task is. */
export async function computeHeat(
  path: Path,
  aim: Aim,
  timing: Timing,
  settings: HeatSettings,
  task?: Task,
): Promise<Heat> {
  const source = heatSource(path, aim, timing, settings.profile);
  const grid = ribbonGrid(path, source);
  const near = approachFinder(path, aim, source, settings.medium, grid);
  const { fluence, onRibbon } = await spreadLight(path, source, near, grid, task);
  await task?.pause('warming the joint', 0);
  const run = createRun(source, settings, near, grid);
  const passes = await computePasses(run, task);
  const others = await computeOthers(run, task);
  const { peak, hottest, aboveOnset } = foldRibbon(run, passes, others, path.count);
  const { count } = path;
  return {
    medium: settings.medium,
    limits: settings.limits,
    count,
    across: grid.count,
    offset: grid.offset,
    position: grid.position,
    fluence,
    peak,
    hottest,
    aboveOnset,
    rows: foldRows(run, passes, fluence, path.rows.count),
    neighbours: others.map(({ neighbour }) => neighbour),
    delivered: deliveredEnergy(source),
    onRibbon,
  };
}

interface OtherPass {
  readonly station: number;
  readonly rise: PassRise;
  readonly neighbour: Neighbour;
}

/** What other passes that come near do to each station that the spot passes, in the order of the seam. */
async function computeOthers(run: Run, task: Task | undefined): Promise<OtherPass[]> {
  const { source, settings, grid } = run;
  const found: OtherPass[] = [];
  const seen = new Set<number>();
  for (let k = 0; k < source.count; k++) {
    const station = source.station[k];
    if (k % 64 === 0) await task?.pause('looking for other passes', k / source.count);
    if (seen.has(station)) continue;
    seen.add(station);
    for (const { closest, distance } of othersNear(run, k)) {
      await task?.pause('warming by other passes', k / source.count);
      const window = windowOf(run, closest, Number.POSITIVE_INFINITY);
      const rise = passIn(run, station, { ...window, until: window.to });
      const neighbour = {
        row: source.row[k],
        other: source.row[closest],
        distance,
        delay: source.time[closest] - source.time[k],
        peak: temperatureOf(settings.limits, rise.peak[(grid.count - 1) / 2]),
      };
      found.push({ station, rise, neighbour });
    }
  }
  return found;
}

/** The hottest of all passes, and the time above the onset of all together, over the ribbon; NaN off the joint face. */
function foldRibbon(
  { source, settings, grid, near }: Run,
  passes: readonly PassRise[],
  others: readonly OtherPass[],
  count: number,
): Pick<Heat, 'peak' | 'hottest' | 'aboveOnset'> {
  const { limits } = settings;
  const size = count * grid.count;
  const peak = new Float64Array(size).fill(Number.NaN);
  const hottest = new Float64Array(size).fill(Number.NaN);
  const aboveOnset = new Float64Array(size).fill(Number.NaN);
  const visited = new Set<number>();
  const add = (station: number, rise: PassRise): void => {
    const section = near.section(station);
    const first = !visited.has(station);
    visited.add(station);
    for (let j = 0; j < grid.count; j++) {
      if (grid.offset[j] > section.left || grid.offset[j] < -section.right) continue;
      const at = station * grid.count + j;
      const [p, h] = [temperatureOf(limits, rise.peak[j]), temperatureOf(limits, rise.hottest[j])];
      peak[at] = first ? p : Math.max(peak[at], p);
      hottest[at] = first ? h : Math.max(hottest[at], h);
      aboveOnset[at] = (first ? 0 : aboveOnset[at]) + rise.above[j];
    }
  };
  passes.forEach((rise, k) => {
    add(source.station[k], rise);
  });
  for (const { station, rise } of others) add(station, rise);
  return { peak, hottest, aboveOnset };
}

/** What each row should know of its own pass. */
function foldRows(run: Run, passes: readonly PassRise[], fluence: Float64Array, count: number): HeatRows {
  const { source, settings, grid, near, threshold } = run;
  const unknown = () => new Float64Array(count).fill(Number.NaN);
  const rows = {
    fluence: unknown(),
    peak: unknown(),
    hottest: unknown(),
    aboveOnset: unknown(),
    width: unknown(),
    before: unknown(),
  };
  passes.forEach((rise, k) => {
    const row = source.row[k];
    const station = source.station[k];
    const section = near.section(station);
    const peaks = onFace(section, rise.peak);
    rows.fluence[row] = highest(fluence.subarray(station * grid.count, (station + 1) * grid.count));
    rows.peak[row] = temperatureOf(settings.limits, highest(peaks));
    rows.hottest[row] = temperatureOf(settings.limits, highest(onFace(section, rise.hottest)));
    rows.aboveOnset[row] = highest(onFace(section, rise.above));
    rows.width[row] = weldWidth(peaks, section, threshold);
    rows.before[row] = temperatureOf(settings.limits, rise.before[(grid.count - 1) / 2]);
  });
  return rows;
}
