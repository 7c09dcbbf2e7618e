// Outlines of the set pixels of a mask, as rings along pixel borders, smoothed to what the eye takes for the true line.
import { simplifyRing } from './simplify-line.ts';
import { pathThrough } from './svg.ts';

/** Pixel steps are half a pixel off the true line; a little more makes straight lines straight, px. */
const TOLERANCE = 0.9;
/** Rings around fewer pixels are noise of the raster. */
const SMALLEST_AREA = 12;

/**
 * Path data (to be filled by the even-odd rule) round all pixels whose value is at least `level`; pixel (i, j) covers
 * i .. i + 1, j .. j + 1, shifted by x, y. `values` is width x height.
 */
export function traceRegion(
  values: Uint8Array,
  width: number,
  height: number,
  level: number,
  x: number,
  y: number,
): string {
  const next = borderSteps(values, width, height, level);
  let d = '';
  for (const start of next.keys()) {
    while (next.has(start)) {
      const ring = walk(next, start, width + 1);
      if (Math.abs(ringArea(ring)) < SMALLEST_AREA) continue;
      const smooth = simplifyRing(midpoints(ring), TOLERANCE);
      d += pathThrough(
        smooth.map((v, k) => v + (k % 2 === 0 ? x : y)),
        true,
      );
    }
  }
  return d;
}

/** From each grid corner to the next along the border, the set pixels on the right hand; a corner may have two ways out. */
function borderSteps(values: Uint8Array, width: number, height: number, level: number): Map<number, number[]> {
  const next = new Map<number, number[]>();
  const corner = (i: number, j: number): number => j * (width + 1) + i;
  const step = (from: number, to: number): void => {
    const ways = next.get(from);
    if (ways === undefined) next.set(from, [to]);
    else ways.push(to);
  };
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      const k = j * width + i;
      if (values[k] < level) continue;
      if (j === 0 || values[k - width] < level) step(corner(i, j), corner(i + 1, j));
      if (i === width - 1 || values[k + 1] < level) step(corner(i + 1, j), corner(i + 1, j + 1));
      if (j === height - 1 || values[k + width] < level) step(corner(i + 1, j + 1), corner(i, j + 1));
      if (i === 0 || values[k - 1] < level) step(corner(i, j + 1), corner(i, j));
    }
  }
  return next;
}

/** Takes one ring out of the steps; points x, y, x, y .. */
function walk(next: Map<number, number[]>, start: number, stride: number): number[] {
  const ring: number[] = [];
  let at = start;
  do {
    ring.push(at % stride, Math.floor(at / stride));
    const ways = next.get(at) as number[];
    const to = ways.pop() as number;
    if (ways.length === 0) next.delete(at);
    at = to;
  } while (at !== start);
  return ring;
}

function ringArea(ring: readonly number[]): number {
  let twice = 0;
  for (let k = 0; k < ring.length; k += 2) {
    const m = (k + 2) % ring.length;
    twice += ring[k] * ring[m + 1] - ring[m] * ring[k + 1];
  }
  return twice / 2;
}

/** Middles of the steps: they lie closer to a slanted border than the corners do. */
function midpoints(ring: readonly number[]): number[] {
  return ring.map((value, k) => (value + ring[(k + 2) % ring.length]) / 2);
}
