// The bodies and the stated layer that light passes, with the optical constants of their materials.
import type { SceneBody } from '../geometry/scene.ts';
import { InputError } from '../model/input-error.ts';
import type { Job } from '../model/job.ts';
import type { Material } from '../model/material.ts';
import { extinctionOf } from './extinction.ts';
import type { ClearBody, StatedLayer } from './trace-back.ts';

/** Transmissive bodies and clear clamps, in the scene's order. Throws InputError `material-incomplete`, `transmittance-impossible`. */
export function clearBodies(scene: readonly SceneBody[], materials: Job['materials']): ClearBody[] {
  return scene
    .filter(({ role }) => role === 'transmissive' || role === 'clear-clamp')
    .map(({ query, role, material }) => ({
      query,
      layer: role === 'transmissive',
      ...constants(material, materials),
    }));
}

/** The stated layer, which counts only where no body is transmissive. Throws as above. */
export function statedLayer(
  layer: Job['layer'],
  bodies: readonly ClearBody[],
  materials: Job['materials'],
): StatedLayer | null {
  if (layer === null || bodies.some((body) => body.layer)) return null;
  return { thickness: layer.thickness, ...constants(layer.material, materials) };
}

/** Index of the first transmissive layer over the joint; 1 where there is none. */
export function layerIndex(bodies: readonly ClearBody[], stated: StatedLayer | null): number {
  return stated?.index ?? bodies.find((body) => body.layer)?.index ?? 1;
}

/** Index of the absorbing body a station stands on; NaN where its material or its index is not known. */
export function absorberIndex(part: number, scene: readonly SceneBody[], materials: Job['materials']): number {
  const material = scene.find((body) => body.part === part)?.material ?? '';
  return materials.get(material)?.index ?? Number.NaN;
}

type Constants = Pick<ClearBody, 'index' | 'extinction' | 'widening'>;

function constants(id: string, materials: ReadonlyMap<string, Material>): Constants {
  const place = `/materials/${id}`;
  const material = materials.get(id);
  const measured = material?.transmittance;
  if (material === undefined || measured === undefined || !(material.index >= 1)) {
    throw new InputError(
      'material-incomplete',
      `the material "${id}" has no index or no transmittance, and the beam passes through it`,
      place,
      'give "index" and "transmittance" under "materials"',
    );
  }
  const extinction = extinctionOf(measured.value, material.index, measured.thickness, `${place}/transmittance`);
  return { index: material.index, extinction, widening: material.widening ?? 0 };
}
