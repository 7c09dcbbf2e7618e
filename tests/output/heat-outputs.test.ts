// What the outputs say of the heat: the table, plan.json, the pictures; and nothing where it is not known.
import Papa from 'papaparse';
import { describe, expect, test } from 'vitest';
import { computeHeat } from '../../src/heat/compute-heat.ts';
import { edgeRatio } from '../../src/heat/edge-ratio.ts';
import { processWindow } from '../../src/heat/process-window.ts';
import { processWindowSvg } from '../../src/output/picture/process-window-svg.ts';
import { renderOutputs } from '../../src/output/render-outputs.ts';
import { summarise } from '../../src/output/summary.ts';
import type { Plan } from '../../src/planner/plan.ts';
import { SETTINGS } from '../heat/heat-case.ts';
import { LIMITS, medium } from '../heat/known-media.ts';
import { saddlePlan } from './saddle-plan.ts';

const cold = saddlePlan(261);
const [bare] = cold.seams;
const aim = { ...bare.aim, borderLeft: bare.aim.borderLeft.map(() => 1.5) };
const settings = { ...SETTINGS, profile: 'gaussian' as const };
const heat = await computeHeat(bare.path, aim, bare.timing, settings);
const ratio = edgeRatio(bare.path, heat, aim.spotAcross, 1.6);
const preheat = { rise: 30, energyRatio: 0.85, speedWithout: 40, speedWith: 50, cycleWithout: 9, cycleWith: 7.5 };
const window = await processWindow(
  {
    profile: 'gaussian',
    along: 1,
    across: 1,
    medium: medium(10),
    limits: LIMITS,
    kinetics: null,
    transmitted: 0.9,
    powerMin: 2,
    powerMax: 60,
    width: 1.2,
    left: 2,
    right: 2,
    preheat: () => 0,
  },
  50,
  0.35,
);
const plan: Plan = { ...cold, seams: [{ ...bare, aim, heat, window, preheat, edgeRatio: ratio }] };
const fileOf = (of: Plan, name: string) => String(renderOutputs(of).find((file) => file.name === name)?.content ?? '');
const json = JSON.parse(fileOf(plan, 'plan.json')).seams[0];

describe('plan.json', () => {
  test('holds the ribbon, null off the joint face', () => {
    const { ribbon } = json.heat;
    const size = heat.count * heat.across;
    expect(ribbon.across_mm).toHaveLength(heat.across);
    for (const key of ['fluence_J_mm2', 'peak_C', 'hottest_C', 'above_melt_s']) expect(ribbon[key]).toHaveLength(size);
    // The face reaches 1.5 mm to either side, the ribbon two spot radii.
    expect(ribbon.peak_C[0]).toBeNull();
    const k = 100 * heat.across + 20;
    expect(ribbon.peak_C[k]).toBe(Number(heat.peak[k].toFixed(1)));
    expect(ribbon.fluence_J_mm2[k]).toBe(Number(heat.fluence[k].toFixed(4)));
    expect(json.heat.on_ribbon_J / json.heat.delivered_J).toBeCloseTo(1, 1);
  });

  test('holds what each pass does to its rows, and the ratio of the edges', () => {
    const row = 60;
    expect(json.rows.peak_C[row]).toBe(Number(heat.rows.peak[row].toFixed(2)));
    expect(json.rows.weld_width_mm[row]).toBe(Number(heat.rows.width[row].toFixed(5)));
    expect(json.rows.peak_C[0]).toBeNull();
    expect(json.stations.edge_ratio[100]).toBe(Number(ratio[100].toFixed(6)));
  });

  test('holds the window and the preheat', () => {
    expect(json.process_window.width_mm).toHaveLength(window.speeds.length * window.energies.length);
    expect(json.process_window.plan.incident_J_mm).toBeCloseTo(0.35 / 0.9, 6);
    expect(json.process_window.borders_J_mm.hundredth_lost).toBeNull();
    expect(json.preheat).toMatchObject({ rise_K: 30, speed_with_mm_s: 50, cycle_without_s: 9 });
  });

  test('holds none of it where it is not known, but the ratio of the edges', () => {
    const [seam] = JSON.parse(fileOf(cold, 'plan.json')).seams;
    expect(seam).toMatchObject({ heat: null, process_window: null, preheat: null });
    expect(seam.rows.peak_C).toBeUndefined();
    expect(seam.stations.edge_ratio[100]).toBeCloseTo(bare.edgeRatio[100], 6);
  });
});

test('waypoints.csv holds the heat of each row, empty where the beam is off or nothing is known', () => {
  const rows = (of: Plan) =>
    Papa.parse<Record<string, string>>(fileOf(of, 'waypoints.csv'), { header: true, skipEmptyLines: true }).data;
  const [hot] = [rows(plan)];
  expect(hot[60].peak_C).toBe(heat.rows.peak[60].toFixed(2));
  expect(hot[60].hottest_C).toBe(heat.rows.hottest[60].toFixed(2));
  expect(hot[60].weld_width_mm).toBe(heat.rows.width[60].toFixed(5));
  expect(hot[60].edge_ratio).toBe(ratio[bare.path.rows.station[60]].toFixed(6));
  expect([hot[0].peak_C, hot[0].fluence_J_mm2]).toEqual(['', '']);
  expect(rows(cold)[60].peak_C).toBe('');
});

test('the summary gives both line energies, and the span of the best of the passes', () => {
  const [seam] = summarise(plan).seams;
  const share = bare.aim.transmitted.reduce((least, value) => Math.min(least, value), 1);
  expect(seam.incident_J_mm?.[1]).toBeCloseTo((seam.line_energy_J_mm?.[1] ?? 0) / share, 3);
  const [low, high] = seam.heat?.peak_C ?? [0, 0];
  expect(low).toBeGreaterThan(23);
  expect(high).toBeCloseTo(Math.max(...heat.rows.peak.filter(Number.isFinite)), 9);
  expect(summarise(cold).seams[0].heat).toBeNull();
});

test('seam.svg draws fluence, temperatures and width with their limits only where they are known', () => {
  const words = ['Fluence', 'Temperature', 'Weld width', 'decomposes from 526', 'bonds from 230', 'Bond plane'];
  const [hot, bareText] = [fileOf(plan, 'seam.svg'), fileOf(cold, 'seam.svg')];
  for (const word of words) {
    expect(hot, word).toContain(word);
    expect(bareText, word).not.toContain(word);
  }
  for (const text of [hot, bareText]) expect(text).toContain('Across bends');
  expect(hot).not.toMatch(/NaN|Infinity|undefined/);
});

test('process-window.svg: every band of width lies above the one before, the border of the wanted width between its bands', () => {
  const svg = processWindowSvg(window, 'seam rim');
  const bands = [...svg.matchAll(/<path d="([^"]+)" fill="rgb/g)].map(([, d]) =>
    d
      .slice(1, -1)
      .split('L')
      .map((point) => point.split(',').map(Number)),
  );
  expect(bands.length).toBeGreaterThan(5);
  const middle = (window.speeds.length - 1) / 2;
  const heights = bands.map((points) => points[middle][1]);
  for (let k = 1; k < heights.length; k++) expect(heights[k]).toBeLessThanOrEqual(heights[k - 1]);
  // Wanted are 1.2 mm, and bands begin every 0.2 mm: the sixth begins at 1.2 (to 2 px of 394 for a factor of 12.5 in energy).
  const px = 490 - (394 * Math.log(window.melts[middle] / window.energies[0])) / Math.log(12.5);
  expect(Math.abs(heights[6] - px)).toBeLessThan(2);
  expect(svg).toContain('url(#beyond-heat)');
});
