// The ribbon round a seam: its grid of points, the sections across it with the passes that come near each, and the light that
// falls on it.
import type { Aim } from '../model/aim.ts';
import type { Medium } from '../model/heat.ts';
import type { Path } from '../model/path.ts';
import type { Task } from '../model/task.ts';
import { createRowGrid, findApproaches } from './approaches.ts';
import { addFluence } from './fluence.ts';
import { crossed, type HeatSource } from './heat-source.ts';
import { type Approach, reachOf, type Section } from './rise.ts';

/** Lines across the ribbon, and how far it reaches to either side, in radii of the widest spot. */
const ACROSS = 41;
const REACH = 2;

/** Other passes closer than this many spot radii are looked at. */
export const NEAR = 4;

/** Heat from so far away that it has come for longer than this, s, is left out: less than 1 % of a weld's rise. */
const MEMORY = 60;

export interface RibbonGrid {
  readonly count: number;
  readonly half: number;
  readonly step: number;
  readonly offset: Float64Array;
  readonly side: Float64Array;
  readonly position: Float64Array;
}

export function ribbonGrid(path: Path, source: HeatSource): RibbonGrid {
  const half = REACH * source.largest;
  const step = (2 * half) / (ACROSS - 1);
  const offset = Float64Array.from({ length: ACROSS }, (_, j) => (j - (ACROSS - 1) / 2) * step);
  const side = crossed(path.normal, path.tangent);
  const position = new Float64Array(3 * path.count * ACROSS);
  for (let i = 0, k = 0; i < path.count; i++) {
    for (let j = 0; j < ACROSS; j++)
      for (let axis = 0; axis < 3; axis++, k++)
        position[k] = path.position[3 * i + axis] + offset[j] * side[3 * i + axis];
  }
  return { count: ACROSS, half, step, offset, side, position };
}

/** Sections and approaches of the stations, found once each. */
export interface Near {
  section(station: number): Section;
  approaches(station: number): readonly Approach[];
}

export function approachFinder(path: Path, aim: Aim, source: HeatSource, medium: Medium, grid: RibbonGrid): Near {
  const lasting = Math.min(MEMORY, (source.time[source.count - 1] ?? 0) - (source.time[0] ?? 0));
  const radius = Math.max(NEAR * source.largest, reachOf(source, medium.absorber.diffusivity * lasting) + grid.half);
  const rows = createRowGrid(source, radius);
  const sections = new Map<number, Section>();
  const found = new Map<number, readonly Approach[]>();
  const wall = (distance: number) => (Number.isNaN(distance) ? Number.POSITIVE_INFINITY : Math.max(0, distance));
  const near: Near = {
    section(station) {
      const known = sections.get(station);
      if (known) return known;
      const section: Section = {
        place: path.position.subarray(3 * station, 3 * station + 3),
        side: grid.side.subarray(3 * station, 3 * station + 3),
        first: -grid.half,
        step: grid.step,
        count: grid.count,
        left: wall(aim.borderLeft[station]),
        right: wall(aim.borderRight[station]),
      };
      sections.set(station, section);
      return section;
    },
    approaches(station) {
      const known = found.get(station);
      if (known) return known;
      const list = findApproaches(rows, near.section(station), grid.half);
      found.set(station, list);
      return list;
    },
  };
  return near;
}

/** Fluence over the ribbon, and the energy of each pass's own light on its own ribbon. */
export async function spreadLight(
  path: Path,
  source: HeatSource,
  near: Near,
  grid: RibbonGrid,
  task: Task | undefined,
): Promise<{ fluence: Float64Array; onRibbon: number }> {
  const fluence = new Float64Array(path.count * grid.count);
  let onRibbon = 0;
  for (let i = 0; i < path.count; i++) {
    if (i % 16 === 0) await task?.pause('spreading light', i / path.count);
    const own = new Float64Array(grid.count);
    const other = new Float64Array(grid.count);
    for (const approach of near.approaches(i)) {
      // On a station beyond the ends of an open seam the nearest row is the end itself.
      const isOwn = source.station[approach.closest] === i || path.onSeam[i] === 0;
      addFluence(source, near.section(i), approach, isOwn ? own : other);
    }
    const length = stationLength(path, i);
    for (let j = 0; j < grid.count; j++) {
      fluence[i * grid.count + j] = own[j] + other[j];
      const stretch = Math.max(0, 1 - path.geodesicCurvature[i] * grid.offset[j]);
      onRibbon += own[j] * length * stretch * grid.step;
    }
  }
  return { fluence, onRibbon };
}

/** Length of seam that a station stands for: half the way to either neighbour. */
function stationLength({ s, count, closed, length }: Path, i: number): number {
  const after = i + 1 < count ? s[i + 1] : closed ? s[0] + length : s[i];
  const before = i > 0 ? s[i - 1] : closed ? s[count - 1] - length : s[i];
  return (after - before) / 2;
}
