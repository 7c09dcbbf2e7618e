// The grid of part placements: a box of three positions and three turns, its coarse points, and their neighbours on the
// halved grids. A point is six whole numbers, so that no point is met twice by rounding.
import { InputError } from '../model/input-error.ts';
import type { Placement, PlacementSearch, Range } from '../model/placement.ts';

/** Six whole numbers in steps of the finest grid. */
export type GridPoint = readonly number[];

interface Dimension {
  readonly from: number;
  readonly to: number;
  /** Steps of the finest grid from end to end; 0 where the box has no width. */
  readonly steps: number;
  /** Whole turns: the end is the beginning. */
  readonly round: boolean;
}

export interface PlacementGrid {
  readonly search: PlacementSearch;
  readonly dimensions: readonly Dimension[];
  /** Steps of the finest grid between two points of the first. */
  readonly coarse: number;
}

/** Most points of the first grid. */
const MOST_POINTS = 50_000;
const TURN = 2 * Math.PI;

/** Throws InputError `search-too-large`; `place` is the job file's name. */
export function placementGrid(search: PlacementSearch, place: string): PlacementGrid {
  const coarse = 1 << search.levels;
  const dimension = ([from, to]: Range, step: number, turns: boolean): Dimension => {
    // A width that is a whole number of steps but for rounding takes no further step.
    const cells = Math.ceil((to - from) / step - 1e-9);
    return { from, to, steps: Math.max(cells, to > from ? 1 : 0) * coarse, round: turns && to - from >= TURN - 1e-9 };
  };
  const dimensions = [
    ...search.position.map((range) => dimension(range, search.positionStep, false)),
    ...search.rotation.map((range) => dimension(range, search.rotationStep, true)),
  ];
  const points = dimensions.reduce((product, d) => product * coarseCount(d, coarse), 1);
  if (points > MOST_POINTS) {
    throw new InputError(
      'search-too-large',
      `the first grid would have ${points} placements, more than ${MOST_POINTS}`,
      `${place}#/search`,
      'take wider steps or a smaller box',
    );
  }
  return { search, dimensions, coarse };
}

const coarseCount = ({ steps, round }: Dimension, coarse: number): number =>
  steps === 0 ? 1 : steps / coarse + (round ? 0 : 1);

/** All points of the first grid, the last number running fastest. */
export function coarsePoints({ dimensions, coarse }: PlacementGrid): GridPoint[] {
  let points: GridPoint[] = [[]];
  for (const dimension of dimensions) {
    const values = Array.from({ length: coarseCount(dimension, coarse) }, (_, k) => k * coarse);
    points = points.flatMap((point) => values.map((value) => [...point, value]));
  }
  return points;
}

/** The points one `stride` away along one dimension, inside the box. */
export function neighbours({ dimensions }: PlacementGrid, point: GridPoint, stride: number): GridPoint[] {
  return dimensions.flatMap(({ steps, round }, d) => {
    if (steps === 0) return [];
    const moved = [point[d] - stride, point[d] + stride]
      .map((value) => (round ? (value + steps) % steps : value))
      .filter((value) => value >= 0 && value <= steps);
    return moved.map((value) => point.with(d, value));
  });
}

/** Whether two points lie less than `stride` apart along every dimension. */
export function isNear({ dimensions }: PlacementGrid, a: GridPoint, b: GridPoint, stride: number): boolean {
  return dimensions.every(({ steps, round }, d) => {
    const apart = Math.abs(a[d] - b[d]);
    return (round ? Math.min(apart, steps - apart) : apart) < stride;
  });
}

export function placementAt({ dimensions }: PlacementGrid, point: GridPoint): Placement {
  const [x, y, z, a, b, c] = dimensions.map(({ from, to, steps }, d) =>
    steps === 0 ? from : point[d] === steps ? to : from + ((to - from) * point[d]) / steps,
  );
  return { position: [x, y, z], rotation: [a, b, c] };
}
