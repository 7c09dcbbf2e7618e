// What the heat stage needs of a job: the two materials at the joint and their limits, and one place that stands for the seam.
import { extinctionOf } from '../beam/extinction.ts';
import { preheatRise } from '../heat/preheat.ts';
import type { WindowCase } from '../heat/process-window.ts';
import type { HeatSettings } from '../heat/row-passes.ts';
import type { Aim } from '../model/aim.ts';
import type { Half, HeatLimits, Medium } from '../model/heat.ts';
import type { Job, JobSeam } from '../model/job.ts';
import type { Material, Thermal } from '../model/material.ts';
import type { Seam } from '../model/seam.ts';

/** Settings of the heat stage and the case of the process window for one seam. */
export interface HeatCase {
  readonly settings: HeatSettings;
  readonly window: WindowCase;
}

/** Materials at the joint of a seam: what absorbs, and what the light passes; undefined where the job names none. */
export function jointMaterials(job: Job, seam: Seam): { absorber?: Material; layer?: Material } {
  const absorber = job.materials.get(job.parts[seam.faces[0]?.ref.part ?? -1]?.material ?? '');
  const passed = job.layer?.material ?? job.parts.find((part) => part.role === 'transmissive')?.material;
  const layer = job.materials.get(passed ?? '');
  return { ...(absorber && { absorber }), ...(layer && { layer }) };
}

/** Null where the absorbing part's material is not known well enough; a layer without thermal data counts as its like. */
export function heatCase(job: Job, jobSeam: JobSeam, seam: Seam, aim: Aim): HeatCase | null {
  const { absorber, layer } = jointMaterials(job, seam);
  const warm = absorber?.thermal;
  if (absorber?.absorption === undefined || warm === undefined) return null;
  const above = layer?.thermal ?? warm;
  const medium: Medium = {
    absorber: halfOf(warm),
    layer: halfOf(above),
    absorption: absorber.absorption,
    layerAbsorption: layer === undefined ? 0 : layerAbsorption(layer),
    layerThickness: known(median(aim.layer), 1),
  };
  const { process } = jobSeam;
  const { preheat } = process;
  const limits: HeatLimits = {
    start: process.startTemperature,
    melting: warm.melting,
    latent: warm.latent / warm.specificHeat,
    onset: Math.max(warm.weldOnset, above.weldOnset),
    decomposition: Math.min(warm.decomposition, above.decomposition),
  };
  const rise = (speed: number) => (preheat === null ? 0 : preheatRise(preheat, medium, speed));
  const { profile, powerMin, powerMax } = job.optics;
  const wall = (distances: Float64Array) => known(median(distances), Number.POSITIVE_INFINITY);
  return {
    settings: { profile, medium, limits: { ...limits, start: limits.start + rise(process.speed) } },
    window: {
      profile,
      along: known(median(aim.spotAlong), job.optics.waist),
      across: known(median(aim.spotAcross), job.optics.waist),
      medium,
      limits,
      kinetics: warm.kinetics,
      transmitted: known(median(aim.transmitted), 1),
      powerMin,
      powerMax,
      width: jobSeam.width,
      left: wall(aim.borderLeft),
      right: wall(aim.borderRight),
      preheat: rise,
    },
  };
}

function halfOf({ conductivity, density, specificHeat }: Thermal): Half {
  const heatCapacity = density * specificHeat;
  return { diffusivity: conductivity / heatCapacity, heatCapacity };
}

/** What heats the layer: as given, else all its extinction unless it scatters, of which then nothing is known. */
function layerAbsorption(layer: Material): number {
  if (layer.layerAbsorption !== undefined) return layer.layerAbsorption;
  if (layer.scattering || layer.transmittance === undefined) return 0;
  return extinctionOf(layer.transmittance.value, layer.index, layer.transmittance.thickness, layer.id);
}

function known(value: number, otherwise: number): number {
  return Number.isNaN(value) ? otherwise : value;
}

/** Middle of the known values; NaN where there is none. */
function median(values: Float64Array): number {
  const sorted = values.filter((value) => !Number.isNaN(value)).sort();
  return sorted.length === 0 ? Number.NaN : sorted[sorted.length >> 1];
}
