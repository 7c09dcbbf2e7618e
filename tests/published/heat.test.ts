// Warming at the joint against closed forms and published cases: a flash, a pulse, moving and standing spots.
import { describe, expect, test } from 'vitest';
import { lossTemperature } from '../../src/heat/decomposition.ts';
import { depthFactor, depthKernel } from '../../src/heat/depth-kernel.ts';
import { steadyHistory, steadyPass } from '../../src/heat/steady-pass.ts';
import { acrossTrack, straightSource, wayBehind } from '../../src/heat/straight-source.ts';
import { weldWidth } from '../../src/heat/weld-width.ts';
import { erfcx } from '../../src/geometry/elementary.ts';
import { gaussLegendre } from '../../src/geometry/quadrature.ts';
import { half, medium, PA6, PC, risesAt, rowAtZero } from '../heat/known-media.ts';

const near = (value: number, expected: number, share: number) =>
  expect(Math.abs(value / expected - 1), `${value} against ${expected}`).toBeLessThan(share);

// Source: definition in Abramowitz & Stegun 1964, 7.1.2; values computed with 30 digits.
test.each([
  [0, 1],
  [0.5, 0.6156903441929259],
  [1, 0.427583576155807],
  [2, 0.2553956763105057],
  [5, 0.1107046377330686],
  [20, 0.02817434874105132],
  [1000, 5.641893014533877e-4],
])('the scaled complementary error function at %d', (x, value) => near(erfcx(x), value, 1e-14));

// Source: Carslaw & Jaeger 1959, 2.4 and 10 (memory): fluence 0.1 J/mm2 on the absorbing half of bonded half-spaces, and 2 W/mm2
// for 50 ms; computed with a closed form and checked against 1-D finite volumes to 1.7e-6. Columns: K 1/mm, rise K of the plane after
// a flash at 1, 10, 100 ms, 1 s; after 10, 50, 60, 100 ms of the pulse.
const FLASH = [
  [1, 24.225222, 23.627377, 21.882773, 17.536582, 4.783457, 23.219184, 22.939314, 22.219736],
  [10, 218.827733, 175.365819, 102.278358, 40.379364, 39.111991, 155.15951, 140.547569, 112.608592],
  [50, 742.596557, 367.403291, 130.815016, 42.030729, 104.779116, 299.220243, 229.278138, 152.208455],
] as const;

describe.each(FLASH)('absorption %d /mm', (k, a, b, c, d, ...pulse) => {
  const kernel = depthKernel(medium(k));

  test.each([
    [1e-3, a],
    [1e-2, b],
    [0.1, c],
    [1, d],
  ])('a flash, %d s later', (time, rise) => near(0.1 * depthFactor(kernel, 0, time), rise, 1e-7));

  test.each([0.01, 0.05, 0.06, 0.1].map((time, i) => [time, pulse[i]] as const))(
    'a pulse of 50 ms, at %d s',
    (time, rise) => {
      const rule = gaussLegendre(40);
      const [from, to] = [Math.sqrt(Math.max(0, time - 0.05)), Math.sqrt(time)];
      let sum = 0;
      rule.node.forEach((x, m) => {
        const u = from + 0.5 * (to - from) * (1 + x);
        sum += 0.5 * (to - from) * rule.weight[m] * 2 * u * depthFactor(kernel, 0, u * u);
      });
      near(2 * sum, rise, 1e-6);
    },
  );
});

// Source: Green's function of a moving Gaussian on bonded half-spaces (Rosenthal 1946; Eagar & Tsai 1983), computed; independent
// 3-D finite volumes agree to 1e-4 .. 1e-3. Columns: power W, 1/e2 radius mm, speed mm/s, K 1/mm, highest rise on the plane K, where
// behind the spot mm, highest rise anywhere K, at which depth mm, full width at half the peak mm.
describe.each([
  ['A', 20, 1.0, 50, 10, PC, 492.288, 0.84501, 653.369, 0.0468, 1.18603],
  ['B', 0.3, 0.5, 0.45, 10, PC, 290.554, 0.11021, 319.059, 0.0589, 0.85012],
  ['D', 1.0, 0.3, 8, 20, PC, 575.84, 0.16714, 672.468, 0.029, 0.38963],
  ['F', 10, 0.6, 20, 3, PA6, 295.657, 0.60762, 461.807, 0.0946, 0.7291],
] as const)('moving Gaussian, case %s', (_, power, radius, speed, k, absorber, peak, behind, hottest, depth, width) => {
  const spot = { profile: 'gaussian', along: radius, across: radius, speed, power } as const;
  const pass = steadyPass(spot, medium(k, absorber), peak / 2, 2 * radius, 41);

  test('highest rise on the plane and below it, its depth, width at half the peak', () => {
    near(pass.peak[20], peak, 1e-4);
    near(pass.hottest[20], hottest, 1e-4);
    expect(Math.abs(pass.hottestDepth - depth)).toBeLessThan(2e-3);
    near(weldWidth(pass.peak, pass.section, peak / 2), width, 1e-4);
  });

  test('where the plane is hottest', () => {
    const times = Float64Array.from([-0.02, 0, 0.02], (x) => (behind + x * radius) / speed);
    const [before, at, after] = steadyHistory(spot, medium(k, absorber), 0, times);
    near(at, peak, 1e-4);
    // Three points on a parabola: its vertex within a hundredth of a radius of the published place.
    expect(Math.abs((0.01 * (before - after)) / (before - 2 * at + after))).toBeLessThan(0.01);
  });

  // Source: energy balance: rho c times the integral of the rise over the cross-section is P / v.
  test('far behind the spot the energy per length is all there', () => {
    const far = 40 * radius;
    const source = straightSource(spot, wayBehind(spot, absorber.diffusivity, far / speed), far + 4 * radius);
    const spread = Math.sqrt((2 * absorber.diffusivity * far) / speed);
    const reach = 6 * spread + 4 / k;
    const rule = gaussLegendre(24);
    // Rows of 24 depths on either side of the joint, 121 points across.
    const depths = [-1, 1]
      .flatMap((side) => Array.from(rule.node, (x) => (side * reach * (1 + x)) / 2))
      .sort((p, q) => p - q);
    const widest = 2.5 * radius + 5 * spread;
    const section = acrossTrack(widest, 121);
    const rises = risesAt(source, medium(k, absorber), section, rowAtZero(source), depths, far / speed);
    let sum = 0;
    rises.forEach((row, d) => {
      sum += (reach / 2) * rule.weight[d % 24] * row.reduce((total, rise) => total + rise * section.step, 0);
    });
    near(absorber.heatCapacity * sum, power / speed, 2e-3);
  });
});

// Source: Lax 1977, J. Appl. Phys. 48, 3919 (memory): a standing beam on an insulated half-space, rise in the middle
// P / (sqrt(2 pi) k w) N(W), W = K w / sqrt 2; bonded half-spaces have half of it.
test.each([
  [0.1, 0.157273],
  [1, 0.543631],
  [10, 0.903576],
  [100, 0.988912],
])('a standing Gaussian with W = %d', (w, n) => {
  const [radius, speed] = [0.8, 1e-9];
  // So slow that it stands still, for so long (3000 years) that the rise has become steady.
  const source = {
    ...straightSource({ profile: 'gaussian', along: radius, across: radius, speed, power: 1 }, radius, radius),
  };
  const time = source.time.map((_, k) => (k - source.count + 1) * 1e11);
  const still = { ...source, time, s: time.map((t) => t * speed), place: new Float64Array(3 * source.count) };
  const rise = risesAt(still, medium((w * Math.SQRT2) / radius), acrossTrack(0, 1), source.count - 1, [0], 0)[0][0];
  near(rise, (0.5 * n) / (Math.sqrt(2 * Math.PI) * 2.2e-4 * radius), 1e-4);
});

// Source: Eagar & Tsai 1983, Weld. J. 62, 346-s (memory; computed twice): moving, absorbed on the surface, g = dT sqrt(2 pi) k w / P
// for an insulated half-space against Pe = v w / (2 alpha).
test.each([
  [0.1, 0.962437],
  [1, 0.748391],
  [10, 0.340148],
  [100, 0.114356],
  [1000, 0.036409],
])('a moving Gaussian absorbed on the surface, Pe = %d', (pe, g) => {
  const radius = 0.5;
  const speed = (2 * PC.diffusivity * pe) / radius;
  const spot = { profile: 'gaussian', along: radius, across: radius, speed, power: 1 } as const;
  const pass = steadyPass(spot, medium(1e8), Number.POSITIVE_INFINITY, 0, 1);
  near((2 * pass.peak[0] * Math.sqrt(2 * Math.PI) * 2.2e-4 * radius) / 1, g, 1e-4);
});

// Source: Rosenthal 1946, Trans. ASME 68, 849: case B 20 mm behind the spot: a point source 5.42574 K, this spot 5.40280 K.
test('far behind, a spot is like a point', () => {
  const spot = { profile: 'gaussian', along: 0.5, across: 0.5, speed: 0.45, power: 0.3 } as const;
  const rise = steadyHistory(spot, medium(10), 0, Float64Array.of(20 / 0.45))[0];
  near(rise, 5.4028, 1e-4);
  near(0.3 / (4 * Math.PI * 2.2e-4 * 20), 5.42574, 1e-5);
});

// Source: nitrogen kinetics in the validation inputs FAA_Polymers of the open fire model FDS (seen); temperature at which 1 %
// is lost, E / (R ln(A t / 0.01005)) (computed). Columns: A 1/s, E J/mol, degC for 10 ms, 100 ms, 1 s.
test.each([
  ['PC', 1.9e18, 2.95e5, 570, 526, 487],
  ['PMMA', 8.5e12, 1.88e5, 486, 432, 385],
  ['PA66', 5.7e17, 2.74e5, 533, 490, 451],
  ['PP', 1.6e23, 3.52e5, 519, 487, 456],
  ['PE-HD', 4.8e22, 3.49e5, 531, 497, 466],
  ['POM', 3.7e10, 1.57e5, 503, 436, 379],
  ['PBT', 2.49e14, 2.12e5, 496, 446, 402],
  ['PS', 1.2e16, 2.47e5, 529, 482, 441],
] as const)('a hundredth of %s decomposes', (_, rate, energy, a, b, c) => {
  [a, b, c].forEach((value, k) => {
    expect(Math.abs(lossTemperature({ rate, energy }, 10 ** (k - 2)) - value)).toBeLessThan(0.6);
  });
});

// Source: plausibility from published welds (abstracts; spot sizes not stated, so sizes only): PC welds well at 0.5 .. 1.3 J/mm,
// 40 mm/s, 0.1 % carbon black; PP at 0.06 .. 0.12 J/mm with 0.5 .. 1 % (Dave et al., Opt. Laser Technol. 153 (2022) 108216).
test('line energies of published welds lie near what melts: PC a few tenths of J/mm for a spot of 2 mm', () => {
  const own = half(1.18e-3, 1.9, 2.2e-4);
  const spot = { profile: 'top-hat', along: 1, across: 1, speed: 40, power: 40 } as const;
  const pass = steadyPass(spot, medium(5.2, own), Number.POSITIVE_INFINITY, 2, 41);
  const onset = (230 - 23) / pass.peak[20];
  expect(onset).toBeGreaterThan(0.1);
  expect(onset).toBeLessThan(1.3);
});
