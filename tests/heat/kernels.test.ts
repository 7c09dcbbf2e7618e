// The kernels against plain finite volumes, brute force and exact limits.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { depthFactor, depthKernel } from '../../src/heat/depth-kernel.ts';
import { createDepthTable, lookUpFactors } from '../../src/heat/depth-table.ts';
import { createDiscTable, discShare, lookUpShare, WIDE, wideShare } from '../../src/heat/disc-share.ts';
import { steadyPass } from '../../src/heat/steady-pass.ts';
import { acrossTrack, straightSource } from '../../src/heat/straight-source.ts';
import { riseOf, temperatureOf } from '../../src/heat/temperature.ts';
import { weldWidth } from '../../src/heat/weld-width.ts';
import type { Medium } from '../../src/model/heat.ts';
import { block, column, meltingColumn } from './finite-volumes.ts';
import { half, LIMITS, medium, PA6, PC, risesAt, rowAtZero } from './known-media.ts';

// Discretisation of the oracles; they converge to less than this with their cells.
const ORACLE = 3e-3;

const near = (value: number, expected: number, whole: number, share = ORACLE): void => {
  expect(Math.abs(value - expected), `${value} against ${expected}`).toBeLessThan(share * whole);
};

describe('one dimension: bonded half-spaces, light absorbed below and in the layer', () => {
  const metalLike = half(2e-3, 1.2, 1.1e-3);
  const cases: [string, Medium, number, number][] = [
    ['like halves', medium(10), 2.2e-4, 2.2e-4],
    ['a layer that takes more heat', medium(10, PC, { layer: metalLike }), 1.1e-3, 2.2e-4],
    ['a layer that takes less', medium(4, metalLike, { layer: PC }), 2.2e-4, 1.1e-3],
    ['a layer that absorbs', medium(8, PC, { layerAbsorption: 1.5, layerThickness: 0.4 }), 2.2e-4, 2.2e-4],
    ['both', medium(8, PA6, { layer: metalLike, layerAbsorption: 1.5, layerThickness: 0.4 }), 1.1e-3, 2.5e-4],
  ];
  test.each(cases)('%s', (_, of, upper, lower) => {
    const [from, dz, n] = [-3.2, 0.01, 640];
    const layered = {
      conductivity: (z: number) => (z < 0 ? upper : lower),
      capacity: (z: number) => (z < 0 ? of.layer.heatCapacity : of.absorber.heatCapacity),
    };
    const absorbed = (z0: number, z1: number) => {
      if (z0 > -1e-9) return Math.exp(-of.absorption * z0) - Math.exp(-of.absorption * z1);
      const height = (z: number) => Math.min(of.layerThickness, Math.max(0, -z));
      return Math.exp(of.layerAbsorption * height(z0)) - Math.exp(of.layerAbsorption * height(z1));
    };
    const start = Float64Array.from({ length: n }, (__, i) => {
      const z = from + i * dz;
      return absorbed(z, z + dz) / (layered.capacity(z + dz / 2) * dz);
    });
    const times = [0.02, 0.1, 0.5];
    const kernel = depthKernel(of);
    column(layered, from, dz, start, null, 0, times).forEach((rises, k) => {
      const whole = Math.max(...rises);
      for (let i = 250; i < 400; i += 7) {
        const z = from + (i + 0.5) * dz;
        near(depthFactor(kernel, z, times[k]), rises[i], whole);
      }
    });
  });

  test('the plane of unlike halves: 2 e2 / (e1 + e2) times like ones (Carslaw & Jaeger 1959, 2.15, from memory)', () => {
    const [e1, e2] = [metalLike, PC].map(({ heatCapacity, diffusivity }) => heatCapacity * Math.sqrt(diffusivity));
    const unlike = depthKernel(medium(10, PC, { layer: metalLike }));
    for (const t of [1e-3, 0.1, 10]) {
      near(depthFactor(unlike, 0, t), ((2 * e2) / (e1 + e2)) * depthFactor(depthKernel(medium(10)), 0, t), 1, 1e-9);
    }
  });

  test('a layer that absorbs far up, or a huge coefficient, stays finite', () => {
    for (const k of [1e-6, 1, 1e3, 1e6]) {
      for (const t of [1e-9, 1e-3, 1, 1e6]) {
        for (const z of [-1, -1e-3, 0, 1e-3, 1]) {
          const kernel = depthKernel(medium(k, PC, { layerAbsorption: Math.min(k, 5), layerThickness: 3 }));
          const value = depthFactor(kernel, z, t);
          expect(Number.isFinite(value) && value >= 0, `${k} ${t} ${z} ${value}`).toBe(true);
        }
      }
    }
  });

  test('the table of factors agrees with the factors, seed 20260401', () => {
    const depths = Float64Array.of(0, 0.003, 0.02, 0.08, 0.15);
    const out = new Float64Array(5);
    fc.assert(
      fc.property(
        fc.double({ min: Math.log(0.3), max: Math.log(200), noNaN: true }),
        fc.double({ min: -12, max: 3, noNaN: true }),
        (k, u) => {
          const kernel = depthKernel(medium(Math.exp(k)));
          const root = Math.exp(u);
          lookUpFactors(createDepthTable(kernel, depths), root, 5, out);
          const whole = depthFactor(kernel, 0, root * root);
          depths.forEach((z, d) => {
            near(out[d], depthFactor(kernel, z, root * root), Math.max(whole, out[d]), 2e-5);
          });
        },
      ),
      { seed: 20260401, numRuns: 60 },
    );
  });
});

/** What the finite volumes need to know of two halves. */
const halvesOf = ({ layer, absorber }: Medium) => {
  const at = (z: number) => (z < 0 ? layer : absorber);
  return {
    conductivity: (z: number) => at(z).heatCapacity * at(z).diffusivity,
    capacity: (z: number) => at(z).heatCapacity,
  };
};

describe('a standing spot in three dimensions, round about its axis', () => {
  const shape = { round: true, nx: 64, dx: 0.025, nz: 128, dz: 0.0125 };
  const [radius, power, on] = [0.5, 1, 0.2];

  /** Largest difference from finite volumes at the time `end`, as a share of the highest rise, at several radii and depths. */
  function difference(of: Medium, profile: 'gaussian' | 'top-hat', end: number): number {
    const k = of.absorption;
    const depthShare = (j: number) => {
      const z = (j - shape.nz / 2) * shape.dz;
      return z < -1e-9 ? 0 : (Math.exp(-k * z) - Math.exp(-k * (z + shape.dz))) / shape.dz;
    };
    // Mean of the irradiance over each ring.
    const ring = (i: number) => {
      const [a, b] = [i * shape.dx, (i + 1) * shape.dx];
      const within = (r: number) =>
        profile === 'gaussian' ? 1 - Math.exp((-2 * r * r) / (radius * radius)) : Math.min(1, (r / radius) ** 2);
      return (within(b) - within(a)) / (Math.PI * (b * b - a * a));
    };
    const t = block(
      shape,
      halvesOf(of),
      () => 0,
      (i, j) => power * ring(i) * depthShare(j),
      on,
      end,
    );
    const speed = 1e-7;
    const plain = straightSource({ profile, along: radius, across: radius, speed, power }, radius, radius);
    const time = plain.time.map((_, m) => (on * m) / (plain.count - 1));
    const still = { ...plain, time, s: time.map((at) => at * speed), place: new Float64Array(3 * plain.count) };
    const depths = [0, 4, 9, 20].map((j) => (j + 0.5) * shape.dz);
    const section = { ...acrossTrack(1, 5), first: shape.dx / 2, step: 8 * shape.dx };
    const rises = risesAt(still, of, section, 0, depths, end);
    const off = [0, 4, 9, 20].flatMap((j, d) =>
      Array.from(rises[d], (rise, m) => Math.abs(rise - t[8 * m * shape.nz + shape.nz / 2 + j])),
    );
    return Math.max(...off) / Math.max(...t);
  }

  test.each(['gaussian', 'top-hat'] as const)('%s for 0.2 s and after', (profile) => {
    expect(difference(medium(6, PA6), profile, 0.3)).toBeLessThan(ORACLE);
  });

  // Constants: effective values in validation inputs of the open fire model FDS (seen). Along the joint heat spreads as in the absorber on
  // both sides: exact in one dimension and for like diffusivities, else off by what stands here, after 0.2 s on one place.
  const polycarbonate = half(1.18e-3, 1.9, 2.2e-4);
  test.each([
    ['PMMA on PC', half(1.19e-3, 2.22, 2.35e-4), 0, 0.01],
    ['PA66 on PC', half(1.15e-3, 2.6, 3.4e-4), 0, 0.01],
    ['a layer with four times the diffusivity', half(1.18e-3, 1.9, 8.8e-4), 0.08, 0.13],
  ] as const)('unlike diffusivities: %s', (_, layer, least, most) => {
    const off = difference(medium(10, polycarbonate, { layer }), 'gaussian', on);
    expect(off).toBeGreaterThan(least);
    expect(off).toBeLessThan(most);
  });
});

describe('a narrow rib', () => {
  // So fast that the whole line is lit at once: a slab in two dimensions, walls at -0.7 and 0.7 mm.
  test('walls that no heat passes, against a slab of that width', () => {
    const [radius, k, energy, wall] = [0.5, 6, 0.1, 0.7];
    const speed = 1e6;
    const of = medium(k, PA6);
    const shape = { round: false, nx: 56, dx: wall / 56, nz: 160, dz: 0.0125 };
    const start = (i: number, j: number) => {
      const z = (j - shape.nz / 2) * shape.dz;
      if (z < -1e-9) return 0;
      const y = (i + 0.5) * shape.dx;
      // The light beyond the wall is folded back, as the images do.
      const across = (x: number) => Math.exp((-2 * x * x) / (radius * radius));
      const share = Math.sqrt(2 / Math.PI) / radius;
      const line = energy * share * (across(y) + across(2 * wall - y) + across(2 * wall + y));
      return (line * (Math.exp(-k * z) - Math.exp(-k * (z + shape.dz)))) / (shape.dz * PA6.heatCapacity);
    };
    const t = block(shape, halvesOf(of), start, null, 0, 0.6);
    const spot = { profile: 'gaussian', along: radius, across: radius, speed, power: energy * speed } as const;
    const source = straightSource(spot, 6, 6);
    const section = { ...acrossTrack(wall, 7, wall, wall), first: shape.dx / 2, step: 8 * shape.dx, count: 7 };
    const depths = [0, 8, 30].map((j) => (j + 0.5) * shape.dz);
    const rises = risesAt(source, of, section, rowAtZero(source), depths, 0.6);
    const whole = Math.max(...t);
    [0, 8, 30].forEach((j, d) => {
      for (let m = 0; m < 7; m++) near(rises[d][m], t[8 * m * shape.nz + shape.nz / 2 + j], whole);
    });
    // Without the walls it would be colder beside them: by what matters.
    const free = risesAt(
      source,
      of,
      { ...section, left: Infinity, right: Infinity },
      rowAtZero(source),
      depths,
      0.6,
    )[0][6];
    expect(rises[0][6] / free).toBeGreaterThan(1.3);
  });

  test('far walls change nothing, one wall makes both sides alike', () => {
    const spot = { profile: 'gaussian', along: 0.6, across: 0.6, speed: 20, power: 10 } as const;
    const free = steadyPass(spot, medium(10), 100, 1.2, 21);
    const far = steadyPass(spot, medium(10), 100, 1.2, 21, { left: 9, right: 9 });
    expect(far.peak).toEqual(free.peak);
    const wall = steadyPass(spot, medium(10), 100, 1.2, 21, { left: 0, right: Number.POSITIVE_INFINITY });
    // All light folded to one side of a wall under the spot's middle: twice as hot there.
    near(wall.peak[10], 2 * free.peak[10], free.peak[10], 1e-9);
  });
});

describe('a Gaussian through few nodes across', () => {
  // 21 points are computed one by one, 41 from nodes: every second of these is one of those. Nodes reach past the walls, to the images.
  test.each([
    [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY],
    [1.1, 1.4],
    [0.5, 0.7],
    [0.2, 0.1],
  ])('the same rises as point by point, walls at %d and %d mm', (left, right) => {
    const spot = { profile: 'gaussian', along: 0.8, across: 0.9, speed: 20, power: 10 } as const;
    const nodes = steadyPass(spot, medium(8), 40, 1.8, 41, { left, right });
    const points = steadyPass(spot, medium(8), 40, 1.8, 21, { left, right });
    for (let j = 0; j < 21; j++) {
      const y = -1.8 + j * 0.18;
      if (y > left || y < -right) continue;
      near(nodes.peak[2 * j], points.peak[j], points.peak[10], 3e-5);
      near(nodes.hottest[2 * j], points.hottest[j], points.hottest[10], 1e-4);
      near(nodes.above[2 * j], points.above[j], points.above[10], 2e-3);
    }
  });
});

describe('heat of a disc', () => {
  test('spread wide: the same as by strips', () => {
    // What the sixth moment would add falls with s^-8.
    for (const [s, off] of [
      [WIDE, 8e-5],
      [1.8, 2e-5],
      [2.5, 2e-6],
      [4, 2e-6],
    ])
      for (let r = 0; r < 12; r += 0.37) expect(Math.abs(wideShare(r * r, s * s) - discShare(r, s))).toBeLessThan(off);
  });

  test('no spread: inside or outside; far spread: a point', () => {
    expect(discShare(0.5, 1e-3)).toBeCloseTo(1, 9);
    expect(discShare(1.5, 1e-3)).toBeCloseTo(0, 9);
    expect(discShare(3, 40)).toBeCloseTo(0.5 / 1600, 5);
    // 1 - Q1(0, b) = 1 - exp(-b^2 / 2) (Marcum 1960, from memory).
    for (const s of [0.1, 0.5, 2]) expect(discShare(0, s)).toBeCloseTo(1 - Math.exp(-0.5 / (s * s)), 8);
  });

  test('sums of points drawn at random agree, and the table with both, seed 20260402', () => {
    const table = createDiscTable();
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 4, noNaN: true }),
        fc.double({ min: 0.004, max: 1.5, noNaN: true }),
        (r, s) => {
          expect(Math.abs(lookUpShare(table, r, s) - discShare(r, s))).toBeLessThan(5e-5);
        },
      ),
      { seed: 20260402, numRuns: 500 },
    );
    // Polar midpoints of the normal distribution.
    for (const [r, s] of [
      [0.3, 0.4],
      [0.9, 0.2],
      [1.2, 0.7],
    ]) {
      let sum = 0;
      const [rings, spokes] = [400, 200];
      for (let i = 0; i < rings; i++)
        for (let j = 0; j < spokes; j++) {
          const q = s * Math.sqrt(-2 * Math.log(1 - (i + 0.5) / rings));
          const angle = (2 * Math.PI * (j + 0.5)) / spokes;
          if (Math.hypot(r + q * Math.cos(angle), q * Math.sin(angle)) < 1) sum += 1 / (rings * spokes);
        }
      expect(Math.abs(sum - discShare(r, s))).toBeLessThan(2e-3);
    }
  });

  // Brute force: thousands of steps in the root of the age, the share computed outright.
  test.each([
    ['A', 20, 1, 50, 10, PC],
    ['B', 0.3, 0.5, 0.45, 10, PC],
    ['F', 10, 0.6, 20, 3, PA6],
  ] as const)('moving top-hat, constants of case %s, while it passes', (_, power, radius, speed, k, absorber) => {
    const spot = { profile: 'top-hat', along: radius, across: radius, speed, power } as const;
    const source = straightSource(spot, 60 * radius, 4 * radius);
    const section = acrossTrack(1.2 * radius, 7);
    const kernel = depthKernel(medium(k, absorber));
    const slow = (y: number, z: number, time: number) => {
      const steps = 4000;
      const longest = Math.sqrt(time + (60 * radius) / speed);
      let sum = 0;
      for (let i = 0; i < steps; i++) {
        const u = (longest * (i + 0.5)) / steps;
        const spread = Math.sqrt(2 * absorber.diffusivity) * u;
        const r = Math.hypot(speed * (time - u * u), y);
        if (r > radius + 7 * spread) continue;
        const share = r < radius - 7 * spread ? 1 : discShare(r / radius, spread / radius);
        sum += depthFactor(kernel, z, u * u) * share * 2 * u;
      }
      return (sum * longest * power) / (steps * Math.PI * radius * radius);
    };
    let whole = 0;
    for (const x of [0.6, 0.9, 1.4]) {
      const time = (x * radius) / speed;
      const rises = risesAt(source, medium(k, absorber), section, rowAtZero(source), [0, 0.04], time);
      for (const j of [3, 4, 5, 6]) {
        const y = section.first + j * section.step;
        const [plane, below] = [slow(y, 0, time), slow(y, 0.04, time)];
        whole = Math.max(whole, plane, below);
        near(rises[0][j], plane, whole, 1.5e-3);
        near(rises[1][j], below, whole, 1.5e-3);
      }
    }
  });
});

// Brute force as above, 250 steps that crowd where the heat is young, and the highest by golden sections before
// and after the moment at which the edge leaves. Points that get less than a tenth as hot as the middle are not waited for.
describe('highest rises of a top-hat', () => {
  test.each([
    ['A', 20, 1, 50, 10, PC],
    ['A, absorbed near the plane', 20, 1, 50, 100, PC],
    ['A, absorbed deep', 20, 1, 50, 1, PC],
    ['B', 0.3, 0.5, 0.45, 10, PC],
    ['D', 1, 0.3, 8, 20, PC],
    ['F', 10, 0.6, 20, 3, PA6],
    ['slow, absorbed near the plane', 1, 0.9, 2, 100, PC],
  ] as const)('constants of case %s', (_, power, radius, speed, k, absorber) => {
    const spot = { profile: 'top-hat', along: radius, across: radius, speed, power } as const;
    const pass = steadyPass(spot, medium(k, absorber), Number.POSITIVE_INFINITY, 2 * radius, 41);
    const kernel = depthKernel(medium(k, absorber));
    const rise = (y: number, z: number, time: number) => {
      const longest = Math.sqrt(time + (40 * radius) / speed);
      let sum = 0;
      for (let i = 0; i < 250; i++) {
        const q = (i + 0.5) / 250;
        const u = longest * q * q;
        const spread = Math.sqrt(2 * absorber.diffusivity) * u;
        const r = Math.hypot(speed * (time - u * u), y);
        if (r > radius + 7 * spread) continue;
        const share = r < radius - 7 * spread ? 1 : discShare(r / radius, spread / radius);
        sum += (depthFactor(kernel, z, u * u) * share * 4 * u * q * longest) / 250;
      }
      return (sum * power) / (Math.PI * radius * radius);
    };
    const highestOf = (f: (x: number) => number, low: number, high: number) => {
      const golden = (Math.sqrt(5) - 1) / 2;
      let [a, b] = [low, high];
      let [c, d] = [b - golden * (b - a), a + golden * (b - a)];
      let [fc, fd] = [f(c), f(d)];
      for (let turn = 0; turn < 14; turn++) {
        if (fc > fd) [b, d, fd, c] = [d, c, fc, d - golden * (d - a)];
        else [a, c, fc, d] = [c, d, fd, c + golden * (b - c)];
        [fc, fd] = [f(c), f(d)];
      }
      return Math.max(fc, fd);
    };
    const peakAt = (y: number, z: number) => {
      const leaves = Math.sqrt(Math.max(0, radius * radius - y * y)) / speed;
      const before = leaves > 0 ? highestOf((x) => rise(y, z, leaves * (1 - x * x)), 0, 1) : 0;
      const after = highestOf((x) => rise(y, z, leaves + (x * x * 8 * radius) / speed), 0, 1);
      return Math.max(rise(y, z, leaves), before, after);
    };
    for (const j of [20, 28])
      near(pass.peak[j], peakAt(pass.section.first + j * pass.section.step, 0), pass.peak[20], 4e-4);
    near(pass.hottest[20], peakAt(0, pass.hottestDepth), pass.hottest[20], 4e-4);
  });
});

describe('scaling and order', () => {
  const spot = { profile: 'gaussian', along: 0.6, across: 0.6, speed: 20, power: 10 } as const;
  const base = steadyPass(spot, medium(5), 100, 1.2, 21);

  test('twice the power, twice the rise', () => {
    const twice = steadyPass({ ...spot, power: 20 }, medium(5), 200, 1.2, 21);
    base.peak.forEach((rise, j) => {
      near(twice.peak[j], 2 * rise, 1, 1e-9);
    });
    base.hottest.forEach((rise, j) => {
      near(twice.hottest[j], 2 * rise, 1, 1e-9);
    });
    base.above.forEach((time, j) => {
      near(twice.above[j], time, 1, 1e-9);
    });
  });

  test('lengths by f, times by f^2, power by f: the same rises', () => {
    const f = 2.5;
    const scaled = { ...spot, along: 0.6 * f, across: 0.6 * f, speed: 20 / f, power: 10 * f };
    const pass = steadyPass(scaled, medium(5 / f), 100, 1.2 * f, 21);
    base.peak.forEach((rise, j) => {
      near(pass.peak[j], rise, base.peak[10], 1e-8);
    });
    near(pass.above[10], f * f * base.above[10], base.above[10], 1e-6);
  });

  test('both sides of a straight seam are alike, and the middle is hottest, for both profiles', () => {
    for (const profile of ['gaussian', 'top-hat'] as const) {
      const { peak, hottest } = steadyPass({ ...spot, profile }, medium(5), 100, 1.2, 21);
      for (let j = 0; j < 10; j++) {
        near(peak[j], peak[20 - j], peak[10], 1e-9);
        expect(peak[j]).toBeLessThanOrEqual(peak[j + 1] * (1 + 1e-9));
        expect(hottest[j]).toBeGreaterThanOrEqual(peak[j]);
      }
    }
  });

  test('an ellipse turned across the seam melts wider, one along it hotter per width', () => {
    const across = steadyPass({ ...spot, across: 0.9 }, medium(5), 100, 1.8, 41);
    const along = steadyPass({ ...spot, along: 0.9 }, medium(5), 100, 1.8, 41);
    expect(across.peak[20]).toBeLessThan(along.peak[20]);
    const wide = (pass: typeof along) => weldWidth(pass.peak, pass.section, 0.3 * base.peak[10]);
    expect(wide(across)).toBeGreaterThan(wide(along));
  });
});

describe('latent heat', () => {
  const limits = { ...LIMITS, start: 20, melting: 160, latent: 30, onset: 165, decomposition: 480 };

  test('goes in at the melting temperature; both ways agree beyond it', () => {
    expect(temperatureOf(limits, 100)).toBe(120);
    expect(temperatureOf(limits, 140)).toBe(160);
    expect(temperatureOf(limits, 155)).toBe(160);
    expect(temperatureOf(limits, 170)).toBe(160);
    expect(temperatureOf(limits, 180)).toBe(170);
    for (const t of [30, 159, 165, 300]) expect(temperatureOf(limits, riseOf(limits, t))).toBeCloseTo(t, 10);
  });

  // Without latent heat the oracle is the constant-property rise; with it, the difference is the map's own error: the figures that
  // `temperature.ts` states (K too cold on the plane with it, too hot without), to 1 K, and below the plane 3 K more at most.
  // Constants: effective values in validation inputs of the open fire model FDS (seen), 1-D, K 10 /mm, 40 ms.
  test.each([
    ['PA66', 1.15e-3, 2.6, 3.4e-4, 262, 55, 9, 7, 14],
    ['PP', 0.91e-3, 2.55, 2.4e-4, 158, 80, 7.2, 8, 24],
    ['POM', 1.425e-3, 1.9, 2.8e-4, 165, 141, 7.2, 23, 51],
  ] as const)(
    'the map against finite volumes in enthalpy: %s',
    (_, density, specific, conductivity, melting, joules, flux, cold, hot) => {
      const of = half(density, specific, conductivity);
      const known = { ...LIMITS, melting, latent: joules / specific };
      const kernel = depthKernel(medium(10, of));
      const pulse = 0.04;
      const rise = (z: number, time: number) => {
        const [from, to] = [Math.sqrt(Math.max(0, time - pulse)), Math.sqrt(time)];
        let sum = 0;
        for (let m = 0; m < 200; m++) {
          const u = from + ((to - from) * (m + 0.5)) / 200;
          sum += (depthFactor(kernel, z, u * u) * 2 * u * (to - from)) / 200;
        }
        return flux * sum;
      };
      const run = (temperature: (rise: number) => number) =>
        meltingColumn(
          { reach: 0.6, dz: 0.01 },
          { conductivity, capacity: of.heatCapacity },
          temperature,
          (z0, z1) => (z0 < -1e-9 ? 0 : flux * (Math.exp(-10 * z0) - Math.exp(-10 * z1))),
          pulse,
          0.08,
        );
      let [plane, hottest] = [0, 0];
      for (let time = 0.03; time < 0.07; time += 0.002) {
        plane = Math.max(plane, rise(0, time));
        for (let z = 0; z < 0.15; z += 0.01) hottest = Math.max(hottest, rise(z, time));
      }
      const dry = run((by) => LIMITS.start + by);
      near(dry.plane, LIMITS.start + plane, plane, 1e-2);
      const soaked = melting - LIMITS.start;
      const molten = run((by) => LIMITS.start + (by < soaked ? by : Math.max(soaked, by - known.latent)));
      expect(molten.plane).toBeGreaterThan(melting + 10);
      expect(Math.abs(molten.plane - temperatureOf(known, plane) - cold)).toBeLessThan(1);
      expect(Math.abs(LIMITS.start + plane - molten.plane - hot)).toBeLessThan(1);
      expect(Math.abs(molten.hottest - temperatureOf(known, hottest))).toBeLessThan(cold + 3);
    },
  );
});

describe('width of the seam', () => {
  const section = { first: -2, step: 0.1, left: Number.POSITIVE_INFINITY, right: Number.POSITIVE_INFINITY };
  const bell = Float64Array.from({ length: 41 }, (_, j) => 100 * Math.exp(-2 * (-2 + 0.1 * j) ** 2));

  test('of a bell: exact to 2e-4 mm', () => {
    for (const threshold of [20, 50, 90]) {
      expect(weldWidth(bell, section, threshold)).toBeCloseTo(2 * Math.sqrt(-Math.log(threshold / 100) / 2), 3);
    }
  });

  test('ends at the joint face; nothing melted is 0, nothing known NaN', () => {
    const face = bell.map((value, j) => (Math.abs(-2 + 0.1 * j) > 0.4 + 1e-9 ? Number.NaN : value));
    expect(weldWidth(face, { ...section, left: 0.43, right: 0.41 }, 20)).toBeCloseTo(0.84, 9);
    expect(weldWidth(bell, section, 101)).toBe(0);
    expect(
      weldWidth(
        bell.map(() => Number.NaN),
        section,
        1,
      ),
    ).toBeNaN();
  });
});
