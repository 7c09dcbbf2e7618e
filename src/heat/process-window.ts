// The process window: over line energy and speed, where the bond plane melts over the wanted width, where the hottest point
// below it decomposes, and what the source can give. Rises are proportional to line energy, so one pass a speed says all.
import { pow } from '../geometry/elementary.ts';
import type { HeatLimits, Medium } from '../model/heat.ts';
import type { Profile } from '../model/optics.ts';
import type { ProcessWindow } from '../model/process-window.ts';
import type { Task } from '../model/task.ts';
import { type Kinetics, LOST, lostShare } from './decomposition.ts';
import { type DiscTable, discTableFor } from './disc-share.ts';
import { highest } from './highest.ts';
import { onFace } from './rise.ts';
import { type SteadyPass, steadyHistory, steadyPass } from './steady-pass.ts';
import { riseOf, temperatureOf } from './temperature.ts';
import { weldWidth } from './weld-width.ts';

/** What a window is computed for: one place of the seam that stands for all, or the worst. */
export interface WindowCase {
  readonly profile: Profile;
  /** Spot radii on the joint, mm. */
  readonly along: number;
  readonly across: number;
  readonly medium: Medium;
  readonly limits: HeatLimits;
  readonly kinetics: Kinetics | null;
  /** Share of the source's power that enters the absorber, and its bounds, W. */
  readonly transmitted: number;
  readonly powerMin: number;
  readonly powerMax: number;
  /** Wanted width, mm; walls of the joint face, mm, Infinity where none is near. */
  readonly width: number;
  readonly left: number;
  readonly right: number;
  /** Rise of the start temperature by a preheat at a speed, K. */
  readonly preheat: (speed: number) => number;
}

const ACROSS = 41;
const SPEEDS = 17;
const ENERGIES = 25;

/** Speeds run from a quarter to four times the plan's, line energies from a fifth to two and a half times. */
const SPEED_SPAN = 4;
const ENERGY_SPAN: readonly [number, number] = [0.2, 2.5];

/** A pass of 1 J/mm at a speed; the table of a top-hat may be handed on from one speed to the next. */
export function unitPass(of: WindowCase, speed: number, discs = discTableFor(of.profile)): SteadyPass {
  const spot = { profile: of.profile, along: of.along, across: of.across, speed, power: speed };
  const half = 2 * Math.max(of.across, of.along);
  return steadyPass(spot, of.medium, Number.POSITIVE_INFINITY, half, ACROSS, { left: of.left, right: of.right }, discs);
}

/** The limits as they are once a preheat has warmed the parts. */
export function preheated(of: WindowCase, speed: number): HeatLimits {
  return { ...of.limits, start: of.limits.start + of.preheat(speed) };
}

/** Width, mm, that a line energy (J/mm) melts. */
export function widthAt(pass: SteadyPass, limits: HeatLimits, lineEnergy: number): number {
  const threshold = riseOf(limits, limits.onset) / lineEnergy;
  return weldWidth(onFace(pass.section, pass.peak), pass.section, threshold);
}

/** Line energy, J/mm, whose highest temperature on the bond plane is `temperature`, degC. */
export function energyForPeak(pass: SteadyPass, limits: HeatLimits, temperature: number): number {
  return riseOf(limits, temperature) / highest(onFace(pass.section, pass.peak));
}

/**
 * Line energy, J/mm, that melts a `width` (mm; 0: just melts); NaN where no energy does: wider than spot or joint face; 0 where
 * it melts without.
 */
export function energyForWidth(pass: SteadyPass, limits: HeatLimits, width: number): number {
  const least = energyForPeak(pass, limits, limits.onset);
  if (least <= 0) return 0;
  if (width <= 0) return least;
  let [low, high] = [least, least * 1e3];
  if (!(widthAt(pass, limits, high) >= width)) return Number.NaN;
  for (let turn = 0; turn < 60; turn++) {
    const middle = Math.sqrt(low * high);
    if (widthAt(pass, limits, middle) >= width) high = middle;
    else low = middle;
  }
  return high;
}

/** Line energy, J/mm, whose hottest point reaches the decomposition limit. */
function energyForSpoiling(pass: SteadyPass, limits: HeatLimits): number {
  return riseOf(limits, limits.decomposition) / highest(onFace(pass.section, pass.hottest));
}

/** Line energy, J/mm, at which kinetics lose a hundredth at the hottest point. */
function energyForLoss(
  of: WindowCase,
  pass: SteadyPass,
  speed: number,
  kinetics: Kinetics,
  discs: DiscTable | null,
): number {
  const limits = preheated(of, speed);
  const pace = Math.max(of.along, of.across) / speed;
  const times = Float64Array.from({ length: 160 }, (_, k) => (-1.6 + 0.04 * k + 1.5e-6 * k ** 4) * pace);
  const spot = { profile: of.profile, along: of.along, across: of.across, speed, power: speed };
  const rises = steadyHistory(spot, of.medium, pass.hottestDepth, times, discs);
  const scale = highest(pass.hottest) / highest(rises);
  const top = energyForSpoiling(pass, limits);
  let [low, high] = [0.2 * top, 5 * top];
  for (let turn = 0; turn < 40; turn++) {
    const middle = Math.sqrt(low * high);
    const history = rises.map((rise) => temperatureOf(limits, rise * scale * middle));
    if (lostShare(kinetics, times, history) > LOST) high = middle;
    else low = middle;
  }
  return high;
}

/** The window round a plan at `speed` (mm/s) and `lineEnergy` (J/mm). Cancelled by the task. */
export async function processWindow(
  of: WindowCase,
  speed: number,
  lineEnergy: number,
  task?: Task,
): Promise<ProcessWindow> {
  const speeds = spaced(speed / SPEED_SPAN, speed * SPEED_SPAN, SPEEDS);
  const energies = spaced(lineEnergy * ENERGY_SPAN[0], lineEnergy * ENERGY_SPAN[1], ENERGIES);
  const discs = discTableFor(of.profile);
  const passes: SteadyPass[] = [];
  for (const v of speeds) {
    await task?.pause('mapping the process window', passes.length / speeds.length);
    passes.push(unitPass(of, v, discs));
  }
  const limitsAt = Array.from(speeds, (v) => preheated(of, v));
  const along = (at: (pass: SteadyPass, limits: HeatLimits, k: number) => number) =>
    Float64Array.from(passes, (pass, k) => at(pass, limitsAt[k], k));
  const { kinetics } = of;
  const widths = new Float64Array(speeds.length * energies.length);
  passes.forEach((pass, k) => {
    energies.forEach((energy, m) => {
      widths[k * energies.length + m] = widthAt(pass, limitsAt[k], energy);
    });
  });
  const middle = (SPEEDS - 1) / 2;
  const here = passes[middle];
  const limits = limitsAt[middle];
  return {
    speeds,
    energies,
    widths,
    onset: along((pass, limit) => energyForWidth(pass, limit, 0)),
    melts: along((pass, limit) => energyForWidth(pass, limit, of.width)),
    spoils: along(energyForSpoiling),
    loses: kinetics === null ? null : along((pass, _, k) => energyForLoss(of, pass, speeds[k], kinetics, discs)),
    most: speeds.map((v) => (of.powerMax * of.transmitted) / v),
    least: speeds.map((v) => (of.powerMin * of.transmitted) / v),
    transmitted: of.transmitted,
    plan: {
      speed,
      lineEnergy,
      incident: lineEnergy / of.transmitted,
      width: widthAt(here, limits, lineEnergy),
      wanted: of.width,
      peak: temperatureOf(limits, highest(onFace(here.section, here.peak)) * lineEnergy),
      hottest: temperatureOf(limits, highest(onFace(here.section, here.hottest)) * lineEnergy),
      overMelting: lineEnergy / energyForWidth(here, limits, of.width) - 1,
      underSpoiling: energyForSpoiling(here, limits) / lineEnergy - 1,
      underPower: (of.powerMax * of.transmitted) / (lineEnergy * speed) - 1,
    },
  };
}

/** `count` values from low to high in equal ratios; the middle one is exact where low and high lie about it so. */
function spaced(low: number, high: number, count: number): Float64Array {
  return Float64Array.from({ length: count }, (_, k) => low * pow(high / low, k / (count - 1)));
}
