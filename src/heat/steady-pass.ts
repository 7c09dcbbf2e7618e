// The pass of a spot at constant speed along a straight seam, long after its start: everything is proportional to its power, so
// one pass of unit power says all for a speed.
import type { Medium } from '../model/heat.ts';
import { depthKernel } from './depth-kernel.ts';
import { type DiscTable, discTableFor } from './disc-share.ts';
import { chebyshevDepths, type PassRise, passOver } from './pass.ts';
import { highest } from './highest.ts';
import { addRise, type Approach, createRiseWork, excessOf, type Section } from './rise.ts';
import { acrossTrack, type StraightSpot, straightSource, wayBehind } from './straight-source.ts';
import type { HeatSource } from './heat-source.ts';

export interface SteadyPass extends PassRise {
  readonly section: Section;
  /** Depth of the hottest point below the bond plane, mm. */
  readonly hottestDepth: number;
}

/** Cooling is followed until the spot is this many radii away; points beside the light are waited for until it is so many. */
const LONGEST = 200;
const WAITED = 40;

/** Depth, mm, below which nothing gets hotter than above: two depths of absorption or spreading, whichever is less deep. */
export function deepestHot(absorption: number, diffusivity: number, stay: number): number {
  return 2 / (absorption + 1 / Math.sqrt(4 * diffusivity * stay));
}

/** Rises over a section of a straight seam; `threshold` (K) for the time above it; walls of the joint face, mm, if near. */
export function steadyPass(
  spot: StraightSpot,
  medium: Medium,
  threshold: number,
  half: number,
  count: number,
  walls: { readonly left: number; readonly right: number } = { left: Infinity, right: Infinity },
  discs: DiscTable | null = discTableFor(spot.profile),
): SteadyPass {
  const alpha = medium.absorber.diffusivity;
  const radius = Math.max(spot.along, spot.across);
  const cooling = Number.isFinite(threshold) ? LONGEST : WAITED;
  const ahead = cooling * radius;
  const source = straightSource(spot, wayBehind(spot, alpha, ahead / spot.speed), ahead);
  const reach = radius / spot.speed;
  const window = { from: -1.6 * reach, middle: 0, to: 2 * reach, until: source.time[source.count - 1] };
  const kernel = depthKernel(medium);
  let deepest = deepestHot(medium.absorption, alpha, reach);
  const lookTo = (depth: number) => {
    const { points, depths } = chebyshevDepths(depth);
    return { points, work: createRiseWork(source, kernel, depths, count, discs) };
  };
  let { points, work } = lookTo(deepest);
  const passAcross = (section: Section, least: number): PassRise => {
    const approach = straightApproach(source, section, -section.first);
    for (let turn = 0; ; turn++) {
      const rise = passOver(work, points, section, [approach], window, least);
      if (!rise.deeper || turn === 8) return rise;
      deepest *= 2;
      ({ points, work } = lookTo(deepest));
    }
  };
  // How deep to look is found in the middle alone.
  passAcross(acrossTrack(0, 1, walls.left, walls.right), Number.POSITIVE_INFINITY);
  const section = acrossTrack(half, count, walls.left, walls.right);
  // Both sides of a top-hat's track are alike where its walls are: one is computed.
  const alike = spot.profile === 'top-hat' && walls.left === walls.right && count % 2 === 1;
  const rise = alike
    ? mirrored(passAcross({ ...section, count: (count + 1) / 2 }, threshold))
    : passAcross(section, threshold);
  return { ...rise, section, hottestDepth: rise.hottestAt * deepest };
}

/** A pass over the side from the first point to the middle, made one over both sides. */
function mirrored(rise: PassRise): PassRise {
  const both = (side: Float64Array) => Float64Array.of(...side, ...side.slice(0, -1).reverse());
  const { peak, hottest, above, before } = rise;
  return { ...rise, peak: both(peak), hottest: both(hottest), above: both(above), before: both(before) };
}

function straightApproach(source: HeatSource, section: Section, half: number): Approach {
  const excess = Float64Array.from(source.s, (_, k) => excessOf(source, k, section, half));
  const distance = source.s.map(Math.abs);
  const closest = distance.indexOf(distance.reduce((least, d) => Math.min(least, d)));
  return { from: 0, to: source.count - 1, closest, distance: 0, excess };
}

/** Rises, K, at one depth (mm) below the middle of the track at the times after the spot's middle has passed, s. */
export function steadyHistory(
  spot: StraightSpot,
  medium: Medium,
  depth: number,
  times: Float64Array,
  discs: DiscTable | null = discTableFor(spot.profile),
): Float64Array {
  const way = wayBehind(spot, medium.absorber.diffusivity, Math.max(0, highest(times)));
  const source = straightSource(spot, way, 4 * Math.max(spot.along, spot.across) + highest(times) * spot.speed);
  const section = acrossTrack(0, 1);
  const approach = straightApproach(source, section, 0);
  const work = createRiseWork(source, depthKernel(medium), Float64Array.of(0, depth), 1, discs);
  const out = new Float64Array(2);
  return times.map((time) => {
    out.fill(0);
    addRise(work, section, approach, time, 2, out);
    return out[1];
  });
}
