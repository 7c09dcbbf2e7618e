// The search against brute force over everything that a path could be, with absolute angles and no wrapping.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Ladder } from '../../src/arm/build-ladder.ts';
import { closeSeam } from '../../src/arm/close-seam.ts';
import { LOST_ROW, roundsOf, type SearchSettings, searchPosture } from '../../src/arm/search-posture.ts';
import { idleTask } from './synthetic-path.ts';

const TWO_PI = 2 * Math.PI;
const settings = { turnSteps: 0, speed: 10, smoothness: 0.1, jump: 2.2, limitZone: 0.8, limitWeight: 0.7 };

interface Small {
  readonly ladder: Ladder;
  readonly steps: number;
}

/** A small ladder with random postures: axis 1 within one turn, axis 2 within two and a half. */
const small = (rows: number): fc.Arbitrary<Small> =>
  fc
    .record({
      turns: fc.constantFrom(1, 3, 4),
      steps: fc.constantFrom(0, 1),
      winds: fc.boolean(),
      angles: fc.array(fc.double({ min: 0, max: 1, noNaN: true }), {
        minLength: rows * 4 * 2 * 2,
        maxLength: rows * 4 * 2 * 2,
      }),
      gaps: fc.array(fc.integer({ min: 0, max: 5 }), { minLength: rows * 4 * 2, maxLength: rows * 4 * 2 }),
      ds: fc.array(fc.double({ min: 0.5, max: 8, noNaN: true }), { minLength: rows, maxLength: rows }),
    })
    .map(({ turns, steps, winds, angles, gaps, ds }) => {
      const min = Float64Array.of(-3, -2.5 * Math.PI);
      const max = Float64Array.of(3, 2.5 * Math.PI);
      const angle = new Float32Array(rows * turns * 2 * 2);
      for (let k = 0; k < angle.length; k += 2) {
        angle[k] = -3 + 6 * angles[k];
        // Where it winds, axis 2 goes a third of a round a row.
        const share = winds ? 0.05 * angles[k + 1] + Math.floor(k / (turns * 2 * 2)) / 3 : angles[k + 1];
        angle[k + 1] = min[1] + TWO_PI * (share - Math.floor(share)) * 0.999;
        if (gaps[k / 2] === 0) angle[k] = angle[k + 1] = Number.NaN;
      }
      let arc = 0;
      const s = Float64Array.from(ds, (d) => (arc += d));
      const turn = Float64Array.from({ length: turns }, (_, t) => (TWO_PI * t) / turns);
      const speed = Float64Array.of(1.5, 3);
      const passes = Uint8Array.of(1, 1, 0, 1);
      return { ladder: { rows, turns, branches: 2, axes: 2, s, turn, angle, min, max, speed, passes }, steps };
    });

interface Stand {
  readonly turn: number;
  readonly branch: number;
  readonly q: readonly number[];
}

/** Every posture of a row with every lift of axis 2 that its limits allow. */
function stands(ladder: Ladder, row: number): Stand[] {
  const list: Stand[] = [];
  for (let turn = 0; turn < ladder.turns; turn++) {
    for (let branch = 0; branch < 2; branch++) {
      const k = 2 * ((row * ladder.turns + turn) * 2 + branch);
      if (Number.isNaN(ladder.angle[k])) continue;
      for (let q2 = ladder.angle[k + 1]; q2 <= ladder.max[1] + 1e-6; q2 += TWO_PI) {
        list.push({ turn, branch, q: [ladder.angle[k], q2] });
      }
    }
  }
  return list;
}

function edge(ladder: Ladder, a: Stand, b: Stand, time: number, s: SearchSettings): number {
  const apart = Math.abs(a.turn - b.turn);
  if (Math.min(apart, ladder.turns - apart) > s.turnSteps) return Number.POSITIVE_INFINITY;
  if (ladder.passes[2 * a.branch + b.branch] === 0) return Number.POSITIVE_INFINITY;
  const shares = a.q.map((x, j) => Math.abs(b.q[j] - x) / ladder.speed[j]);
  if (a.q.some((x, j) => Math.abs(b.q[j] - x) > s.jump)) return Number.POSITIVE_INFINITY;
  return Math.max(time, ...shares) + (s.smoothness * (shares[0] ** 2 + shares[1] ** 2)) / time;
}

/** What standing near limits costs. */
function nearLimits(ladder: Ladder, { q }: Stand, time: number, s: SearchSettings): number {
  const shares = q.map((x, j) => Math.max(0, 1 - Math.min(x - ladder.min[j], ladder.max[j] - x) / s.limitZone));
  return time * s.limitWeight * shares.reduce((sum, share) => sum + share ** 2, 0);
}

/** Cheapest cost over all sequences; `closed` 1: last as first, 2: so but for whole turns. A left-out row keeps the turn if it is constant. */
function bruteForce(ladder: Ladder, s: SearchSettings, closed: 0 | 1 | 2 = 0): number {
  const rows = Array.from({ length: ladder.rows }, (_, i) => stands(ladder, i));
  let best = Number.POSITIVE_INFINITY;
  const walk = (i: number, cost: number, at: Stand | null, lane: number, first: Stand | null): void => {
    if (cost >= best) return;
    if (i === ladder.rows) {
      if (closed > 0) {
        if (at === null || first === null || at.turn !== first.turn || at.branch !== first.branch) return;
        if (closed === 1 && Math.abs(at.q[1] - first.q[1]) > 1) return;
      }
      best = cost;
      return;
    }
    const time = i === 0 ? 0 : (ladder.s[i] - ladder.s[i - 1]) / s.speed;
    for (const next of rows[i]) {
      if (lane >= 0 && next.turn !== lane) continue;
      const step = i === 0 ? 0 : at === null ? time : edge(ladder, at, next, time, s);
      // A row stands for half of the steps beside it.
      const stood = (ladder.s[Math.min(i + 1, ladder.rows - 1)] - ladder.s[Math.max(i - 1, 0)]) / 2 / s.speed;
      walk(
        i + 1,
        cost + step + nearLimits(ladder, next, stood, s),
        next,
        s.turnSteps === 0 ? next.turn : -1,
        i === 0 ? next : first,
      );
    }
    if (closed > 0) return;
    const lanes = s.turnSteps === 0 && lane < 0 ? Array.from({ length: ladder.turns }, (_, t) => t) : [lane];
    for (const l of lanes) walk(i + 1, cost + LOST_ROW + time, null, l, first);
  };
  walk(0, 0, null, -1, null);
  return best;
}

describe('the search for postures', () => {
  it('costs what the cheapest of all sequences costs (seed 20)', async () => {
    let kinds = [0, 0];
    await fc.assert(
      fc.asyncProperty(small(4), async ({ ladder, steps }) => {
        const s = { ...settings, turnSteps: steps };
        const found = await searchPosture(ladder, s, [], idleTask);
        const expected = bruteForce(ladder, s);
        kinds = [kinds[0] + (expected < LOST_ROW ? 1 : 0), kinds[1] + (expected >= LOST_ROW ? 1 : 0)];
        // Sums of at most four numbers, the largest 4e6.
        expect(Math.abs(found.cost - expected)).toBeLessThan(1e-6);
        expect(found.node.filter((x) => x < 0)).toHaveLength(Math.floor(expected / LOST_ROW + 1e-3));
      }),
      { seed: 20, numRuns: 300 },
    );
    expect(Math.min(...kinds)).toBeGreaterThan(20);
  });

  it('closes a round at the cost of the cheapest of all that close, or says which way none does (seed 21)', async () => {
    const kinds = new Map<string, number>();
    await fc.assert(
      fc.asyncProperty(small(4), async ({ ladder, steps }) => {
        const s = { ...settings, turnSteps: steps, gap: 0, searches: 10_000 };
        // The same station: the same postures.
        ladder.angle.copyWithin((3 * ladder.angle.length) / 4, 0, ladder.angle.length / 4);
        const found = await closeSeam(ladder, { from: 0, to: 3 }, s, idleTask);
        kinds.set(found.closure, (kinds.get(found.closure) ?? 0) + 1);
        const same = bruteForce(ladder, s, 1);
        const turns = bruteForce(ladder, s, 2);
        const expected = same < LOST_ROW ? same : turns < LOST_ROW ? turns : bruteForce(ladder, s);
        expect(found.closure).toBe(same < LOST_ROW ? 'same' : turns < LOST_ROW ? 'turns' : 'other');
        expect(Math.abs(found.cost - expected)).toBeLessThan(1e-6);
        expect(found.gap).toBe(0);
        const rounds = roundsOf(ladder).count;
        if (found.closure === 'same') expect(found.node[3]).toBe(found.node[0]);
        if (found.closure === 'turns') {
          expect(found.node[3]).not.toBe(found.node[0]);
          expect(Math.floor(found.node[3] / rounds)).toBe(Math.floor(found.node[0] / rounds));
        }
      }),
      { seed: 21, numRuns: 300 },
    );
    for (const kind of ['same', 'turns', 'other']) expect(kinds.get(kind) ?? 0, kind).toBeGreaterThan(5);
  });

  it('finds the same cost when the turns begin elsewhere on the circle, and on the way back (seed 22)', async () => {
    await fc.assert(
      fc.asyncProperty(small(5), async ({ ladder, steps }) => {
        const s = { ...settings, turnSteps: steps };
        const { cost } = await searchPosture(ladder, s, [], idleTask);
        const size = 2 * 2 * ladder.turns;
        const block = (i: number): Float32Array => ladder.angle.slice(i * size, (i + 1) * size);
        const shifted = Float32Array.from(
          Array.from({ length: 5 }, (_, i) => [...block(i).slice(4), ...block(i).slice(0, 4)]).flat(),
        );
        const reversed = Float32Array.from(Array.from({ length: 5 }, (_, i) => [...block(4 - i)]).flat());
        const all = Uint8Array.of(1, 1, 1, 1);
        const backward = {
          ...ladder,
          angle: reversed,
          s: ladder.s.map((_, i) => ladder.s[4] - ladder.s[4 - i]),
          passes: all,
        };
        const forward = await searchPosture({ ...ladder, passes: all }, s, [], idleTask);
        expect(
          Math.abs((await searchPosture({ ...ladder, angle: shifted }, s, [], idleTask)).cost - cost),
        ).toBeLessThan(1e-6);
        const back = await searchPosture(backward, s, [], idleTask);
        const atEnd = (path: { node: Int32Array }, i: number): number => (path.node[i] < 0 ? 1 : 0);
        // A left-out first row costs no travelling time: compare without the ends that differ so.
        if (atEnd(forward, 0) + atEnd(forward, 4) + atEnd(back, 0) + atEnd(back, 4) === 0) {
          expect(Math.abs(back.cost - forward.cost)).toBeLessThan(1e-6);
        }
      }),
      { seed: 22, numRuns: 150 },
    );
  });
});
