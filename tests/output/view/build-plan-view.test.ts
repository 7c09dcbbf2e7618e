// What a screen gets is what the files say: columns against waypoints.csv, points against the plan, the arm against its tool.
import Papa from 'papaparse';
import { describe, expect, it, vi } from 'vitest';
import { flangeToTool } from '../../../src/arm/tool-path.ts';
import { decimalText } from '../../../src/output/decimal-text.ts';
import { buildPlanView } from '../../../src/output/view/build-plan-view.ts';
import { planBuffers } from '../../../src/output/view/view-buffers.ts';
import { waypointsCsv } from '../../../src/output/waypoints-csv.ts';
import type { Plan, SeamPlan } from '../../../src/planner/plan.ts';
import { planSample } from '../../planner/plan-sample.ts';
import { saddlePlan } from '../saddle-plan.ts';

// A pod takes 4 s to import on a quiet machine, and a posture search one more; a busy machine must not fail the tests.
vi.setConfig({ testTimeout: 240_000 });

const CENTRE = [1000.125, -2000.25, 300.5] as const;

/** One plan of two seams, so that rows of the file and of a seam differ. */
function twoSeams(): Plan {
  const plan = saddlePlan();
  const [seam] = plan.seams;
  const second: SeamPlan = { ...seam, seam: { ...seam.seam, name: 'again' } };
  return { ...plan, seams: [seam, second] };
}

describe('the view of a plan', () => {
  it('has every column of numbers of waypoints.csv, which is what it writes out rounded', () => {
    const plan = twoSeams();
    const view = buildPlanView(plan, CENTRE, true);
    const rows = Papa.parse<Record<string, string>>(waypointsCsv(plan), { header: true, skipEmptyLines: true }).data;
    const header = Object.keys(rows[0]).filter((name) => !['seam', 'phase', 'findings'].includes(name));
    let first = 0;
    for (const seam of view.seams) {
      expect(seam.columns.map(({ name }) => name)).toEqual(header);
      for (const { name, values, decimals } of seam.columns) {
        const written = Array.from(values, (value) => decimalText(value, decimals));
        expect(written).toEqual(rows.slice(first, first + seam.count).map((row) => row[name]));
      }
      first += seam.count;
    }
    expect(first).toBe(rows.length);
  });

  it('counts points from the centre, row by row', () => {
    const plan = saddlePlan();
    const [{ path, aim, timing }] = plan.seams;
    const [seam] = buildPlanView(plan, CENTRE, true).seams;
    expect(seam.count).toBe(path.rows.count);
    for (let row = 0; row < seam.count; row++) {
      const i = path.rows.station[row];
      for (let k = 0; k < 3; k++) {
        expect(seam.joint[3 * row + k]).toBe(Math.fround(path.position[3 * i + k] - CENTRE[k]));
        expect(seam.head[3 * row + k]).toBe(Math.fround(aim.head[3 * i + k] - CENTRE[k]));
        expect(seam.axis[3 * row + k]).toBe(Math.fround(aim.axis[3 * i + k]));
      }
      expect(seam.time[row]).toBe(timing.time[row]);
    }
  });

  it('can be handed away without harm to the plan', () => {
    const plan = saddlePlan();
    const before = waypointsCsv(plan);
    const view = buildPlanView(plan, CENTRE, true);
    const posted = structuredClone(view, { transfer: [...new Set(planBuffers(view))] as ArrayBuffer[] });
    expect(posted.seams[0].columns[4].values).toHaveLength(plan.seams[0].path.rows.count);
    expect(view.seams[0].columns[4].values).toHaveLength(0);
    expect(waypointsCsv(plan)).toBe(before);
    expect(buildPlanView(plan, CENTRE, true)).toEqual(posted);
  });

  it('has heat on its ribbon where the seam is, and the arm holding the tool at the tool centre point', async () => {
    const plan = await planSample('wave-pod-arm');
    const view = buildPlanView(plan, CENTRE, true);
    const [seam] = view.seams;
    const [{ heat, path }] = plan.seams;
    const { ribbon, arm } = seam;
    if (heat === null || ribbon === null || arm === null || plan.job.carrier === null)
      throw new Error('no heat, no arm');

    expect(ribbon.quantities.map(({ name }) => name)).toEqual([
      'ribbon_fluence',
      'ribbon_peak',
      'ribbon_hottest',
      'ribbon_above',
    ]);
    const highest = (values: Float64Array) => Math.max(...values.filter((value) => !Number.isNaN(value)));
    expect(highest(ribbon.quantities[1].values)).toBe(highest(heat.peak));
    expect(ribbon.position).toHaveLength(3 * path.count * ribbon.across);

    // The tool lies where the head's drawing puts it on the flange: its origin is the tool centre point of the row. 32-bit numbers
    // of up to 2500 mm are good to 2^-13 mm each, and a frame has three.
    const { translation: tool } = flangeToTool(plan.job.carrier.head, plan.job.seams[0].head.standoff);
    const at = (row: number, axis: number): number => {
      const f = 16 * (arm.links * row + arm.links - 1);
      const along = [0, 1, 2].reduce((sum, k) => sum + arm.frame[f + 4 * k + axis] * tool[k], 0);
      return along + arm.frame[f + 12 + axis];
    };
    for (let row = 0; row < seam.count; row += 7) {
      for (let axis = 0; axis < 3; axis++)
        expect(Math.abs(at(row, axis) - seam.tcp[3 * row + axis])).toBeLessThan(2e-3);
    }
    expect(arm.capsules.some(({ owner, link }) => owner === 'head' && link === arm.links - 1)).toBe(true);
  });
});
