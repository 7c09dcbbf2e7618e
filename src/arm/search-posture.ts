// The cheapest way up the ladder of (turn x branch) by dynamic programming (Bellman 1957), with back-pointers only. Angles
// are kept modulo whole turns; the rounds that each multi-turn axis has made are part of a node, so that unwrapping is
// exact. A row may be left out, at a price above everything else: that is how a stretch without a way shows itself.
import type { Task } from '../model/task.ts';
import type { Ladder } from './build-ladder.ts';

const TWO_PI = 2 * Math.PI;

export interface SearchSettings {
  /** Largest change of the turn from row to row, in places of the grid; 0 keeps the turn constant. */
  readonly turnSteps: number;
  /** Process speed, mm/s. */
  readonly speed: number;
  /** Weight of the squared rates, on the time at process speed. */
  readonly smoothness: number;
  /** Largest change of an axis from row to row, rad. */
  readonly jump: number;
  /** Axes are kept this far from their limits where nothing is lost by it, rad; and what a limit itself costs, on the time. */
  readonly limitZone: number;
  readonly limitWeight: number;
}

/** What an angle so far from the nearer limit costs, as a share: 1 at the limit, falling to 0 at the zone's border. */
export function limitPrice(margin: number, { limitZone, limitWeight }: SearchSettings): number {
  if (!(margin < limitZone)) return 0;
  const share = 1 - margin / limitZone;
  return limitWeight * share * share;
}

/** Price of a row without a posture, s. */
export const LOST_ROW = 1e6;

/** One way through the ladder. */
export interface LadderPath {
  /** s, with `LOST_ROW` for each row without a posture; Infinity when there is no way that meets the demands. */
  readonly cost: number;
  /** Node of each row, m, or -1: (turn x branches + branch) x rounds + round. */
  readonly node: Int32Array;
}

/** Which rounds the multi-turn axes can have made, all combinations. */
export interface Rounds {
  /** Number of combinations. */
  readonly count: number;
  /** Axes that can make more than one, how many each, and the stride of each in the combination's number. */
  readonly axis: readonly number[];
  readonly most: readonly number[];
  readonly stride: readonly number[];
}

export function roundsOf(ladder: Pick<Ladder, 'min' | 'max' | 'axes'>): Rounds {
  const axis: number[] = [];
  const most: number[] = [];
  const stride: number[] = [];
  let count = 1;
  for (let j = 0; j < ladder.axes; j++) {
    const rounds = Math.floor((ladder.max[j] - ladder.min[j] - 1e-9) / TWO_PI) + 1;
    if (rounds < 2) continue;
    axis.push(j);
    most.push(rounds);
    stride.push(count);
    count *= rounds;
  }
  return { count, axis, most, stride };
}

/** Demand on one row: only these nodes, no leaving out. */
export interface Gate {
  readonly row: number;
  /** 1 for a node that may be taken, one per node. */
  readonly open: Uint8Array;
}

/**
 * Cost of a step, s: the time at process speed or that of the slowest axis, whichever is longer, plus the weighted squared
 * shares of the axes' speeds. Infinity for a jump. Writes to shift[0] the code of the rounds gained: for each multi-turn
 * axis 0, 1 or 2 (one fewer, same, one more) times 3^place; -1 where an axis that has one round only would gain or lose one.
 */
function stepCost(
  ladder: Ladder,
  a: number,
  b: number,
  time: number,
  settings: SearchSettings,
  inverseSpeed: Float64Array,
  roundPlace: Int32Array,
  shift: Int32Array,
): number {
  const { angle, axes } = ladder;
  const { jump } = settings;
  let slowest = 0;
  let squares = 0;
  let code = 0;
  for (let j = 0; j < axes; j++) {
    let d = angle[b + j] - angle[a + j];
    const place = roundPlace[j];
    let gained = 1;
    if (d > Math.PI) {
      d -= TWO_PI;
      gained = 0;
    } else if (d < -Math.PI) {
      d += TWO_PI;
      gained = 2;
    }
    if (!(d <= jump && d >= -jump)) return Number.POSITIVE_INFINITY;
    if (place > 0) code += gained * place;
    else if (gained !== 1) return Number.POSITIVE_INFINITY;
    const share = Math.abs(d) * inverseSpeed[j];
    if (share > slowest) slowest = share;
    squares += share * share;
  }
  shift[0] = code;
  return Math.max(time, slowest) + (settings.smoothness * squares) / time;
}

/** For each code of rounds gained and each round: the round after, or -1; `count` x 3^(multi-turn axes). */
function roundTable(rounds: Rounds): Int32Array {
  const codes = power3(rounds.axis.length);
  const table = new Int32Array(codes * rounds.count);
  for (let code = 0; code < codes; code++) {
    for (let w = 0; w < rounds.count; w++) {
      let after = 0;
      let rest = code;
      for (let c = 0; c < rounds.axis.length && after >= 0; c++) {
        const round = (Math.floor(w / rounds.stride[c]) % rounds.most[c]) + (rest % 3) - 1;
        rest = Math.floor(rest / 3);
        after = round < 0 || round >= rounds.most[c] ? -1 : after + round * rounds.stride[c];
      }
      table[code * rounds.count + w] = after;
    }
  }
  return table;
}

const power3 = (n: number): number => (n === 0 ? 1 : 3 * power3(n - 1));

/**
 * Marks with 1 the rounds at which the posture angle[at..] lies within its limits, to valid[k..k+count-1], and prices how near
 * to them it stands, to price[k..].
 */
function markRounds(
  ladder: Ladder,
  rounds: Rounds,
  at: number,
  settings: SearchSettings,
  valid: Uint8Array,
  price: Float64Array,
  k: number,
): void {
  const { angle, axes, min, max } = ladder;
  const exists = !Number.isNaN(angle[at]);
  valid.fill(exists ? 1 : 0, k, k + rounds.count);
  if (!exists) return;
  let c = 0;
  price.fill(0, k, k + rounds.count);
  for (let j = 0; j < axes; j++) {
    const q = angle[at + j];
    if (rounds.axis[c] !== j) {
      const one = limitPrice(Math.min(q - min[j], max[j] - q), settings);
      if (one > 0) for (let w = k; w < k + rounds.count; w++) price[w] += one;
      continue;
    }
    for (let w = 0; w < rounds.count; w++) {
      const turned = q + TWO_PI * (Math.floor(w / rounds.stride[c]) % rounds.most[c]);
      // Angles are kept in single precision: 1e-6 rad of room.
      if (turned > max[j] + 1e-6) valid[k + w] = 0;
      else price[k + w] += limitPrice(Math.min(turned - min[j], max[j] - turned), settings);
    }
    c++;
  }
}

/**
 * The cheapest way through all rows; with gates, through their nodes only. With a constant turn every turn is a lane of its
 * own; with a free one there is one lane. Exact over the ladder: checked against brute force.
 */
export async function searchPosture(
  ladder: Ladder,
  settings: SearchSettings,
  gates: readonly Gate[],
  task: Task,
): Promise<LadderPath> {
  const { rows: m, turns, branches, axes, s, passes } = ladder;
  const rounds = roundsOf(ladder);
  const W = rounds.count;
  const nodes = turns * branches * W;
  const table = roundTable(rounds);
  const roundPlace = new Int32Array(axes);
  rounds.axis.forEach((j, c) => {
    roundPlace[j] = power3(c);
  });
  const inverseSpeed = ladder.speed.map((v) => 1 / v);
  const constant = settings.turnSteps === 0;
  const lanes = constant ? turns : 1;
  const laneOf = (turn: number): number => (constant ? turn : 0);
  // Every other place of a full circle is within reach of half a round of steps: no turn twice.
  const reach = Math.min(settings.turnSteps, (turns - 1) >> 1);

  let cost = new Float64Array(nodes);
  let after = new Float64Array(nodes);
  let lost = new Float64Array(lanes);
  let lostAfter = new Float64Array(lanes);
  const back = new Int32Array(lanes);
  const valid = new Uint8Array(nodes);
  const price = new Float64Array(nodes);
  const pointer = nodes + lanes < 65536 ? new Uint16Array(m * (nodes + lanes)) : new Uint32Array(m * (nodes + lanes));
  const shift = new Int32Array(1);

  for (let i = 0; i < m; i++) {
    if ((i & 7) === 0) await task.pause('searching for postures', i / m);
    const row = i * turns * branches;
    const gate = gates.find((candidate) => candidate.row === i);
    for (let p = 0; p < turns * branches; p++)
      markRounds(ladder, rounds, axes * (row + p), settings, valid, price, p * W);
    if (gate) for (let x = 0; x < nodes; x++) valid[x] &= gate.open[x];
    const at = i * (nodes + lanes);
    if (i === 0) {
      for (let x = 0; x < nodes; x++) after[x] = valid[x] ? 0 : Number.POSITIVE_INFINITY;
      lostAfter.fill(gate ? Number.POSITIVE_INFINITY : LOST_ROW);
    } else {
      const time = (s[i] - s[i - 1]) / settings.speed;
      // Out of nowhere, at no more than the time: the row left out has been paid for.
      for (let p = 0; p < turns * branches; p++) {
        const lane = laneOf(Math.floor(p / branches));
        for (let x = p * W; x < (p + 1) * W; x++) {
          after[x] = valid[x] ? lost[lane] + time : Number.POSITIVE_INFINITY;
          pointer[at + x] = nodes + lane;
        }
      }
      lostAfter.fill(Number.POSITIVE_INFINITY);
      for (let lane = 0; lane < lanes; lane++) {
        lostAfter[lane] = lost[lane];
        back[lane] = nodes + lane;
      }
      for (let t = 0; t < turns; t++) {
        const lane = laneOf(t);
        for (let b = 0; b < branches; b++) {
          const from = (t * branches + b) * W;
          let least = Number.POSITIVE_INFINITY;
          for (let w = 0; w < W; w++) {
            if (cost[from + w] < lostAfter[lane]) {
              lostAfter[lane] = cost[from + w];
              back[lane] = from + w;
            }
            least = Math.min(least, cost[from + w]);
          }
          if (least === Number.POSITIVE_INFINITY) continue;
          const a = axes * (row - turns * branches + t * branches + b);
          for (let d = -reach; d <= reach; d++) {
            const t2 = (t + d + turns) % turns;
            for (let b2 = 0; b2 < branches; b2++) {
              if (passes[branches * b + b2] === 0) continue;
              const c = stepCost(
                ladder,
                a,
                axes * (row + t2 * branches + b2),
                time,
                settings,
                inverseSpeed,
                roundPlace,
                shift,
              );
              if (c === Number.POSITIVE_INFINITY) continue;
              const to = (t2 * branches + b2) * W;
              const code = shift[0] * W;
              for (let w = 0; w < W; w++) {
                const w2 = table[code + w];
                if (w2 < 0 || valid[to + w2] === 0) continue;
                const total = cost[from + w] + c;
                if (total < after[to + w2]) {
                  after[to + w2] = total;
                  pointer[at + to + w2] = from + w;
                }
              }
            }
          }
        }
      }
      for (let lane = 0; lane < lanes; lane++) {
        lostAfter[lane] += gate ? Number.POSITIVE_INFINITY : LOST_ROW + time;
        pointer[at + nodes + lane] = back[lane];
      }
    }
    // The time that a row stands for: half of the step to it and half of the one after.
    const share = (s[Math.min(i + 1, m - 1)] - s[Math.max(i - 1, 0)]) / (2 * settings.speed);
    for (let x = 0; x < nodes; x++) after[x] += share * price[x];
    [cost, after] = [after, cost];
    [lost, lostAfter] = [lostAfter, lost];
  }
  return readBack(cost, lost, pointer, m, nodes);
}

/** Follows the back-pointers from the cheapest end. */
function readBack(
  cost: Float64Array,
  lost: Float64Array,
  pointer: Uint16Array | Uint32Array,
  m: number,
  nodes: number,
): LadderPath {
  let end = -1;
  let least = Number.POSITIVE_INFINITY;
  for (let x = 0; x < cost.length + lost.length; x++) {
    const c = x < nodes ? cost[x] : lost[x - nodes];
    if (c < least) {
      least = c;
      end = x;
    }
  }
  const node = new Int32Array(m).fill(-1);
  const stride = nodes + lost.length;
  for (let i = m - 1, x = end; i >= 0 && x >= 0; i--) {
    node[i] = x < nodes ? x : -1;
    x = i > 0 ? pointer[i * stride + x] : -1;
  }
  return { cost: least, node };
}
