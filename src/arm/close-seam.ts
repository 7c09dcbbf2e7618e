// On a closed seam the arm should end its round in the posture in which it began. Cheapest such way by branch and bound
// over the nodes at the start (Land & Doig 1960): a search whose start and end both lie in a set bounds from below every
// closed way that begins in the set, and is the answer where its ends agree; else the set is split between the two ends.
import type { Closure } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import type { Ladder } from './build-ladder.ts';
import {
  type Gate,
  type LadderPath,
  LOST_ROW,
  roundsOf,
  type SearchSettings,
  searchPosture,
} from './search-posture.ts';

/** A whole path, and how its round closes. */
export interface ClosedPath extends LadderPath {
  readonly closure: Closure;
  /** Upper bound of (cost - cheapest possible) / cost for this kind of closure; 0 where it is proved the cheapest. */
  readonly gap: number;
  /** Searches made. */
  readonly searches: number;
}

export interface ClosingSettings extends SearchSettings {
  /** A closed way within this share of the bound is good enough. */
  readonly gap: number;
  /** Searches allowed for each kind of closure. */
  readonly searches: number;
}

interface Part {
  /** 1 for each node of the set. */
  readonly open: Uint8Array;
  /** Nodes of the set. */
  readonly size: number;
  readonly path: LadderPath;
}

/**
 * Searches a path whose rows `from` and `to` stand on the same station one round apart: first for one that ends as it
 * began, then for one that does so but for whole turns of axes, else as an open one.
 */
export async function closeSeam(
  ladder: Ladder,
  round: { readonly from: number; readonly to: number } | null,
  settings: ClosingSettings,
  task: Task,
): Promise<ClosedPath> {
  const open = await searchPosture(ladder, settings, [], task);
  if (round === null) return { ...open, closure: 'open', gap: 0, searches: 1 };
  let searches = 1;
  const rounds = roundsOf(ladder).count;
  if (open.cost < LOST_ROW) {
    for (const [closure, group] of [
      ['same', 1],
      ['turns', rounds],
    ] as const) {
      if (closure === 'turns' && rounds === 1) continue;
      const found = await closeWithin(ladder, round, group, open, settings, task);
      searches += found.searches;
      if (found.path !== null) return { ...found.path, closure, gap: found.gap, searches };
    }
  }
  return { ...open, closure: 'other', gap: 0, searches };
}

/** Branch and bound; nodes count as the same when they agree after division by `group`. */
async function closeWithin(
  ladder: Ladder,
  round: { readonly from: number; readonly to: number },
  group: number,
  open: LadderPath,
  settings: ClosingSettings,
  task: Task,
): Promise<{ path: LadderPath | null; gap: number; searches: number }> {
  const nodes = ladder.turns * ladder.branches * roundsOf(ladder).count;
  let best: LadderPath | null = null;
  let searches = 0;
  const search = async (set: Uint8Array): Promise<LadderPath> => {
    searches++;
    const gates: Gate[] = [
      { row: round.from, open: set },
      { row: round.to, open: set },
    ];
    const path = await searchPosture(ladder, settings, gates, task);
    return path.cost < LOST_ROW ? path : { ...path, cost: Number.POSITIVE_INFINITY };
  };
  const ends = (path: LadderPath): readonly [number, number] => [
    Math.floor(path.node[round.from] / group),
    Math.floor(path.node[round.to] / group),
  ];
  const parts: Part[] = [{ open: new Uint8Array(nodes).fill(1), size: nodes, path: open }];
  let bound = open.cost;
  while (parts.length > 0) {
    parts.sort((a, b) => a.path.cost - b.path.cost);
    const part = parts[0];
    bound = part.path.cost;
    if (best !== null && best.cost - bound <= settings.gap * best.cost) break;
    if (bound === Number.POSITIVE_INFINITY) break;
    const [start, end] = ends(part.path);
    if (start === end) {
      best = part.path;
      break;
    }
    if (searches >= settings.searches) break;
    parts.shift();
    // A closed way from this very start is an upper bound that often meets the lower one.
    if (best === null) {
      const single = await search(only(nodes, group, part.path.node[round.from]));
      if (single.cost < Number.POSITIVE_INFINITY && agree(ends(single))) best = single;
    }
    for (const set of split(part.open, ladder, group, start, end)) {
      const path = await search(set);
      if (path.cost < Number.POSITIVE_INFINITY) {
        if (agree(ends(path)) && (best === null || path.cost < best.cost)) best = path;
        parts.push({ open: set, size: count(set), path });
      }
    }
  }
  const lower = Math.min(bound, best?.cost ?? bound);
  return { path: best, gap: best === null ? 0 : (best.cost - lower) / best.cost, searches };
}

const agree = ([start, end]: readonly [number, number]): boolean => start === end;

/** The set of the one node, or of all that count as the same. */
function only(nodes: number, group: number, node: number): Uint8Array {
  const set = new Uint8Array(nodes);
  const key = Math.floor(node / group);
  for (let x = 0; x < nodes; x++) if (Math.floor(x / group) === key) set[x] = 1;
  return set;
}

const count = (set: Uint8Array): number => set.reduce((sum, x) => sum + x, 0);

/** Two halves of a set with the start in one and the end in the other, told apart by what the two differ in. */
function split(set: Uint8Array, ladder: Ladder, group: number, start: number, end: number): Uint8Array[] {
  const rounds = roundsOf(ladder).count / group;
  const parts = (key: number): readonly [number, number, number] => {
    const place = Math.floor(key / rounds);
    return [key % rounds, place % ladder.branches, Math.floor(place / ladder.branches)];
  };
  const a = parts(start);
  const b = parts(end);
  const which = a[0] !== b[0] ? 0 : a[1] !== b[1] ? 1 : 2;
  const border = Math.floor((a[which] + b[which]) / 2);
  const low = new Uint8Array(set.length);
  const high = new Uint8Array(set.length);
  for (let x = 0; x < set.length; x++) {
    if (set[x] === 0) continue;
    const value = parts(Math.floor(x / group))[which];
    (value <= border ? low : high)[x] = 1;
  }
  return [low, high];
}
