// heat.glb by the validator of the standard's own makers, and against the plan that it shows; the picture of the window.
import { validateBytes } from 'gltf-validator';
import { describe, expect, test } from 'vitest';
import { processWindow, type WindowCase } from '../../src/heat/process-window.ts';
import { heatGlb } from '../../src/output/heat-glb.ts';
import { processWindowSvg } from '../../src/output/picture/process-window-svg.ts';
import type { Plan } from '../../src/planner/plan.ts';
import { computeHeat } from '../../src/heat/compute-heat.ts';
import { SETTINGS } from '../heat/heat-case.ts';
import { LIMITS, medium } from '../heat/known-media.ts';
import { saddlePlan } from './saddle-plan.ts';

const cold = saddlePlan(261);
const [seam] = cold.seams;
const heat = await computeHeat(seam.path, seam.aim, seam.timing, { ...SETTINGS, profile: 'gaussian' });
const plan: Plan = { ...cold, seams: [{ ...seam, heat }] };
const bytes = heatGlb(plan) ?? new Uint8Array();

const view = new DataView(bytes.buffer, bytes.byteOffset);
const jsonLength = view.getUint32(12, true);
const gltf = JSON.parse(new TextDecoder().decode(bytes.subarray(20, 20 + jsonLength)));

function floats(accessor: number): Float32Array {
  const { bufferView, count } = gltf.accessors[accessor];
  const start = 28 + jsonLength + gltf.bufferViews[bufferView].byteOffset;
  return new Float32Array(bytes.slice(start, start + 12 * count).buffer);
}

describe('heat.glb', () => {
  // Source: glTF 2.0 (ISO/IEC 12113), by its official validator.
  test('has no error, warning or hint', async () => {
    const report = await validateBytes(bytes);
    expect(report.issues).toMatchObject({ numErrors: 0, numWarnings: 0, numInfos: 0, numHints: 0 });
    expect(report.info.version).toBe('2.0');
  });

  test('is left out where no heat is known', () => {
    expect(heatGlb(cold)).toBeNull();
  });

  test('says quantity, unit and range in the names and extras of its ribbons, one scene each', () => {
    expect(gltf.scenes.map((scene: { name: string }) => scene.name)).toEqual([
      'fluence',
      'peak temperature of the bond plane',
      'highest temperature below the joint',
    ]);
    const ribbons = gltf.nodes.filter((node: { extras: { unit?: string } }) => node.extras.unit !== undefined);
    expect(ribbons).toHaveLength(3);
    const { extras, name } = ribbons[1];
    const known = heat.peak.filter(Number.isFinite);
    expect(extras.low).toBeCloseTo(
      known.reduce((a, b) => Math.min(a, b)),
      9,
    );
    expect(extras.high).toBeCloseTo(
      known.reduce((a, b) => Math.max(a, b)),
      9,
    );
    expect(extras).toMatchObject({ unit: 'Cel', seam: 'rim outer', colours: 'cividis' });
    expect(name).toContain(`${extras.low.toFixed(0)} to ${extras.high.toFixed(0)} Cel`);
  });

  test('stands in metres, y up, 0.05 mm above the joint; bodies clear, tooling left out', () => {
    const node = gltf.nodes.find((each: { extras: { quantity?: string } }) => each.extras.quantity === 'fluence');
    const points = floats(gltf.meshes[node.mesh].primitives[0].attributes.POSITION);
    for (const i of [0, 100, 200]) {
      const [k, j] = [i * heat.across + 20, 3 * i];
      const lifted = [0, 1, 2].map((axis) => heat.position[3 * k + axis] + 0.05 * seam.path.normal[j + axis]);
      expect(points[3 * k]).toBeCloseTo(lifted[0] / 1000, 6);
      expect(points[3 * k + 1]).toBeCloseTo(lifted[2] / 1000, 6);
      expect(points[3 * k + 2]).toBeCloseTo(-lifted[1] / 1000, 6);
    }
    const parts = gltf.nodes.filter((each: { extras: { role?: string } }) => each.extras.role !== undefined);
    expect(parts.map((each: { extras: { role: string } }) => each.extras.role).sort()).toEqual([
      'absorbing',
      'transmissive',
    ]);
    expect(gltf.materials[0].alphaMode).toBe('BLEND');
  });
});

describe('process-window.svg', () => {
  const of: WindowCase = {
    profile: 'gaussian',
    along: 1,
    across: 1,
    medium: medium(10),
    limits: LIMITS,
    kinetics: { rate: 1.9e18, energy: 2.95e5 },
    transmitted: 0.9,
    powerMin: 2,
    powerMax: 60,
    width: 1.2,
    left: 2,
    right: 2,
    preheat: () => 0,
  };

  test('draws every border within the plot, the plan and both line energies', async () => {
    const window = await processWindow(of, 40, 0.4);
    const svg = processWindowSvg(window, 'seam rim & co');
    for (const words of [
      'spoils',
      'melts 1.2 mm',
      'begins to melt',
      '1 % lost',
      'J/mm incident',
      '0.444 J/mm',
      'rim &amp; co',
    ]) {
      expect(svg).toContain(words);
    }
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    // The plan stands between melting and spoiling there, as its margins say.
    const middle = (window.speeds.length - 1) / 2;
    expect(window.plan.overMelting).toBeCloseTo(0.4 / window.melts[middle] - 1, 9);
    expect(window.plan.underSpoiling).toBeCloseTo(window.spoils[middle] / 0.4 - 1, 9);
  });
});
