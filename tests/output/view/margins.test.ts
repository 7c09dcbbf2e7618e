// Margins are what the findings say: one is negative exactly where its finding holds.
import { describe, expect, it, vi } from 'vitest';
import { codesAtRow } from '../../../src/output/findings-at-row.ts';
import { marginViews } from '../../../src/output/view/margins.ts';
import { planSample } from '../../planner/plan-sample.ts';

vi.setConfig({ testTimeout: 240_000 });

const FINDING: Readonly<Record<string, string>> = {
  margin_entry: 'incidence-entry',
  margin_joint: 'incidence-joint',
  margin_layer: 'layer-thick',
  margin_clipped: 'beam-clipped',
  margin_capture: 'capture',
  margin_onset: 'joint-cold',
  margin_decomposition: 'joint-spoilt',
};

describe('margins along a seam', () => {
  it('are negative exactly where the finding of that name holds, with the beam on and the seam complete', async () => {
    // A tilted head over a disc with too little energy: entry and joint angles over, the joint cold.
    const plan = await planSample('disc', (file) => ({
      ...file,
      head: { ...file.head, tilt_deg: 17 },
      limits: { ...file.limits, layer_mm: 2.01 },
      process: { ...file.process, line_energy_J_mm: 0.1 },
    }));
    const [seam] = plan.seams;
    const margins = marginViews(seam, plan.job);
    const codes = Array.from(seam.path.rows.s, (_, row) => new Set(codesAtRow(seam, row)));
    const seen = new Set<string>();
    for (const { name, values } of margins) {
      const code = FINDING[name];
      if (code === undefined) continue;
      values.forEach((value, row) => {
        const weld = seam.path.rows.phase[row] === 1 && seam.timing.beam[row] === 1 && seam.timing.ramp[row] === 1;
        if (!weld || Number.isNaN(value)) return;
        expect([name, row, value < 0]).toEqual([name, row, codes[row].has(code)]);
        if (value < 0) seen.add(code);
      });
    }
    expect([...seen].toSorted()).toEqual(['incidence-entry', 'incidence-joint', 'joint-cold', 'layer-thick']);
  });
});
