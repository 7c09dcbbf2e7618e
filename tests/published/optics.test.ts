// Optics of a beam through a plate against published formulas: section by section what a single surface, a plate, a
// measured transmittance and a caustic must give. Every value goes through the stage itself where it has one for it.
import { describe, expect, test } from 'vitest';
import { beamRadius, divergence, rayleighLength } from '../../src/beam/caustic.ts';
import { extinctionOf } from '../../src/beam/extinction.ts';
import { focusDepth } from '../../src/beam/focus-depth.ts';
import { normalReflectance, reflectance } from '../../src/beam/fresnel.ts';
import { createLightPath, settle } from '../../src/beam/light-path.ts';
import { createTraceRoom, traceBack } from '../../src/beam/trace-back.ts';
import { InputError } from '../../src/model/input-error.ts';
import { dotOf, inScene, lengthOf, meshOnly, noMesh, plus, slab } from '../beam/analytic-bodies.ts';
import { aim, aimJob, at, DEG, head, optics, plate, seamOn, stated, straight } from '../beam/known-paths.ts';

// Source: Born & Wolf, Principles of Optics, sec. 1.5; Hecht, Optics, ch. 4 (memory); numbers computed from them, and
// checked against field coefficients (1e-14) and a vector ray trace (1e-12).
// Columns: deg, Ts, Tp, T unpolarised, lateral displacement mm, offset on the exit face mm, way in the layer mm.
const SLOPED = [
  [0, 0.948786, 0.948786, 0.948786, 0, 0, 3],
  [10, 0.946778, 0.950759, 0.948769, 0.195306, 0.330662, 3.018168],
  [20, 0.940257, 0.956723, 0.94849, 0.403067, 0.662976, 3.072383],
  [30, 0.927528, 0.966691, 0.947109, 0.636318, 0.997294, 3.161423],
  [40, 0.904972, 0.980116, 0.942544, 0.908759, 1.330998, 3.282005],
  [60, 0.794971, 0.999237, 0.897104, 1.619508, 1.957137, 3.581953],
  [80, 0.430488, 0.769508, 0.599998, 2.541331, 2.378906, 3.828732],
] as const;
// The table has six decimals.
const TABLE = 0.51e-6;

describe.each(SLOPED)(
  'from air into index 1.585 at %d deg, layer 3 mm',
  (deg, s, p, unpolarised, beside, offset, way) => {
    const path = straight(3);
    const job = (angle: number | null) =>
      stated(3, plate('layer', 1.585), { optics: optics({ polarisation: angle === null ? 'none' : { angle } }) });
    const tilted = head({ tilt: deg * DEG });

    test('shares of a single surface', () => {
      const out = new Float64Array(2);
      reflectance(Math.cos(deg * DEG), 1, 1.585, out);
      expect(Math.abs(1 - out[0] - s)).toBeLessThan(TABLE);
      expect(Math.abs(1 - out[1] - p)).toBeLessThan(TABLE);
    });

    // The head is tilted about the tangent, so the tangent (tool x) lies across the plane of incidence.
    test('transmitted share: unpolarised, field across, in, and half way to the plane of incidence', async () => {
      const shares = [null, 0, Math.PI / 2, Math.PI / 4];
      const expected = [unpolarised, s, p, (s + p) / 2];
      for (let i = 0; i < 4; i++) {
        const { transmitted } = await aim(path, tilted, [], job(shares[i]));
        expect(Math.abs(transmitted[1] - expected[i])).toBeLessThan(TABLE);
      }
    });

    test('displacement, offset, way, angles', async () => {
      const result = await aim(path, tilted, [], job(null));
      const entry = at(result.entry, 1);
      const axis = at(result.axis, 1);
      const toJoint = plus(at(path.position, 1), -1, entry);
      const off = plus(toJoint, -dotOf(toJoint, axis), axis);
      expect(Math.abs(lengthOf(off) - beside)).toBeLessThan(TABLE);
      expect(Math.abs(Math.hypot(toJoint[0], toJoint[1]) - offset)).toBeLessThan(TABLE);
      expect(Math.abs(result.layer[1] - way)).toBeLessThan(TABLE);
      expect(result.incidenceEntry[1]).toBeCloseTo(deg * DEG, 12);
      expect(Math.sin(result.incidenceJoint[1]) * 1.585).toBeCloseTo(Math.sin(deg * DEG), 12);
      // Tilt: footprint w / cos(incidence in air), also on a joint parallel to the entry surface.
      expect(result.spotAcross[1]).toBeCloseTo(0.5 / Math.cos(deg * DEG), 10);
      expect(result.spotAlong[1]).toBeCloseTo(0.5, 10);
    });
  },
);

// Source: as above (computed).
test('Brewster angle 57.75156 deg: all of p passes, 0.814618 of s', () => {
  const out = new Float64Array(2);
  reflectance(Math.cos(57.75156 * DEG), 1, 1.585, out);
  expect(out[1]).toBeLessThan(1e-12);
  expect(Math.abs(1 - out[0] - 0.814618)).toBeLessThan(TABLE);
});

// Source: as above (computed).
test.each([
  [1.49, 0.038725],
  [1.53, 0.043884],
  [1.57, 0.049191],
  [1.59, 0.051892],
])('reflectance of index %d at normal incidence', (index, r) => {
  expect(Math.abs(normalReflectance(1, index) - r)).toBeLessThan(TABLE);
});

// Source: Born & Wolf (memory), computed: shift of the focus behind a plate, d (1 - 1/n), and exact for one marginal ray.
test.each([
  [0.001, 1.107256],
  [10, 1.124722],
  [20, 1.178489],
])('a 3 mm plate of index 1.585 moves the focus of a cone of %d deg', (deg, shift) => {
  const way = createLightPath();
  const joint = new Float64Array(3);
  const up = Float64Array.of(0, 0, 1);
  const down = Float64Array.of(0, 0, -1);
  traceBack(
    way,
    joint,
    up,
    down,
    150,
    [],
    { thickness: 3, index: 1.585, extinction: 0, widening: 0 },
    createTraceRoom(),
  );
  settle(way, joint, (_, axis) => axis.set(down));
  const axes = Float64Array.of(1, 0, 0, 0, 1, 0);
  const depth = focusDepth(way, joint, Math.tan(deg * DEG), axes, new Float64Array(60));
  expect(Math.abs(3 - depth - shift)).toBeLessThan(TABLE);
});

// The same through the stage: the head stands back by what the layer moves the focus (cone of 0.76 deg: paraxial to 1e-4 mm).
test('the focus lands on the joint: tool centre point d / n below the entry, defocus beyond', async () => {
  const result = await aim(straight(3), head({ defocus: 2 }), [], stated(3, plate('layer', 1.585)));
  expect(Math.abs(result.focusShift[1] - 1.107256)).toBeLessThan(1e-4);
  expect(Math.abs(result.tcp[5] - (1.107256 - 2))).toBeLessThan(1e-4);
  expect(result.head[5] - result.tcp[5]).toBeCloseTo(150, 12);
});

// Source: incoherent multiple reflections in a plate, T = (1-R)^2 x / (1 - R^2 x^2) (Born & Wolf, memory; computed).
// Columns: n, mm, T, A exact, A of a single pass, share at an index-matched joint.
describe.each([
  [1.585, 3, 0.9, 0.000943, 0.000072, 0.946107],
  [1.585, 3, 0.5, 0.19627, 0.196001, 0.526564],
  [1.585, 3, 0.2, 0.501474, 0.501431, 0.210768],
  [1.53, 2, 0.8, 0.067431, 0.066695, 0.835489],
  [1.53, 2, 0.2, 0.759889, 0.759842, 0.20916],
])('index %d, %d mm, transmittance %d', (index, thickness, value, exact, single, share) => {
  test('extinction', () => {
    const extinction = extinctionOf(value, index, thickness, '');
    expect(Math.abs(extinction - exact)).toBeLessThan(TABLE);
    expect(Math.abs(extinction - single)).toBeGreaterThan(3e-5);
  });
  test('share that reaches the joint', async () => {
    const result = await aim(straight(3), head(), [], stated(thickness, plate('layer', index, { value, thickness })));
    expect(Math.abs(result.transmitted[1] - share)).toBeLessThan(TABLE);
    expect(result.delivered[1]).toBe(result.transmitted[1]);
  });
});

// Source: as above: no plate passes more than (1-R)/(1+R) = 2 n / (n^2 + 1), 0.902562 for index 1.585 (computed).
test('a transmittance above 0.902562 is impossible for index 1.585, and is refused with its place', () => {
  const largest = (2 * 1.585) / (1.585 ** 2 + 1);
  expect(Math.abs(largest - 0.902562)).toBeLessThan(TABLE);
  expect(extinctionOf(largest - 1e-6, 1.585, 3, '')).toBeLessThan(1e-6);
  const refuse = () => extinctionOf(largest + 1e-6, 1.585, 3, '/materials/lid/transmittance');
  expect(refuse).toThrow(InputError);
  expect(refuse).toThrow(/^transmittance-impossible: .*90\.26 %.*\(\/materials\/lid\/transmittance\)/);
  expect(() => extinctionOf(0, 1.585, 3, '')).toThrow(/transmittance-impossible/);
  expect(() => extinctionOf(Number.NaN, 1.585, 3, '')).toThrow(/transmittance-impossible/);
});

// Source: as above: an air gap between equal polymers multiplies by (1-R)/(1+R), 0.9159 for index 1.53 (computed).
test('a gap of 0.2 mm between polymers of index 1.53 delivers 0.9159 of what is transmitted', async () => {
  const lid = inScene(0, 'transmissive', slab([0, 0, 0.2], [0, 0, 1], 2), 'polymer');
  const tub = inScene(1, 'absorbing', meshOnly(noMesh), 'polymer');
  const job = aimJob({ materials: new Map([['polymer', plate('polymer', 1.53)]]) });
  const result = await aim(straight(3), head(), [lid, tub], job, seamOn(1));
  expect(Math.abs(result.delivered[1] / result.transmitted[1] - 0.9159)).toBeLessThan(0.5e-4);
  expect(Math.abs(result.transmitted[1] - (1 - 0.043884))).toBeLessThan(TABLE);
});

// Source: ISO 11146-1 definitions (memory); numbers computed.
test('caustic: 0.98 um, M2 30, waist 0.5 mm; 0.94 um, M2 80, waist 0.75 mm', () => {
  const first = { wavelength: 0.00098, beamQuality: 30, waist: 0.5 };
  expect(rayleighLength(first)).toBeCloseTo(26.71422, 5);
  expect(first.waist * divergence(first) * 1000).toBeCloseTo(9.35831, 5);
  expect(beamRadius(first, 10)).toBeCloseTo(0.533883, 6);
  expect(beamRadius(first, 50)).toBeCloseTo(1.061028, 6);
  const second = { wavelength: 0.00094, beamQuality: 80, waist: 0.75 };
  expect(rayleighLength(second)).toBeCloseTo(23.49928, 5);
  expect(beamRadius(second, 50)).toBeCloseTo(1.763252, 6);
});
