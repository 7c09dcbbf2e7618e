// The grid of placements: what it holds, and that no point is met twice.
import { describe, expect, it } from 'vitest';
import type { PlacementSearch } from '../../src/model/placement.ts';
import { coarsePoints, isNear, neighbours, placementAt, placementGrid } from '../../src/planner/placement-grid.ts';

const still: PlacementSearch = {
  position: [
    [5, 5],
    [5, 5],
    [5, 5],
  ],
  rotation: [
    [0, 0],
    [0, 0],
    [0.5, 0.5],
  ],
  positionStep: 10,
  rotationStep: 1,
  levels: 2,
  keep: 3,
};

describe('the grid of placements', () => {
  it('is one point where the box has no width', () => {
    const grid = placementGrid(still, 'job');
    const points = coarsePoints(grid);
    expect(points.map((point) => placementAt(grid, point))).toEqual([{ position: [5, 5, 5], rotation: [0, 0, 0.5] }]);
    expect(neighbours(grid, points[0], 1)).toEqual([]);
  });

  it('spans the box from end to end, no step wider than asked for', () => {
    const grid = placementGrid(
      {
        ...still,
        position: [
          [0, 25],
          [-10, 10],
          [3, 3],
        ],
      },
      'job',
    );
    const placements = coarsePoints(grid).map((point) => placementAt(grid, point).position);
    expect(new Set(placements.map(([x]) => x))).toEqual(new Set([0, 25 / 3, 50 / 3, 25]));
    expect(new Set(placements.map(([, y]) => y))).toEqual(new Set([-10, 0, 10]));
    expect(placements).toHaveLength(12);
  });

  it('has no ends in a whole turn', () => {
    const turn = 2 * Math.PI;
    const grid = placementGrid(
      {
        ...still,
        rotation: [
          [0, 0],
          [0, 0],
          [-turn / 2, turn / 2],
        ],
        rotationStep: turn / 6,
      },
      'job',
    );
    const points = coarsePoints(grid);
    expect(points).toHaveLength(6);
    const last = points.at(-1) as (typeof points)[number];
    const around = neighbours(grid, last, grid.coarse).map((point) => point.join());
    expect(around).toContain(points[0].join());
    expect(isNear(grid, points[0], last, grid.coarse + 1)).toBe(true);
    expect(isNear(grid, points[0], last, grid.coarse)).toBe(false);
  });

  it('gives neighbours inside the box only, at half a step on the first halving', () => {
    const grid = placementGrid(
      {
        ...still,
        position: [
          [0, 20],
          [5, 5],
          [5, 5],
        ],
      },
      'job',
    );
    const at = (value: number) => neighbours(grid, [value, 0, 0, 0, 0, 0], grid.coarse / 2);
    expect(at(0).map((point) => placementAt(grid, point).position[0])).toEqual([5]);
    expect(at(8).map((point) => placementAt(grid, point).position[0])).toEqual([15]);
    expect(at(4).map((point) => placementAt(grid, point).position[0])).toEqual([5, 15]);
  });

  it('refuses a first grid that is too large, and says how large', () => {
    const wide = {
      ...still,
      position: [
        [0, 1e4],
        [0, 1e4],
        [0, 1e4],
      ],
    } as const;
    expect(() => placementGrid(wide, 'job')).toThrow(/search-too-large: .*1003003001 placements/);
  });
});
