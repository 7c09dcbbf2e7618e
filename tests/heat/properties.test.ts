// What must hold for any spot, materials and place: symmetry, superposition, scaling, energy; and what a finer ribbon does.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { steadyPass } from '../../src/heat/steady-pass.ts';
import { acrossTrack, type StraightSpot, straightSource } from '../../src/heat/straight-source.ts';
import type { Medium } from '../../src/model/heat.ts';
import { linePath } from '../motion/plain-seam.ts';
import { hairpin, heatOf } from './heat-case.ts';
import { half, medium, risesAt, rowAtZero } from './known-media.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

const profile = fc.constantFrom('gaussian', 'top-hat' as const);
const spots: fc.Arbitrary<StraightSpot> = fc
  .record({
    profile,
    along: between(0.3, 1.5),
    ratio: between(0.7, 1.4),
    speed: between(2, 100),
    power: between(1, 50),
  })
  .map(({ ratio, ...spot }) => ({ ...spot, across: spot.along * (spot.profile === 'top-hat' ? 1 : ratio) }));

const halves = fc
  .tuple(between(0.8e-3, 1.6e-3), between(1.5, 3), between(1.5e-4, 4e-4))
  .map(([density, heat, conductivity]) => half(density, heat, conductivity));

/** Unlike halves, the layer absorbing a little. */
const media: fc.Arbitrary<Medium> = fc
  .tuple(between(1, 60), halves, halves, between(0, 0.5), between(0.5, 3))
  .map(([absorption, absorber, layer, layerAbsorption, layerThickness]) =>
    medium(absorption, absorber, { layer, layerAbsorption, layerThickness }),
  );

const near = (value: number, expected: number, whole: number, share: number): void => {
  expect(Math.abs(value - expected), `${value} against ${expected}`).toBeLessThanOrEqual(share * whole);
};

const nearAll = (values: Float64Array, expected: Float64Array, share: number): void => {
  const whole = Math.max(...expected);
  values.forEach((value, j) => {
    near(value, expected[j], whole, share);
  });
};

describe('any steady pass', () => {
  const RUNS = 12;
  const pass = (spot: StraightSpot, of: Medium, left = Number.POSITIVE_INFINITY, right = left) =>
    steadyPass(spot, of, Number.POSITIVE_INFINITY, 1.5 * spot.across, 21, { left, right });

  test('symmetry: with the walls exchanged, its mirror image, seed 20260501', () => {
    fc.assert(
      fc.property(spots, media, between(0.4, 1.4), between(0.4, 1.4), (spot, of, left, right) => {
        const one = pass(spot, of, left * spot.across, right * spot.across);
        const other = pass(spot, of, right * spot.across, left * spot.across);
        nearAll(one.peak, other.peak.slice().reverse(), 1e-9);
        nearAll(one.hottest, other.hottest.slice().reverse(), 1e-9);
      }),
      { seed: 20260501, numRuns: RUNS },
    );
  });

  test('scaling: power by g, the rises by g, seed 20260502', () => {
    fc.assert(
      fc.property(spots, media, between(0.01, 100), (spot, of, g) => {
        const [one, more] = [pass(spot, of), pass({ ...spot, power: g * spot.power }, of)];
        nearAll(
          more.peak,
          one.peak.map((rise) => g * rise),
          1e-9,
        );
        near(more.hottestDepth, one.hottestDepth, one.hottestDepth, 1e-9);
      }),
      { seed: 20260502, numRuns: RUNS },
    );
  });

  test('scaling: lengths by f, times by f^2, power by f, the same rises, f times as deep, seed 20260503', () => {
    fc.assert(
      fc.property(spots, media, between(0.2, 5), (spot, of, f) => {
        const { along, across, speed, power } = spot;
        const scaled = { ...spot, along: along * f, across: across * f, speed: speed / f, power: power * f };
        const { absorption, layerAbsorption, layerThickness } = of;
        const [one, other] = [
          pass(spot, of),
          pass(scaled, {
            ...of,
            absorption: absorption / f,
            layerAbsorption: layerAbsorption / f,
            layerThickness: layerThickness * f,
          }),
        ];
        nearAll(other.peak, one.peak, 1e-8);
        nearAll(other.hottest, one.hottest, 1e-8);
        near(other.hottestDepth, f * one.hottestDepth, f * one.hottestDepth, 1e-6);
      }),
      { seed: 20260503, numRuns: RUNS },
    );
  });

  test('scaling: all conductivities and the speed by g, at the same line energy, the same rises, seed 20260504', () => {
    fc.assert(
      fc.property(spots, media, between(0.1, 10), (spot, of, g) => {
        const quicker = ({ diffusivity, heatCapacity }: Medium['layer']) => ({
          diffusivity: g * diffusivity,
          heatCapacity,
        });
        const other = { ...of, absorber: quicker(of.absorber), layer: quicker(of.layer) };
        const faster = { ...spot, speed: g * spot.speed, power: g * spot.power };
        nearAll(pass(faster, other).peak, pass(spot, of).peak, 1e-8);
      }),
      { seed: 20260504, numRuns: RUNS },
    );
  });

  test('superposition: two powers along the way, their rises add up, seed 20260505', () => {
    fc.assert(
      fc.property(spots, media, between(0, 3), fc.infiniteStream(between(0, 1)), (spot, of, later, stream) => {
        const source = straightSource(spot, 8 * spot.along, 8 * spot.along);
        const share = source.heat.map(() => stream.next().value ?? 0);
        const section = acrossTrack(1.2 * spot.across, 9, 1.1 * spot.across, 0.9 * spot.across);
        const rises = (heat: Float64Array) =>
          risesAt({ ...source, heat }, of, section, rowAtZero(source), [0, 0.05], (later * spot.along) / spot.speed);
        const a = rises(source.heat.map((watt, k) => watt * share[k]));
        const b = rises(source.heat.map((watt, k) => watt * (1 - share[k])));
        rises(source.heat).forEach((both, d) => {
          nearAll(
            a[d].map((rise, j) => rise + b[d][j]),
            both,
            1e-9,
          );
        });
      }),
      { seed: 20260505, numRuns: RUNS },
    );
  });
});

describe('any ribbon', () => {
  test('energy: an ellipse of light of any size lands on it to 0.5 percent, seed 20260506', async () => {
    await fc.assert(
      fc.asyncProperty(profile, between(0.5, 1.4), between(0.75, 1.35), async (of, radius, ratio) => {
        const path = linePath();
        const full = (value: number) => new Float64Array(path.count).fill(value);
        const aim = { spotAlong: full(radius), spotAcross: full(radius * ratio) };
        const { heat } = await heatOf(path, { settings: { profile: of }, aim });
        near(heat.onRibbon, heat.delivered, heat.delivered, 0.005);
      }),
      { seed: 20260506, numRuns: 4 },
    );
  });

  // Rows 2, 1 and 0.5 mm apart on the legs and the bend of a hairpin, against rows 0.25 mm apart.
  test('a finer one converges: each halving of its spacing leaves less than half of the error', async () => {
    const spacings = [2, 1, 0.5, 0.25];
    const runs = await Promise.all(spacings.map((spacing) => heatOf(hairpin(16, 8, spacing))));
    const best = runs[runs.length - 1];
    const at = ({ path, heat }: typeof best, s: number) => {
      const row = path.rows.s.findIndex((place) => place > s);
      const f = (s - path.rows.s[row - 1]) / (path.rows.s[row] - path.rows.s[row - 1]);
      return heat.rows.peak[row - 1] + f * (heat.rows.peak[row] - heat.rows.peak[row - 1]);
    };
    const errors = runs.slice(0, -1).map((run) => {
      let most = 0;
      for (let s = 5; s < best.path.length - 5; s += 0.37) most = Math.max(most, Math.abs(at(run, s) - at(best, s)));
      return most;
    });
    expect(errors[1]).toBeLessThan(errors[0] / 2);
    expect(errors[2]).toBeLessThan(errors[1] / 2);
    expect(errors[2]).toBeLessThan(1);
  });
});
