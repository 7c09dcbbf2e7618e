// Colours of a map from 0 to 1 (cividis: even to the eye, also to one that does not tell red from green; Nunez, Anderton & Renslow
// 2018, PLoS ONE 13, e0199239), as shown and as linear light.
import { interpolateCividis } from 'd3-scale-chromatic';
import { pow } from '../geometry/elementary.ts';

/** Steps of the table. */
const STEPS = 256;

/** Red, green, blue of sRGB, 0 .. 255, for a share 0 .. 1. */
export function shownColour(share: number): readonly [number, number, number] {
  const text = interpolateCividis(Math.min(1, Math.max(0, share)));
  const [r, g, b] = (/(\d+), (\d+), (\d+)/.exec(text) ?? []).slice(1).map(Number);
  return [r, g, b];
}

/** Linear light of sRGB (IEC 61966-2-1), 0 .. 1, of 256 steps of the map: 3 x 256. */
export function linearColours(): Float64Array {
  const out = new Float64Array(3 * STEPS);
  for (let step = 0; step < STEPS; step++) {
    shownColour(step / (STEPS - 1)).forEach((value, k) => {
      const c = value / 255;
      out[3 * step + k] = c <= 0.04045 ? c / 12.92 : pow((c + 0.055) / 1.055, 2.4);
    });
  }
  return out;
}

/** Step of a value between low and high. */
export function colourStep(value: number, low: number, high: number): number {
  const share = high > low ? (value - low) / (high - low) : 0.5;
  return Math.min(STEPS - 1, Math.max(0, Math.round(share * (STEPS - 1))));
}
