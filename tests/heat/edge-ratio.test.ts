import { describe, expect, it } from 'vitest';
import { roundSpotRatio } from '../../src/heat/edge-ratio.ts';

/** Fluence at distance r from the centre of a circle of radius R, round which a Gaussian spot of 1/e2 radius w is led, by sums. */
function fluence(R: number, r: number, w: number): number {
  const steps = 200_000;
  let sum = 0;
  for (let i = 0; i < steps; i++) {
    const angle = (2 * Math.PI * (i + 0.5)) / steps;
    sum += Math.exp((-2 * (R * R + r * r - 2 * R * r * Math.cos(angle))) / (w * w));
  }
  return sum;
}

describe('roundSpotRatio', () => {
  it.each([
    [10, 2, 0.9],
    [12, 2, 1],
    [40, 3, 0.8],
  ])('agrees with the fluence summed round a circle of %d mm, seam %d mm, spot %d mm', (radius, width, spot) => {
    const summed = fluence(radius, radius - width / 2, spot) / fluence(radius, radius + width / 2, spot);
    // The closed form leaves out 1 / (8 z), z = 4 R r / w^2 > 400: 3e-4, of which the ratio keeps a fifth.
    expect(roundSpotRatio(1 / radius, width) / summed).toBeCloseTo(1, 3);
    expect(1 / roundSpotRatio(-1 / radius, width)).toBeCloseTo(roundSpotRatio(1 / radius, width), 12);
  });

  it('has no bound where the seam reaches the centre', () => {
    expect(roundSpotRatio(1, 2)).toBe(Number.POSITIVE_INFINITY);
    expect(roundSpotRatio(-1, 2)).toBe(0);
    expect(roundSpotRatio(0, 2)).toBe(1);
  });
});
