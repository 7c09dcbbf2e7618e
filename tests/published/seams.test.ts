// Seams of the calibration pieces against closed forms: from STEP at the default deflection (0.01 mm, 0.1 rad).
import { beforeAll, describe, expect, test } from 'vitest';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Seam } from '../../src/model/seam.ts';
import { draw, lineAngle, minus, norm, sampleScene, sampleSeam } from '../seam/support.ts';
import { EllipticE } from './elliptic.ts';

/** A closed form: position as a function of a parameter, and the parameter of the point next to a given one. */
interface Form {
  readonly at: (u: number) => number[];
  readonly near: (p: readonly number[]) => number;
}

interface Errors {
  position: number;
  tangent: number;
  curvature: number;
}

/** First and second derivative by arc length from central differences of the closed form, 8th-order in the step. */
function derivatives(form: Form, u: number): { t: number[]; kappa: number } {
  const h = 1e-2;
  const w1 = [4 / 5, -1 / 5, 4 / 105, -1 / 280];
  const w2 = [8 / 5, -1 / 5, 8 / 315, -1 / 560];
  const d1 = [0, 0, 0];
  const d2 = form.at(u).map((x) => (-205 / 72) * x);
  for (let k = 1; k <= 4; k++) {
    const [a, b] = [form.at(u + k * h), form.at(u - k * h)];
    for (let c = 0; c < 3; c++) {
      d1[c] += (w1[k - 1] * (a[c] - b[c])) / h;
      d2[c] += w2[k - 1] * (a[c] + b[c]);
    }
  }
  const r2 = d2.map((x) => x / (h * h));
  const speed = norm(d1);
  const t = d1.map((x) => x / speed);
  const along = r2[0] * t[0] + r2[1] * t[1] + r2[2] * t[2];
  return { t, kappa: norm(r2.map((x, c) => x - along * t[c])) / (speed * speed) };
}

/** Largest errors of a seam against its closed form; curvature relative to max(kappa, floor). */
function compare(seam: Seam, form: Form, floor: number, skip: (p: readonly number[]) => boolean = () => false): Errors {
  const errors = { position: 0, tangent: 0, curvature: 0 };
  for (const { p, t, k } of sampleSeam(seam, 997)) {
    if (skip(p)) continue;
    const u = form.near(p);
    const exact = derivatives(form, u);
    const off = minus(p, form.at(u));
    const along = off[0] * exact.t[0] + off[1] * exact.t[1] + off[2] * exact.t[2];
    errors.position = Math.max(errors.position, norm(off.map((x, c) => x - along * exact.t[c])));
    errors.tangent = Math.max(errors.tangent, lineAngle(t, exact.t));
    errors.curvature = Math.max(errors.curvature, Math.abs(norm(k) - exact.kappa) / Math.max(exact.kappa, floor));
  }
  return errors;
}

/** Figures to reach: 0.1 um, 0.001 deg, 0.1 %. */
function expectFine(errors: Errors): void {
  expect(errors.position).toBeLessThan(1e-4);
  expect(errors.tangent).toBeLessThan(1e-3);
  expect(errors.curvature).toBeLessThan(1e-3);
}

const PPM = 1e-6;
const atan = (p: readonly number[]): number => Math.atan2(p[1], p[0]);

describe('disc', () => {
  let scene: SceneBody[];
  beforeAll(async () => {
    scene = await sampleScene('disc', { lid: 'transmissive', disc: 'absorbing' });
  });
  const circle = (r: number): Form => ({ at: (u) => [r * Math.cos(u), r * Math.sin(u), 6], near: atan });
  const select = { kind: 'edge', body: 'disc', near: [40, 0, 6], follow: 'tangent', faceNear: null } as const;

  // Source: circle of radius R, length 2 pi R, curvature 1/R (do Carmo 1976, sec. 1-5).
  test('its rim is a circle of radius 40', async () => {
    const seam = await draw(scene, { select });
    expect(seam.faceChoice).toBe('covered');
    expectFine(compare(seam, circle(40), 0));
    expect(Math.abs(seam.curve.length / (80 * Math.PI) - 1)).toBeLessThan(PPM);
  });

  test('moved by 2 mm towards its middle it is a circle of radius 38, by -2 mm one of 42', async () => {
    for (const [offset, radius] of [
      [2, 38],
      [-2, 42],
    ]) {
      const seam = await draw(scene, { select, offset });
      expectFine(compare(seam, circle(radius), 0));
      expect(Math.abs(seam.curve.length / (2 * Math.PI * radius) - 1)).toBeLessThan(PPM);
    }
  });
});

describe('crossing cylinders of radius 40 and 25', () => {
  let scene: SceneBody[];
  beforeAll(async () => {
    scene = await sampleScene('crossing-cylinders', { lid: 'transmissive', boss: 'absorbing' });
  });
  // Source: x = r cos u, y = r sin u, z = sqrt(R^2 - r^2 sin^2 u): both cylinders' equations hold by construction.
  const form: Form = {
    at: (u) => [25 * Math.cos(u), 25 * Math.sin(u), Math.sqrt(1600 - (25 * Math.sin(u)) ** 2)],
    near: atan,
  };
  const near = form.at(0.6) as [number, number, number];
  const select = { kind: 'edge', body: 'boss', near, follow: 'tangent', faceNear: null } as const;

  test('the edge where they cross', async () => {
    const seam = await draw(scene, { select });
    expect(seam.faceChoice).toBe('covered');
    expectFine(compare(seam, form, 0));
    // The trapezium rule converges faster than any power on a periodic integrand (Trefethen & Weideman 2014).
    const n = 4096;
    let length = 0;
    for (let i = 0; i < n; i++) {
      const u = (2 * Math.PI * i) / n;
      const dz = (-625 * Math.sin(u) * Math.cos(u)) / Math.sqrt(1600 - (25 * Math.sin(u)) ** 2);
      length += (2 * Math.PI * Math.hypot(25, dz)) / n;
    }
    expect(Math.abs(seam.curve.length / length - 1)).toBeLessThan(PPM);
  });

  test('moved by 2 mm it lies 2 mm from the edge in the unrolled cylinder', async () => {
    // Source: a cylinder unrolls without changing lengths (do Carmo 1976, sec. 4-2): plane coordinates x and R theta.
    const flat = (p: readonly number[]): [number, number] => [p[0], 40 * Math.atan2(p[1], p[2])];
    const seam = await draw(scene, { select, offset: 2 });
    for (const { p } of sampleSeam(seam, 199)) {
      expect(Math.abs(Math.hypot(p[1], p[2]) - 40)).toBeLessThan(1e-4);
      const [x, y] = flat(p);
      const distance = (u: number): number => {
        const [ex, ey] = flat(form.at(u));
        return Math.hypot(x - ex, y - ey);
      };
      let [low, high] = [atan(p) - 0.3, atan(p) + 0.3];
      // Golden section on the one minimum there.
      for (let i = 0; i < 60; i++) {
        const a = high - 0.618034 * (high - low);
        const b = low + 0.618034 * (high - low);
        if (distance(a) < distance(b)) high = b;
        else low = a;
      }
      expect(Math.abs(distance(low) - 2)).toBeLessThan(1e-4);
    }
  });
});

describe('saddle rim z = 8 cos 2 phi on a cylinder of radius 40', () => {
  const form: Form = {
    at: (u) => [40 * Math.cos(u), 40 * Math.sin(u), 8 * Math.cos(2 * u)],
    near: atan,
  };
  test('its edge, with length and curvature of the reference sheet', async () => {
    const scene = await sampleScene('saddle-rim', { rim: 'absorbing' });
    const seam = await draw(scene, {
      select: { kind: 'edge', body: 'rim', near: [40, 0, 8], follow: 'tangent', faceNear: [37, 0, 8] },
    });
    expect(seam.faceChoice).toBe('given');
    const errors = compare(seam, form, 0);
    expectFine(errors);
    // Source: reference sheet, section 4 (computed, 30-digit quadrature): 4 R E(m = -4 A^2 / R^2).
    expect(Math.abs(seam.curve.length / 261.097422645194 - 1)).toBeLessThan(PPM);
    expect(160 * EllipticE(-0.16)).toBeCloseTo(261.097422645194, 9);
    const kappa = sampleSeam(seam, 997).map(({ k }) => norm(k));
    expect(Math.abs(Math.max(...kappa) / 0.032015621187 - 1)).toBeLessThan(1e-3);
    expect(Math.abs(Math.min(...kappa) / 0.021551724138 - 1)).toBeLessThan(1e-3);
  });
});

describe('middles of bands', () => {
  // Figures to reach: 1 um, 0.02 deg, 0.5 % of max(kappa, 1/500 mm) beyond 1 mm from joints.
  const expectMiddle = (errors: Errors): void => {
    expect(errors.position).toBeLessThan(1e-3);
    expect(errors.tangent).toBeLessThan(0.02);
    expect(errors.curvature).toBeLessThan(5e-3);
  };

  test('flat stadium: lines and arcs of radius 20', async () => {
    const scene = await sampleScene('stadium', { lid: 'transmissive', tray: 'absorbing' });
    const select = { kind: 'band', body: 'tray', near: [0, -20, 8], follow: 'tangent' } as const;
    const seam = await draw(scene, { select });
    expect(seam.corners).toEqual([]);
    expect(seam.kinks).toEqual([]);
    const right: Form = {
      at: (u) => [30 + 20 * Math.cos(u), 20 * Math.sin(u), 8],
      near: (p) => Math.atan2(p[1], p[0] - 30),
    };
    const left: Form = {
      at: (u) => [-30 + 20 * Math.cos(u), 20 * Math.sin(u), 8],
      near: (p) => Math.atan2(p[1], p[0] + 30),
    };
    const low: Form = { at: (u) => [u, -20, 8], near: (p) => p[0] };
    const high: Form = { at: (u) => [u, 20, 8], near: (p) => p[0] };
    expectMiddle(compare(seam, right, 1 / 500, (p) => p[0] < 31));
    expectMiddle(compare(seam, left, 1 / 500, (p) => p[0] > -31));
    expectMiddle(compare(seam, low, 1 / 500, (p) => Math.abs(p[0]) > 29 || p[1] > 0));
    expectMiddle(compare(seam, high, 1 / 500, (p) => Math.abs(p[0]) > 29 || p[1] < 0));
    // Source: 2 x 60 + 2 pi 20 mm.
    expect(Math.abs(seam.curve.length / (120 + 40 * Math.PI) - 1)).toBeLessThan(PPM);
  });

  test('dome: circle of latitude 40 degrees from the pole of a sphere of radius 60', async () => {
    const scene = await sampleScene('dome-pair', { lid: 'transmissive', dome: 'absorbing' });
    const [r, z] = [60 * Math.sin((40 * Math.PI) / 180), 60 * Math.cos((40 * Math.PI) / 180)];
    const seam = await draw(scene, { select: { kind: 'band', body: 'dome', near: [r, 0, z], follow: 'tangent' } });
    expectFine(compare(seam, { at: (u) => [r * Math.cos(u), r * Math.sin(u), z], near: atan }, 0));
    expect(Math.abs(seam.curve.length / (2 * Math.PI * r) - 1)).toBeLessThan(PPM);
  });

  test('torus ring: parallel circle of radius 60', async () => {
    const scene = await sampleScene('torus-ring', { lid: 'transmissive', ring: 'absorbing' });
    const z = 20 * Math.cos(Math.PI / 6);
    const seam = await draw(scene, { select: { kind: 'band', body: 'ring', near: [60, 0, z], follow: 'tangent' } });
    expectFine(compare(seam, { at: (u) => [60 * Math.cos(u), 60 * Math.sin(u), z], near: atan }, 0));
    expect(Math.abs(seam.curve.length / (120 * Math.PI) - 1)).toBeLessThan(PPM);
  });
});
