// What an arm can do at one placement: the figures of a plan made there, and an estimate that is near to them.
import { beforeAll, describe, expect, it } from 'vitest';
import type { JobFile } from '../../src/model/job-file.ts';
import type { Placement } from '../../src/model/placement.ts';
import { DEG_PER_RAD } from '../../src/model/units.ts';
import {
  createPlacementEvaluator,
  placementCell,
  type PlacementEvaluator,
} from '../../src/planner/evaluate-placement.ts';
import { placePart } from '../../src/planner/place-part.ts';
import { coarsePoints, placementAt, placementGrid } from '../../src/planner/placement-grid.ts';
import { rowLengths } from '../../src/planner/placement-figures.ts';
import type { Plan, SeamPlan } from '../../src/planner/plan.ts';
import { idleTask } from '../arm/synthetic-path.ts';
import { planSample } from './plan-sample.ts';

/** The disc's seam, waypoints far apart so that the tests are quick. */
const wide = (file: JobFile): JobFile => ({ ...file, seams: file.seams.map((seam) => ({ ...seam, spacing_mm: 3 })) });

const withArm = ({ position, rotation }: Placement): Promise<Plan> =>
  planSample('disc', (file) => ({
    ...wide(file),
    arm: 'six-axis-700',
    placement: {
      position_mm: [position[0], position[1], position[2]],
      rotation_deg: [rotation[0] * DEG_PER_RAD, rotation[1] * DEG_PER_RAD, rotation[2] * DEG_PER_RAD],
    },
  }));

const at = (x: number, y: number, z: number, c = 0): Placement => ({ position: [x, y, z], rotation: [0, 0, c] });

let evaluate: PlacementEvaluator;

beforeAll(async () => {
  const [still, carried] = [await planSample('disc', wide), await withArm(at(400, 0, 100))];
  if (carried.job.carrier === null) throw new Error('the plan has no arm');
  evaluate = createPlacementEvaluator(placementCell(still, carried.job.carrier));
});

/** Length of the rows with a posture, far enough from everything. */
function lengthDone({ path, carried }: SeamPlan): number {
  if (carried === null) throw new Error('the seam is not carried');
  const close = carried.room.along.flatMap((near) => near.close);
  return rowLengths(path.rows.s).reduce((sum, l, i) => {
    const free = !close.some(({ from, to }) => i >= from && i <= to);
    return sum + (free && !Number.isNaN(carried.stand.posture.turn[i]) ? l : 0);
  }, 0);
}

describe('a planned placement', () => {
  it.each([
    ['within reach', at(400, 0, 100)],
    ['turned, aside', at(350, -150, 60, 0.7)],
    ['half out of reach', at(590, 0, 100)],
    ['under the arm', at(60, 0, 200)],
  ])('%s: has the figures of a plan of the job there', async (_, placement) => {
    const figures = await evaluate(placement, 'planned', idleTask);
    const [seam] = (await withArm(placement)).seams;
    const { stand, room } = seam.carried as NonNullable<SeamPlan['carried']>;
    const { rows } = seam.path;
    expect(figures.length).toBeCloseTo(rows.s[rows.count - 1] - rows.s[0], 9);
    expect(figures.done).toBeCloseTo(lengthDone(seam), 9);
    expect(figures.cycle).toBe(seam.timing.cycle.total);
    const least = (values: Float64Array): number => {
      const known = values.filter((value) => !Number.isNaN(value));
      return known.length === 0 ? Number.NaN : Math.min(...known);
    };
    // Of the last axis the hoses may leave less than its own limits.
    expect(figures.jointMargin).toBe(Math.min(least(stand.margins.limit), least(stand.margins.umbilical)));
    expect(figures.singularity).toBe(least(stand.margins.singularity));
    // Source: shared/schemas/job.schema.json, defaults of limits.joint_margin_deg and limits.singularity.
    expect(figures.margin).toBeCloseTo(
      Math.min((figures.jointMargin * DEG_PER_RAD) / 5, figures.singularity / 0.02),
      9,
    );
    const along = figures.blocks.filter(({ move, pair }) => move === '' && pair === '');
    const of = ({ from, to, why, axis }: { from: number; to: number; why: string; axis: number }) => ({
      from,
      to,
      why,
      axis,
    });
    expect(along.map(of)).toEqual(stand.posture.blocked.map(of));
    const nearest = room.along.filter(({ close }) => close.length > 0).map((c) => `${c.envelope}, ${c.obstacle}`);
    const close = figures.blocks.filter(({ move, pair, seam: name }) => move === '' && pair !== '' && name !== '');
    expect([...new Set(close.map(({ pair }) => pair))]).toEqual(nearest);
  });

  it('is in the way of itself where it stands in the floor, by as much as it does', async () => {
    const [up, down] = [
      await evaluate(at(400, 0, 20), 'estimated', idleTask),
      await evaluate(at(400, 0, -20), 'estimated', idleTask),
    ];
    const sunk = down.blocks.filter(({ why }) => why === 'below-floor');
    expect(up.blocks.some(({ why }) => why === 'below-floor')).toBe(false);
    // Source: sample-parts/README.md, the disc's underside lies at z = 0 (our own part).
    expect(Math.max(...sunk.map(({ excess }) => excess))).toBeCloseTo(20, 9);
  });
});

describe('an estimated placement', () => {
  it('tells what can be done from what cannot as a plan does, but at the border', async () => {
    let differ = 0;
    let compared = 0;
    const told = new Set<boolean>();
    for (const x of [150, 300, 450, 600, 750]) {
      for (const y of [0, 200]) {
        const [estimated, planned] = [
          await evaluate(at(x, y, 100), 'estimated', idleTask),
          await evaluate(at(x, y, 100), 'planned', idleTask),
        ];
        compared++;
        told.add(planned.blocks.length === 0);
        if ((estimated.blocks.length === 0) !== (planned.blocks.length === 0)) differ++;
        expect(Math.abs(estimated.done / estimated.length - planned.done / planned.length)).toBeLessThan(0.1);
      }
    }
    expect(compared).toBe(10);
    expect(told.size).toBe(2);
    expect(differ).toBeLessThanOrEqual(1);
  });
});

it('the search finds on a small box what planning every point of it finds', async () => {
  const search = {
    position: [
      [300, 600],
      [-100, 100],
      [100, 100],
    ],
    rotation: [
      [0, 0],
      [0, 0],
      [0, 0],
    ],
    positionStep: 100,
    rotationStep: 1,
    levels: 0,
    keep: 12,
  } as const;
  const grid = placementGrid(search, 'job');
  const all = await Promise.all(
    coarsePoints(grid).map(async (point) => evaluate(placementAt(grid, point), 'planned', idleTask)),
  );
  const best = all.toSorted(
    (a, b) =>
      Number(a.blocks.length > 0) - Number(b.blocks.length > 0) ||
      b.done - a.done ||
      Math.round(1000 * b.speedShare) - Math.round(1000 * a.speedShare) ||
      b.margin - a.margin,
  );
  const { ranked, fits, planned } = await placePart(
    grid,
    async (placements, fidelity) => Promise.all(placements.map((p) => evaluate(p, fidelity, idleTask))),
    idleTask,
  );
  expect(planned).toBe(all.length);
  expect(fits).toBe(all.filter(({ blocks }) => blocks.length === 0).length);
  expect(fits).toBeGreaterThan(0);
  expect(ranked[0].margin).toBe(best[0].margin);
  expect(ranked.map(({ done }) => done)).toEqual(best.map(({ done }) => done));
});
