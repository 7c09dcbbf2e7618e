import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { Resvg } from '@resvg/resvg-js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { depthImage, isHidden } from '../../../src/output/picture/depth-image.ts';
import { createPlaces, fitText, spreadApart, textWidth, wrapText } from '../../../src/output/picture/label.ts';
import { simplifyLine, simplifyRing } from '../../../src/output/picture/simplify-line.ts';
import { traceRegion } from '../../../src/output/picture/trace-region.ts';
import { createView, projected } from '../../../src/output/picture/view.ts';
import { saddlePlan } from '../saddle-plan.ts';

const require = createRequire(import.meta.url);
const SEED = 7_031;
const BOX = { x: 10, y: 20, width: 400, height: 300 };

const distanceToLine = (x: number, y: number, line: readonly number[]): number => {
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k + 3 < line.length; k += 2) {
    const [ax, ay, bx, by] = line.slice(k, k + 4);
    const square = (bx - ax) ** 2 + (by - ay) ** 2;
    const f = square > 0 ? Math.min(1, Math.max(0, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / square)) : 0;
    least = Math.min(least, Math.hypot(x - ax - f * (bx - ax), y - ay - f * (by - ay)));
  }
  return least;
};

describe('simplifying lines', () => {
  it(`keeps every point within the tolerance, the ends exactly (seed ${SEED})`, () => {
    const point = fc.tuple(fc.integer({ min: 0, max: 100 }), fc.integer({ min: 0, max: 100 }));
    fc.assert(
      fc.property(
        fc.array(point, { minLength: 2, maxLength: 60 }),
        fc.double({ min: 0.1, max: 20, noNaN: true }),
        (points, tolerance) => {
          const flat = points.flat();
          const kept = simplifyLine(flat, tolerance);
          expect(kept.slice(0, 2)).toEqual(flat.slice(0, 2));
          expect(kept.slice(-2)).toEqual(flat.slice(-2));
          for (const [x, y] of points) expect(distanceToLine(x, y, kept)).toBeLessThanOrEqual(tolerance + 1e-9);
        },
      ),
      { seed: SEED },
    );
  });

  it('makes a square of a ring of steps', () => {
    const ring: number[] = [];
    for (let k = 0; k < 10; k++) ring.push(k, 0);
    for (let k = 0; k < 10; k++) ring.push(10, k);
    for (let k = 10; k > 0; k--) ring.push(k, 10);
    for (let k = 10; k > 0; k--) ring.push(0, k);
    expect(simplifyRing(ring, 0.1)).toEqual([0, 0, 10, 0, 10, 10, 0, 10]);
  });
});

describe('tracing regions', () => {
  const ringsOf = (d: string): number[][] =>
    d
      .split('Z')
      .filter((part) => part !== '')
      .map((part) => part.slice(1).split(/[L,]/).map(Number));
  const area = (ring: readonly number[]): number => {
    let twice = 0;
    for (let k = 0; k < ring.length; k += 2) {
      const m = (k + 2) % ring.length;
      twice += ring[k] * ring[m + 1] - ring[m] * ring[k + 1];
    }
    return twice / 2;
  };

  it('finds a disc with a hole: two rings that turn opposite ways, with the area of the pixels', () => {
    const [width, height] = [120, 100];
    const values = new Uint8Array(width * height);
    for (let j = 0; j < height; j++) {
      for (let i = 0; i < width; i++) {
        const r = Math.hypot(i + 0.5 - 60, j + 0.5 - 50);
        values[j * width + i] = r < 45 && r > 15 ? 3 : 0;
      }
    }
    const rings = ringsOf(traceRegion(values, width, height, 3, 0, 0));
    expect(rings).toHaveLength(2);
    const areas = rings.map(area).sort((a, b) => b - a);
    // Circles of the same radii; the raster and the smoothing by 0.9 px leave about half a pixel of the border open.
    expect(Math.abs(areas[0] - Math.PI * 45 ** 2)).toBeLessThan(0.5 * 2 * Math.PI * 45);
    expect(Math.abs(-areas[1] - Math.PI * 15 ** 2)).toBeLessThan(0.5 * 2 * Math.PI * 15);
    expect(traceRegion(values, width, height, 4, 0, 0)).toBe('');
  });

  it('ends on pixels that touch at a corner only', () => {
    const values = new Uint8Array(64);
    for (let j = 0; j < 8; j++)
      for (let i = 0; i < 8; i++) values[8 * j + i] = Math.floor(i / 4) === Math.floor(j / 4) ? 1 : 0;
    const rings = ringsOf(traceRegion(values, 8, 8, 1, 0, 0));
    expect(rings.reduce((sum, ring) => sum + Math.abs(area(ring)), 0)).toBeGreaterThan(20);
  });
});

describe('view and depth', () => {
  const { parts, seams } = saddlePlan(120);
  const tub = parts[0].bodies[0];
  const normal = Float64Array.of(0, 0, 1);
  const view = createView(normal, [tub.position], BOX);

  it('fits all points into the box and fills it one way', () => {
    const p = projected(view, tub.position);
    const xs = Array.from(p).filter((_, k) => k % 3 === 0);
    const ys = Array.from(p).filter((_, k) => k % 3 === 1);
    expect(Math.min(...xs)).toBeGreaterThanOrEqual(BOX.x - 1e-6);
    expect(Math.max(...xs)).toBeLessThanOrEqual(BOX.x + BOX.width + 1e-6);
    expect(Math.min(...ys)).toBeGreaterThanOrEqual(BOX.y - 1e-6);
    expect(Math.max(...ys)).toBeLessThanOrEqual(BOX.y + BOX.height + 1e-6);
    const fill = Math.max(
      (Math.max(...xs) - Math.min(...xs)) / BOX.width,
      (Math.max(...ys) - Math.min(...ys)) / BOX.height,
    );
    expect(fill).toBeCloseTo(1, 9);
  });

  it('is a true axonometric view: unit axes, at right angles, up the picture for the joint normal', () => {
    const { right, up, eye } = view;
    const dot = (a: Float64Array, b: Float64Array): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    for (const v of [right, up, eye]) expect(dot(v, v)).toBeCloseTo(1, 12);
    for (const [a, b] of [
      [right, up],
      [up, eye],
      [eye, right],
    ] as const)
      expect(dot(a, b)).toBeCloseTo(0, 12);
    expect(dot(up, normal)).toBeGreaterThan(0);
    expect(dot(eye, normal)).toBeGreaterThan(0);
  });

  it('hides exactly what lies behind a facet, against a ray to the eye', () => {
    const image = depthImage(view, [tub], BOX);
    const at = Float64Array.of(0, 0, -25);
    const step = 7;
    let [agree, asked] = [0, 0];
    for (let x = -60; x <= 60; x += step) {
      for (let y = -60; y <= 60; y += step) {
        at[0] = x;
        at[1] = y;
        const [px, py, depth] = projected(view, at);
        const truth = rayHits(tub.position, tub.triangle, at, view.eye);
        asked++;
        if (isHidden(image, px, py, depth, 0.01) === truth) agree++;
      }
    }
    // Near outlines the raster errs towards showing: its 3 x 3 neighbourhood must be covered.
    expect(agree / asked).toBeGreaterThan(0.95);
    expect(seams).toHaveLength(1);
  });
});

/** Brute force (Moeller & Trumbore 1997): whether any triangle lies between the point and the eye. */
function rayHits(p: Float64Array, triangle: Uint32Array, from: Float64Array, d: Float64Array): boolean {
  const vertex = (k: number): number[] => Array.from(p.subarray(3 * triangle[k], 3 * triangle[k] + 3));
  const cross = (a: ArrayLike<number>, b: ArrayLike<number>): number[] => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ];
  const dot = (a: ArrayLike<number>, b: ArrayLike<number>): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  for (let k = 0; k < triangle.length; k += 3) {
    const [a, b, c] = [vertex(k), vertex(k + 1), vertex(k + 2)];
    const [u, v] = [b.map((x, i) => x - a[i]), c.map((x, i) => x - a[i])];
    const h = cross(d, v);
    const det = dot(u, h);
    if (Math.abs(det) < 1e-12) continue;
    const s = Array.from(from, (x, i) => x - a[i]);
    const q = cross(s, u);
    const [f, g, t] = [dot(s, h) / det, dot(d, q) / det, dot(v, q) / det];
    if (f >= 0 && g >= 0 && f + g <= 1 && t > 0.01) return true;
  }
  return false;
}

describe('words', () => {
  const fonts = dirname(require.resolve('dejavu-fonts-ttf/package.json'));
  const fontFiles = ['DejaVuSans.ttf', 'DejaVuSans-Bold.ttf'].map((name) => join(fonts, 'ttf', name));

  /** Width of the ink as a general-purpose renderer sets it. */
  const renderedWidth = (text: string, size: number, weight: 400 | 700): number => {
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="2000" height="60" font-family="DejaVu Sans" font-size="${size}" font-weight="${weight}"><text x="5" y="40">${text}</text></svg>`;
    const font = { fontFiles, loadSystemFonts: false, defaultFontFamily: 'DejaVu Sans' };
    return new Resvg(svg, { font }).getBBox()?.width ?? Number.NaN;
  };

  it.each([
    'Layer 3.42 mm along the beam from 112.0 to 131.5 mm (limit 3.00 mm)',
    'wwwwwmmmmmWWWWWMMMMM',
    'illicit filling, 1.111',
    'HEAD RUNS BACKWARDS',
    'wave-pod.step (0a1b2c3d), wave-pod-clamp.stl (99887766)',
    'incidence 15.0 % = 3 < 4 @ 50 mm/s',
  ])('are never set wider than they are thought to be: %s', (text) => {
    expect(readFileSync(fontFiles[0]).length).toBeGreaterThan(1000);
    const safe = text.replaceAll('<', '&lt;');
    for (const weight of [400, 700] as const) {
      const width = renderedWidth(safe, 12, weight);
      expect(width).toBeGreaterThan(10);
      expect(textWidth(text, 12, weight)).toBeGreaterThanOrEqual(width);
      expect(textWidth(text, 12, weight)).toBeLessThan(1.6 * width);
    }
  });

  it('break into lines that fit, losing none', () => {
    const text = 'Layer 3.42 mm along the beam from 112.0 to 131.5 mm, where the limit is 3.00 mm';
    const lines = wrapText(text, 12, 200);
    expect(lines.join(' ')).toBe(text);
    expect(lines.length).toBeGreaterThan(2);
    for (const line of lines) expect(textWidth(line, 12)).toBeLessThanOrEqual(200);
    expect(textWidth(fitText(text, 12, 100), 12)).toBeLessThanOrEqual(100);
    expect(fitText('short', 12, 100)).toBe('short');
  });

  it(`move apart and stay in bounds while there is room (seed ${SEED})`, () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 100, noNaN: true }), { minLength: 1, maxLength: 6 }), (heights) => {
        const out = spreadApart(heights, 14, 0, 100);
        const sorted = [...out].sort((a, b) => a - b);
        for (let k = 1; k < sorted.length; k++) expect(sorted[k] - sorted[k - 1]).toBeGreaterThanOrEqual(14 - 1e-9);
        expect(sorted[0]).toBeGreaterThanOrEqual(-1e-9);
        expect(sorted.at(-1)).toBeLessThanOrEqual(100 + 1e-9);
      }),
      { seed: SEED },
    );
  });
});

it('words keep off what they had better not cover while there is room, and cover it when there is none', () => {
  const places = createPlaces({ x: 0, y: 0, width: 100, height: 20 });
  places.avoid({ x: 0, y: 0, width: 60, height: 20 });
  const box = { x: 10, y: 2, width: 30, height: 10 };
  expect(places.take(box, true)).toBe(false);
  expect(places.take({ ...box, x: 65 }, true)).toBe(true);
  expect(places.take(box)).toBe(true);
  expect(places.take(box)).toBe(false);
});
