import { describe, expect, it } from 'vitest';
import type { Finding } from '../../../src/model/finding.ts';
import { buildPlanView } from '../../../src/output/view/build-plan-view.ts';
import { compareViews } from '../../../src/output/view/compare-views.ts';
import type { PlanView } from '../../../src/output/view/plan-view.ts';
import { saddlePlan } from '../saddle-plan.ts';

const view = buildPlanView(saddlePlan(), [0, 0, 0], true);

const finding = (code: string, from: number, to: number, severity: Finding['severity'] = 'warns'): Finding => ({
  code,
  severity,
  seam: 'rim outer',
  from,
  to,
  at: from,
  value: 1,
  limit: 2,
  unit: 'mm',
  sentence: '',
  remedy: '',
});

const withFindings = (...findings: Finding[]): PlanView => ({ ...view, findings });

describe('two plans side by side', () => {
  it('do not differ from themselves', () => {
    const { seams, gone, come, seamsGone, seamsCome } = compareViews(view, view);
    expect([gone, come, seamsGone, seamsCome]).toEqual([[], [], [], []]);
    expect(seams[0].series.length).toBeGreaterThan(8);
    for (const { largest } of seams[0].series) expect(Number.isNaN(largest) ? 0 : largest).toBe(0);
  });

  it('differ where they do, by how much and where, also when their rows stand elsewhere', () => {
    // The layer of this plan is a known function of arc length only at its stations; a coarser plan of the same seam has other rows.
    const coarse = buildPlanView(saddlePlan(131), [0, 0, 0], true);
    const [{ series }] = compareViews(coarse, view).seams;
    const layer = series.find(({ track }) => track === 'Layer');
    if (layer === undefined) throw new Error('no track of the layer');
    const values = view.seams[0].tracks[0].series[0].values;
    const rows = Array.from(values.keys()).filter((row) => !Number.isNaN(layer.difference[row]));
    expect(rows.length).toBeGreaterThan(0.95 * view.seams[0].count);
    for (const row of rows) expect(layer.before[row] + layer.difference[row]).toBeCloseTo(values[row], 12);
    const worst = Math.max(...rows.map((row) => Math.abs(layer.difference[row])));
    expect(Math.abs(layer.largest)).toBe(worst);
    expect(layer.difference[Array.from(view.seams[0].s).indexOf(layer.at)]).toBe(layer.largest);
  });

  it('take findings for the same where code, seam and stretch meet; the graver ones come first', () => {
    const before = withFindings(finding('layer-thick', 0, 10), finding('speed-dip', 50, 60), finding('gap-wide', 5, 6));
    const after = withFindings(
      finding('layer-thick', 8, 20),
      finding('speed-dip', 70, 80),
      finding('beam-clipped', 1, 2, 'blocks'),
    );
    const { gone, come } = compareViews(before, after);
    expect(gone.map(({ code, from }) => [code, from])).toEqual([
      ['speed-dip', 50],
      ['gap-wide', 5],
    ]);
    expect(come.map(({ code, from }) => [code, from])).toEqual([
      ['beam-clipped', 1],
      ['speed-dip', 70],
    ]);
  });

  it('say which seams only one of them has', () => {
    const other = { ...view, seams: view.seams.map((seam) => ({ ...seam, name: 'rib' })) };
    expect(compareViews(view, other)).toMatchObject({ seams: [], seamsGone: ['rim outer'], seamsCome: ['rib'] });
  });
});
