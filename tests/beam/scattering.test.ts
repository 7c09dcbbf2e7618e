// What a scattering layer adds to the spot.
import { expect, test } from 'vitest';
import { aim, DEG, head, optics, plate, stated, straight } from './known-paths.ts';

const milky = (widening: number) => ({ ...plate('milky', 1.5), scattering: true, widening });

// Source: second-moment radius of an unscattered share f of radius w0 and a scattered Gaussian of radius ws, w = sqrt(f w0^2 + (1 - f)
// ws^2): f 0.3, w0 1, ws 2 give 1.760682 (computed; the two-parameter form: Akue Asseko et al., Key Eng. Mater. 611-612 (2014)
// 1560, abstract). Behind 2 mm that is a widening of sqrt((1 - f) (ws^2 - w0^2)) / 2 per mm.
test.each(['gaussian', 'top-hat'] as const)('widens a %s spot by second moments', async (profile) => {
  const job = stated(2, milky(Math.sqrt(0.7 * 3) / 2), { optics: optics({ waist: 1, profile }) });
  const { spotAlong, spotAcross } = await aim(straight(3), head(), [], job);
  expect(spotAlong[1]).toBeCloseTo(1.760682, 6);
  expect(spotAcross[1]).toBeCloseTo(1.760682, 6);
});

test('by the way inside the layer, beside what tilt does; nothing where it is not known', async () => {
  const tilted = await aim(straight(3), head({ tilt: 30 * DEG }), [], stated(2, milky(0.3)));
  const way = 2 / Math.cos(Math.asin(Math.sin(30 * DEG) / 1.5));
  expect(tilted.layer[1]).toBeCloseTo(way, 9);
  expect(tilted.spotAcross[1]).toBeCloseTo(Math.hypot(0.5 / Math.cos(30 * DEG), 0.3 * way), 9);
  expect(tilted.spotAlong[1]).toBeCloseTo(Math.hypot(0.5, 0.3 * way), 9);
  const { widening: _, ...unknown } = milky(0.3);
  expect((await aim(straight(3), head(), [], stated(2, unknown))).spotAcross[1]).toBe(0.5);
});
