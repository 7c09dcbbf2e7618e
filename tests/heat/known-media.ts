// Media with the constants of the published cases, and the shortest ways to ask the kernels.
import { depthKernel } from '../../src/heat/depth-kernel.ts';
import type { HeatSource } from '../../src/heat/heat-source.ts';
import { type Approach, addRise, createRiseWork, excessOf, type Section } from '../../src/heat/rise.ts';
import type { Half, HeatLimits, Medium } from '../../src/model/heat.ts';

/** From density g/mm3, specific heat J/(g K), conductivity W/(mm K). */
export const half = (density: number, heat: number, conductivity: number): Half => ({
  diffusivity: conductivity / (density * heat),
  heatCapacity: density * heat,
});

export const PC = half(1.2e-3, 1.7, 2.2e-4);
export const PA6 = half(1.13e-3, 2.4, 2.5e-4);

export const medium = (absorption: number, absorber = PC, more: Partial<Medium> = {}): Medium => ({
  absorber,
  layer: absorber,
  absorption,
  layerAbsorption: 0,
  layerThickness: 2,
  ...more,
});

export const LIMITS: HeatLimits = { start: 23, melting: 147, latent: 0, onset: 230, decomposition: 526 };

/** All rows of a source as one approach to a section whose middle is closest to the row `closest`. */
function wholeApproach(source: HeatSource, section: Section, closest: number): Approach {
  const width = Math.abs(section.first);
  const excess = Float64Array.from(source.time, (_, k) => excessOf(source, k, section, width));
  return { from: 0, to: source.count - 1, closest, distance: 0, excess };
}

/** Rises, K, of a source over a section at a time, [depth][point]. */
export function risesAt(
  source: HeatSource,
  of: Medium,
  section: Section,
  closest: number,
  depths: readonly number[],
  time: number,
): Float64Array[] {
  const work = createRiseWork(source, depthKernel(of), Float64Array.from(depths), section.count);
  const out = new Float64Array(depths.length * section.count);
  addRise(work, section, wholeApproach(source, section, closest), time, depths.length, out);
  return depths.map((_, d) => out.slice(d * section.count, (d + 1) * section.count));
}

/** Row of the source closest to x = 0 on the x axis. */
export const rowAtZero = (source: HeatSource): number =>
  source.s.reduce((best, s, k) => (Math.abs(s) < Math.abs(source.s[best]) ? k : best), 0);
