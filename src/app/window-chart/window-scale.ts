// The process window over speed and line energy, both in equal ratios: places of values, values of places, borders as paths.
import { type ScaleLogarithmic, scaleLog } from 'd3-scale';
import { area, line } from 'd3-shape';
import type { ProcessWindow } from '../../model/process-window.ts';

export interface WindowScale {
  readonly x: ScaleLogarithmic<number, number>;
  readonly y: ScaleLogarithmic<number, number>;
  readonly width: number;
  readonly height: number;
}

export function windowScale({ speeds, energies }: ProcessWindow, width: number, height: number): WindowScale {
  return {
    x: scaleLog()
      .domain([speeds[0], speeds[speeds.length - 1]])
      .range([0, width]),
    y: scaleLog()
      .domain([energies[0], energies[energies.length - 1]])
      .range([height, 0]),
    width,
    height,
  };
}

export interface WindowBorder {
  /** For the style. */
  readonly kind: 'spoils' | 'loses' | 'melts' | 'onset' | 'most' | 'least';
  readonly name: string;
  readonly path: string;
  /** Where it leaves the plot on the right, px from the top; NaN where it is outside. */
  readonly end: number;
}

/** Borders that are known somewhere. */
export function windowBorders(window: ProcessWindow, { x, y, height }: WindowScale): readonly WindowBorder[] {
  const all: readonly (readonly [WindowBorder['kind'], string, Float64Array | null])[] = [
    ['spoils', 'spoils', window.spoils],
    ['loses', '1 % lost', window.loses],
    ['melts', `melts ${window.plan.wanted.toFixed(1)} mm`, window.melts],
    ['onset', 'begins to melt', window.onset],
    ['most', 'source, most', window.most],
    ['least', 'source, least', window.least],
  ];
  const shape = line<number>()
    .defined((energy) => energy > 0)
    .x((_, k) => x(window.speeds[k]))
    .y((energy) => y(energy))
    .digits(1);
  return all.flatMap(([kind, name, values]) => {
    const path = values === null ? null : shape(values);
    if (values === null || path === null || path === '') return [];
    const last = values.findLast((energy) => energy > 0) ?? Number.NaN;
    const end = y(last);
    return [{ kind, name, path, end: end >= 0 && end <= height ? end : Number.NaN }];
  });
}

/** What lies above the border where melting begins, as a path; empty where nothing melts at any speed. */
export function meltingShape(
  { speeds, onset }: Pick<ProcessWindow, 'speeds' | 'onset'>,
  { x, y }: WindowScale,
): string {
  const shape = area<number>()
    .defined((energy) => energy > 0)
    .x((_, k) => x(speeds[k]))
    .y0(0)
    .y1((energy) => Math.max(0, y(energy)))
    .digits(1);
  return shape(onset) ?? '';
}

/** Ticks at 1, 2 and 5 times powers of ten. */
export function roundTicks([low, high]: readonly number[]): readonly number[] {
  return [1e-4, 1e-3, 1e-2, 0.1, 1, 10, 100, 1000]
    .flatMap((power) => [1, 2, 5].map((m) => Number((m * power).toPrecision(3))))
    .filter((value) => value >= low && value <= high);
}

/** What a place in the plot stands for, to three digits and inside the map. */
export function valuesAt({ x, y }: WindowScale, px: number, py: number): { speed: number; energy: number } {
  const within = (scale: ScaleLogarithmic<number, number>, at: number): number => {
    const [low, high] = scale.domain();
    return Number(Math.min(high, Math.max(low, scale.invert(at))).toPrecision(3));
  };
  return { speed: within(x, px), energy: within(y, py) };
}
