import { describe, expect, it } from 'vitest';
import { jobFileSchema } from '../../src/model/job-file.ts';
import { planJson } from '../../src/output/plan-json.ts';
import { saddlePlan } from './saddle-plan.ts';

const plan = saddlePlan();
const text = planJson(plan);
const read = JSON.parse(text);
const [{ path, aim, timing }] = plan.seams;

describe('plan.json', () => {
  it('says which program made it from which files, and warns', () => {
    expect(read.format).toBe('raythread-plan/1');
    expect(read.program).toEqual({ name: 'raythread', version: plan.version });
    expect(read.inputs).toEqual([
      { file: 'saddle.step', sha256: 'ab'.repeat(32), bytes: 1234 },
      { file: 'clamp.stl', sha256: 'cd'.repeat(32), bytes: 1234 },
    ]);
    expect(read.caution.join(' ')).toMatch(/not a release/);
  });

  it('holds the job as it was written: it can be planned again from it', () => {
    expect(jobFileSchema.parse(read.job)).toEqual(plan.jobFile);
  });

  it('holds every finding with its stretch', () => {
    expect(read.blocked).toBe(true);
    expect(read.findings).toHaveLength(plan.findings.length);
    expect(read.findings[0]).toMatchObject({ code: 'unit-doubtful', severity: 'notes', from_mm: null, to_mm: null });
    expect(read.findings[1]).toMatchObject({ code: 'layer-thick', from_mm: 50, to_mm: 80.5, value: 3.2, limit: 3 });
  });

  it('holds all arrays, rounded, with null for the unknown', () => {
    const [seam] = read.seams;
    const { count } = path;
    for (const [key, values] of Object.entries(seam.stations)) {
      if (key === 'count') continue;
      expect([count, 3 * count, 4 * count]).toContain((values as number[]).length);
    }
    for (const [key, values] of Object.entries(seam.rows)) {
      if (Array.isArray(values) && key !== 'phases' && key !== 'bounds') expect(values).toHaveLength(path.rows.count);
    }
    const unknown = Math.floor(0.4 * count);
    expect(seam.stations.layer_mm[unknown]).toBeNull();
    expect(seam.stations.joint_mm[3 * 17 + 1]).toBe(Number(path.position[3 * 17 + 1].toFixed(5)));
    expect(seam.stations.clipped_by).toContain(-1);
    expect(seam.stations.clipped_by).toContain(2);
    expect(seam.rows.phases[seam.rows.phase[0]]).toBe('run-in');
    expect(seam.rows.power_W[100]).toBe(Number(timing.power[100].toFixed(5)));
    expect(seam.rows.arriving_power_W[100]).toBe(Number(timing.arrivingPower[100].toFixed(5)));
    expect(seam.rows.arriving_deviation[0]).toBeNull();
    expect(seam.arrival).toEqual({
      outside_band_mm: 12,
      worst_pct: -30,
      best_lead_ms: 34,
      outside_band_at_best_lead_mm: 1.5,
      worst_at_best_lead_pct: 12,
    });
    expect(seam.cycle_s.total).toBeCloseTo(timing.cycle.total, 6);
    expect(seam.stations.frame).toHaveLength(aim.frame.length);
    expect(seam.curve[0].coefficient[0]).toBe(0.333333333333);
  });

  it('writes the units of files', () => {
    expect(read.optics.wavelength_nm).toBe(980);
    expect(read.materials.map((m: { id: string }) => m.id)).toEqual(['own-black', 'own-clear']);
    expect(read.parts[0].angular_deflection_deg).toBeCloseTo(5.7296, 4);
    expect(text).not.toMatch(/NaN|Infinity|undefined|-0[,\]\s]/);
  });
});
