// The search over the grid, with figures made by formula: does it find what trying every point finds, in one order only?
import { describe, expect, it } from 'vitest';
import type { Fidelity, Placement, PlacementFigures, PlacementSearch } from '../../src/model/placement.ts';
import { Cancelled } from '../../src/model/input-error.ts';
import { type EvaluatePlacements, placePart } from '../../src/planner/place-part.ts';
import { coarsePoints, placementAt, placementGrid } from '../../src/planner/placement-grid.ts';
import { seededRandom } from '../arm/sample-arms.ts';
import { idleTask } from '../arm/synthetic-path.ts';

const search: PlacementSearch = {
  position: [
    [0, 80],
    [-40, 40],
    [0, 0],
  ],
  rotation: [
    [0, 0],
    [0, 0],
    [-1, 1],
  ],
  positionStep: 20,
  rotationStep: 0.5,
  levels: 2,
  keep: 4,
};

const free: PlacementFigures = {
  length: 100,
  done: 100,
  speedShare: 1,
  margin: 0.5,
  jointMargin: 0.3,
  jointAxis: 3,
  singularity: Number.NaN,
  clearance: Number.NaN,
  cycle: Number.NaN,
  blocks: [],
};

/** Blocked over `missing` mm. */
const blocked = (missing: number, axis = -1): PlacementFigures => ({
  ...free,
  done: 100 - missing,
  blocks: [
    {
      seam: 'rim',
      move: '',
      why: axis < 0 ? 'out-of-reach' : 'joint-limit',
      axis,
      pair: '',
      from: 0,
      to: missing,
      length: missing,
      excess: 3,
    },
  ],
});

type Formula = (placement: Placement, fidelity: Fidelity) => PlacementFigures;

const oneByOne =
  (formula: Formula): EvaluatePlacements =>
  async (placements, fidelity, advance) => {
    const figures: PlacementFigures[] = [];
    for (const placement of placements) {
      figures.push(formula(placement, fidelity));
      await advance(figures.length);
    }
    return figures;
  };

/** Reached near a point that lies off the first grid; the nearer, the more room. */
const hill: Formula = ({ position: [x, y], rotation: [, , c] }) => {
  const far = Math.hypot((x - 55) / 40, (y + 15) / 40, c - 0.25);
  return far > 1 ? blocked(Math.min(99, 40 * far)) : { ...free, margin: 1 - far };
};

describe('the search for placements', () => {
  it('finds the best of all points of the finest grid', async () => {
    const finest = { ...search, positionStep: 5, rotationStep: 0.125, levels: 0 };
    const grid = placementGrid(finest, 'job');
    const all = coarsePoints(grid).map((point) => placementAt(grid, point));
    const margin = (placement: Placement): number => {
      const { blocks, margin: value } = hill(placement, 'planned');
      return blocks.length > 0 ? -1 : value;
    };
    const best = all.reduce((a, b) => (margin(b) > margin(a) ? b : a));
    const { ranked, planned, fits } = await placePart(placementGrid(search, 'job'), oneByOne(hill), idleTask);
    expect(ranked[0].placement).toEqual(best);
    expect(ranked[0].fidelity).toBe('planned');
    expect(fits).toBe(planned);
    expect(ranked.length).toBeLessThan(all.length / 4);
  });

  it('without halving ranks exactly the points of the box, as sorting all of them does (seed 7)', async () => {
    const random = seededRandom(7);
    const drawn = new Map<string, PlacementFigures>();
    const figures: Formula = (placement) => {
      const key = JSON.stringify(placement);
      const known = drawn.get(key);
      if (known !== undefined) return known;
      const made =
        random() < 0.5
          ? blocked(Math.ceil(50 * random()))
          : { ...free, speedShare: Math.round(4 * random()) / 4, margin: random() };
      drawn.set(key, made);
      return made;
    };
    const flat = { ...search, levels: 0, keep: 100 };
    const { ranked } = await placePart(placementGrid(flat, 'job'), oneByOne(figures), idleTask);
    const grid = placementGrid(flat, 'job');
    const all = coarsePoints(grid).map((point) => placementAt(grid, point));
    const order = all.toSorted((a, b) => {
      const [p, q] = [figures(a, 'planned'), figures(b, 'planned')];
      return q.done - p.done || q.speedShare - p.speedShare || q.margin - p.margin;
    });
    const planned = ranked.filter(({ fidelity }) => fidelity === 'planned');
    expect(ranked).toHaveLength(all.length);
    expect(planned.map(({ placement }) => placement)).toEqual(order.slice(0, planned.length));
    expect(planned.length).toBeGreaterThanOrEqual(100);
  });

  it('ranks by what nothing blocks, then length, then speed held, then margin', async () => {
    const along: PlacementSearch = {
      ...search,
      position: [
        [0, 80],
        [0, 0],
        [0, 0],
      ],
      rotation: [
        [0, 0],
        [0, 0],
        [0, 0],
      ],
      levels: 0,
      keep: 9,
    };
    const table: Record<number, PlacementFigures> = {
      0: blocked(10),
      20: { ...free, speedShare: 0.8, margin: 0.9 },
      40: blocked(60),
      60: { ...free, speedShare: 0.9, margin: 0.1 },
      80: { ...free, speedShare: 0.9002, margin: 0.05 },
    };
    const { ranked } = await placePart(
      placementGrid(along, 'job'),
      oneByOne(({ position: [x] }) => table[x]),
      idleTask,
    );
    expect(ranked.map(({ placement }) => placement.position[0])).toEqual([60, 80, 20, 0, 40]);
  });

  it('plans further ones where the best of the estimate turn out blocked', async () => {
    const formula: Formula = (placement, fidelity) =>
      fidelity === 'planned' && placement.position[0] > 40 ? blocked(30) : hill(placement, fidelity);
    const { ranked, planned, fits } = await placePart(placementGrid(search, 'job'), oneByOne(formula), idleTask);
    expect(planned).toBeGreaterThan(search.keep);
    expect(fits).toBeGreaterThan(0);
    expect(ranked[0].placement.position[0]).toBeLessThanOrEqual(40);
    expect(ranked[0].blocks).toEqual([]);
  });

  it('counts what is in the way, most often first', async () => {
    const along: PlacementSearch = {
      ...search,
      position: [
        [0, 80],
        [0, 0],
        [0, 0],
      ],
      rotation: [
        [0, 0],
        [0, 0],
        [0, 0],
      ],
      levels: 0,
    };
    const formula: Formula = ({ position: [x] }) => (x < 50 ? blocked(10 + x / 2) : blocked(40, 4));
    const { fits, planned, ranked, hindrances } = await placePart(
      placementGrid(along, 'job'),
      oneByOne(formula),
      idleTask,
    );
    expect(fits).toBe(0);
    expect(planned).toBe(4);
    expect(ranked[0].placement.position[0]).toBe(0);
    expect(hindrances).toEqual([
      { move: '', why: 'out-of-reach', axis: -1, pair: '', placements: 3, share: (0.1 + 0.2 + 0.3) / 3 },
      { move: '', why: 'joint-limit', axis: 4, pair: '', placements: 2, share: 0.4 },
    ]);
  });

  it('stops when it is cancelled', async () => {
    let asked = 0;
    const task = {
      ...idleTask,
      pause: async () => {
        if (++asked > 20) throw new Cancelled();
      },
    };
    await expect(placePart(placementGrid(search, 'job'), oneByOne(hill), task)).rejects.toThrow(Cancelled);
    expect(asked).toBe(21);
  });

  it('says how far it is, never back', async () => {
    const said: number[] = [];
    const task = {
      ...idleTask,
      pause: async (_: string, fraction: number) => {
        said.push(fraction);
      },
    };
    await placePart(placementGrid(search, 'job'), oneByOne(hill), task);
    expect(said.length).toBeGreaterThan(50);
    expect(said.every((fraction, i) => fraction >= 0 && fraction <= 1 && fraction >= (said[i - 1] ?? 0))).toBe(true);
  });
});
