import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lanesOf, placeLanes } from '../../../src/app/strip/lanes.ts';
import { trackRoom } from '../../../src/app/strip/strip-scale.ts';
import { findingStretches, lastWelded, phaseStretches } from '../../../src/app/strip/stretches.ts';
import { roundStep, timeTicks } from '../../../src/app/strip/time-ticks.ts';
import type { Finding } from '../../../src/model/finding.ts';
import { circleSeam } from '../stage/a-seam.ts';

const seam = circleSeam({ radius: 50 / Math.PI, rows: 100, width: 2 }); // 100 mm long, rows 1 mm apart, 3 rows of overlap
const finding = (from: number, to: number): Finding => ({
  code: 'layer-thick',
  severity: 'blocks',
  seam: 'circle',
  from,
  to,
  at: from,
  value: 4,
  limit: 3,
  unit: 'mm',
  sentence: '',
  remedy: '',
});
const rounded = (stretches: readonly { from: number; to: number }[]) =>
  stretches.map(({ from, to }) => [Number(from.toFixed(6)), Number(to.toFixed(6))]);

describe('stretches of the strip', () => {
  it('shows a stretch once where it is welded once', () => {
    expect(rounded(findingStretches(finding(20, 30), seam))).toEqual([[20, 30]]);
  });

  it('shows the start again where the overlap welds it again', () => {
    expect(Number(lastWelded(seam).toFixed(6))).toBe(102);
    expect(rounded(findingStretches(finding(0.5, 1), seam))).toEqual([
      [0.5, 1],
      [100.5, 101],
    ]);
  });

  it('wraps a stretch that crosses the start', () => {
    expect(rounded(findingStretches(finding(95, 105), seam))).toEqual([
      [0, 5],
      [95, 103],
    ]);
  });

  it('has none for another seam or a finding without a place', () => {
    expect(findingStretches({ ...finding(1, 2), seam: 'other' }, seam)).toEqual([]);
    expect(findingStretches(finding(Number.NaN, Number.NaN), seam)).toEqual([]);
  });

  it('lays the phases end to end', () => {
    const phases = phaseStretches(seam);
    expect(phases.map(({ phase }) => phase)).toEqual(['run-in', 'weld', 'overlap', 'run-out']);
    for (let k = 1; k < phases.length; k++) expect(phases[k].from).toBe(phases[k - 1].to);
  });

  it('puts bars that meet into different lanes, and no more lanes than meet at once, seed 51', () => {
    const bar = fc
      .tuple(fc.integer({ min: 0, max: 90 }), fc.integer({ min: 0, max: 20 }))
      .map(([from, long]) => ({ from, to: from + long, severity: 'warns' as const }));
    fc.assert(
      fc.property(fc.array(bar, { maxLength: 14 }), (bars) => {
        const room = 4;
        const lanes = lanesOf(bars, room);
        const taken = bars.map(({ from, to }) => ({ from, to: Math.max(to, from + room) }));
        const meet = (a: number, b: number) => taken[a].from < taken[b].to && taken[b].from < taken[a].to;
        for (let a = 0; a < bars.length; a++) {
          for (let b = a + 1; b < bars.length; b++) if (lanes[a] === lanes[b]) expect(meet(a, b)).toBe(false);
        }
        const most = Math.max(0, ...taken.map(({ from }) => taken.filter((t) => t.from <= from && from < t.to).length));
        expect(Math.max(-1, ...lanes) + 1).toBeLessThanOrEqual(Math.max(1, most));
      }),
      { seed: 51 },
    );
  });
});

describe('the scale of time', () => {
  it('stands where the spot is then: 10 mm/s from -1 mm', () => {
    for (const { s, text } of timeTicks(seam.s, seam.time, 10)) expect(s).toBeCloseTo(10 * Number(text) - 1, 9);
  });

  it('steps by 1, 2 or 5 times a power of ten, not below what is asked for, seed 52', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.02, max: 5000, noNaN: true }), (least) => {
        const step = roundStep(least);
        expect(step).toBeGreaterThanOrEqual(least);
        expect(step === 0.1 || step / least <= 2.5 + 1e-9).toBe(true);
        expect(Number(step.toPrecision(1))).toBe(step);
        expect(['1', '2', '5']).toContain(step.toExponential().charAt(0));
      }),
      { seed: 52 },
    );
  });

  it('says nothing where the time is not known', () => {
    expect(timeTicks([0, 1], [0, Number.NaN], 5)).toEqual([]);
  });
});

describe('lanes and tracks where room is scarce', () => {
  const bar = (index: number, severity: 'blocks' | 'warns' | 'notes', from: number, to: number) => ({
    index,
    severity,
    from,
    to,
    code: 'layer-thick',
  });
  const same = (s: number): number => s;

  it('places the gravest first and counts findings, not bars, that are left out', () => {
    const bars = [
      bar(0, 'notes', 0, 100),
      bar(1, 'warns', 10, 60),
      bar(2, 'warns', 20, 50),
      bar(3, 'blocks', 30, 40),
      bar(0, 'notes', 110, 118),
    ];
    const { placed, count, more } = placeLanes(bars, same);
    expect(placed.map((one) => [one.bar.index, one.lane])).toEqual([
      [1, 1],
      [3, 0],
      [0, 0],
    ]);
    expect([count, more]).toEqual([2, 1]);
  });

  it('never hides what blocks, however much stands at one place, seed 53', () => {
    const severity = fc.constantFrom('blocks' as const, 'warns' as const, 'notes' as const);
    const place = fc.tuple(severity, fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 60 }));
    fc.assert(
      fc.property(fc.array(place, { maxLength: 12 }), (places) => {
        const bars = places.map(([grave, from, long], index) => bar(index, grave, from, from + long));
        const shown = placeLanes(bars, same).placed.map((one) => one.bar.index);
        for (const { index, severity: grave } of bars) if (grave === 'blocks') expect(shown).toContain(index);
      }),
      { seed: 53 },
    );
  });

  it('shows a whole number of tracks, and what is left over is less than one of them', () => {
    for (const room of [20, 46, 100, 237, 321, 600, 2000]) {
      const { tall, whole, spare } = trackRoom(room, 10);
      expect(tall).toBeGreaterThanOrEqual(46);
      expect(spare).toBeLessThan(whole);
      if (whole < 10 && room >= 46) expect(whole * tall + spare).toBe(room);
    }
    expect(trackRoom(2000, 10)).toEqual({ tall: 110, whole: 10, spare: 0 });
  });
});
