// Searches the placements of a part from coarse to fine: a grid over the box, halved round the best points (a compass
// search, Hooke & Jeeves 1961), and the best of all planned in full. Who evaluates, and on how many cores, is left to
// the caller: each batch is known before it begins, so that the result does not depend on it.
import type {
  Fidelity,
  Hindrance,
  Placement,
  PlacementBlock,
  PlacementFigures,
  PlacementRanking,
  RankedPlacement,
} from '../model/placement.ts';
import type { Task } from '../model/task.ts';
import { coarsePoints, type GridPoint, isNear, neighbours, placementAt, type PlacementGrid } from './placement-grid.ts';

/** Figures of placements, in their order; `advance` is told how many are done. */
export type EvaluatePlacements = (
  placements: readonly Placement[],
  fidelity: Fidelity,
  advance: (done: number) => Promise<void>,
) => Promise<readonly PlacementFigures[]>;

interface Candidate {
  readonly point: GridPoint;
  readonly ranked: RankedPlacement;
}

/** Rounds of neighbours on each level, and batches of full plans while fewer than wanted can be done from end to end. */
const ROUNDS = 3;
const BATCHES = 3;
/** Shares are compared in steps of a thousandth, so that the next criterion has its say. */
const STEP = 1e-3;
/** Share of the progress that the search has; the full plans have the rest. */
const SEARCH_PROGRESS = 0.6;

/** Throws Cancelled when the task is. */
export async function placePart(
  grid: PlacementGrid,
  evaluate: EvaluatePlacements,
  task: Task,
): Promise<PlacementRanking> {
  const { search } = grid;
  const known = new Set<string>();
  let estimated: Candidate[] = [];
  const stages = search.levels * ROUNDS + 1;
  const estimate = async (points: readonly GridPoint[], level: number, round: number): Promise<void> => {
    for (const point of points) known.add(point.join());
    const what = level === 0 ? 'looking over the box' : `halving the grid, ${level} of ${search.levels}`;
    const stage = level === 0 ? 0 : (level - 1) * ROUNDS + round + 1;
    const found = await evaluateAll(grid, points, 'estimated', evaluate, (share) =>
      task.pause(what, (SEARCH_PROGRESS * (stage + share)) / stages),
    );
    estimated = [...estimated, ...found].sort(compare);
  };

  await estimate(coarsePoints(grid), 0, 0);
  for (let level = 1; level <= search.levels; level++) {
    const stride = grid.coarse >> level;
    for (let round = 0; round < ROUNDS; round++) {
      const fresh = new Map<string, GridPoint>();
      for (const { point } of spreadBest(grid, estimated, search.keep, [])) {
        for (const next of neighbours(grid, point, stride)) {
          if (!known.has(next.join())) fresh.set(next.join(), next);
        }
      }
      if (fresh.size === 0) break;
      await estimate([...fresh.values()], level, round);
    }
  }

  let planned: Candidate[] = [];
  const fitting = (): number => planned.filter(({ ranked }) => isFit(ranked)).length;
  for (let batch = 0; batch < BATCHES && fitting() < search.keep; batch++) {
    const best = spreadBest(grid, estimated, search.keep, planned);
    // Placements that even the estimate cannot do are planned once, to say what is in the way.
    if (best.length === 0 || (batch > 0 && !best.some(({ ranked }) => isFit(ranked)))) break;
    const points = best.map(({ point }) => point);
    const found = await evaluateAll(grid, points, 'planned', evaluate, (share) =>
      task.pause('planning the best', SEARCH_PROGRESS + ((1 - SEARCH_PROGRESS) * (batch + share)) / BATCHES),
    );
    planned = [...planned, ...found].sort(compare);
  }
  const full = new Set(planned.map(({ point }) => point.join()));
  const rest = estimated.filter(({ point }) => !full.has(point.join()));
  const ranked = [...planned, ...rest].map((candidate) => candidate.ranked);
  return { search, ranked, planned: planned.length, fits: fitting(), hindrances: hindrancesOf(ranked) };
}

async function evaluateAll(
  grid: PlacementGrid,
  points: readonly GridPoint[],
  fidelity: Fidelity,
  evaluate: EvaluatePlacements,
  advance: (share: number) => Promise<void>,
): Promise<Candidate[]> {
  const placements = points.map((point) => placementAt(grid, point));
  const figures = await evaluate(placements, fidelity, (done) => advance(done / points.length));
  return points.map((point, i) => ({ point, ranked: { placement: placements[i], fidelity, ...figures[i] } }));
}

/** The best that lie at least one step of the first grid from each other and from `taken`. */
function spreadBest(
  grid: PlacementGrid,
  sorted: readonly Candidate[],
  most: number,
  taken: readonly Candidate[],
): Candidate[] {
  const best: Candidate[] = [];
  for (const candidate of sorted) {
    if (best.length === most) break;
    const near = (other: Candidate): boolean => isNear(grid, candidate.point, other.point, grid.coarse);
    if (!best.some(near) && !taken.some(near)) best.push(candidate);
  }
  return best;
}

/** Whether nothing stands in the way. */
const isFit = ({ blocks }: PlacementFigures): boolean => blocks.length === 0;

/** Better first: whether nothing blocks, length done, speed held, margin; then the order of the grid, so that equals keep one order. */
function compare(a: Candidate, b: Candidate): number {
  const share = (value: number): number => (Number.isNaN(value) ? Number.NEGATIVE_INFINITY : Math.round(value / STEP));
  const left = a.ranked;
  const right = b.ranked;
  const doneShare = (r: RankedPlacement): number => (isFit(r) ? 1 / STEP + 1 : share(r.done / r.length));
  for (const difference of [
    doneShare(right) - doneShare(left),
    share(right.speedShare) - share(left.speedShare),
    (Number.isNaN(right.margin) ? -1 : right.margin) - (Number.isNaN(left.margin) ? -1 : left.margin),
  ]) {
    if (difference !== 0 && !Number.isNaN(difference)) return difference;
  }
  const d = a.point.findIndex((value, k) => value !== b.point[k]);
  return d < 0 ? 0 : a.point[d] - b.point[d];
}

/** How often each cause stands in the way, most often first, then by share and in the order met. */
function hindrancesOf(ranked: readonly RankedPlacement[]): Hindrance[] {
  const tally = new Map<string, { block: PlacementBlock; placements: number; sum: number }>();
  for (const { blocks, length } of ranked) {
    const here = new Set<string>();
    for (const block of blocks) {
      const key = `${block.move}/${block.why}/${block.axis}/${block.pair}`;
      const entry = tally.get(key) ?? { block, placements: 0, sum: 0 };
      if (!here.has(key)) entry.placements++;
      entry.sum += block.length / length;
      here.add(key);
      tally.set(key, entry);
    }
  }
  return [...tally.values()]
    .map(({ block: { move, why, axis, pair }, placements, sum }) => ({
      move,
      why,
      axis,
      pair,
      placements,
      share: sum / placements,
    }))
    .sort((a, b) => b.placements - a.placements || b.share - a.share);
}
