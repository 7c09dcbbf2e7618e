// A material's part of plan.json, in the units of files, with everything that the plan was made from.
import type { Material, Thermal } from '../model/material.ts';
import { roundedNumber, significantNumber } from './decimal-text.ts';
import { QUANTITY } from './quantity.ts';

const G_MM3_PER_KG_M3 = 1e-6;
const W_MMK_PER_W_MK = 1e-3;
const NM_PER_MM = 1e6;

/** What is not known is null. */
export function describeMaterial(material: Material): object {
  const {
    id,
    title,
    polymer,
    index,
    transmittance,
    wavelengths,
    scattering,
    widening,
    absorption,
    layerAbsorption,
    thermal,
  } = material;
  const measured =
    transmittance === undefined
      ? {}
      : {
          transmittance: {
            value: significantNumber(transmittance.value),
            thickness_mm: roundedNumber(transmittance.thickness, QUANTITY.length.decimals),
          },
        };
  return {
    id,
    title,
    polymer: polymer ?? null,
    index: significantNumber(index),
    ...measured,
    wavelengths_nm: wavelengths === undefined ? null : wavelengths.map((mm) => roundedNumber(mm * NM_PER_MM, 3)),
    scattering,
    widening_mm_mm: widening === undefined ? (scattering ? null : 0) : significantNumber(widening),
    absorption_1_mm: absorption === undefined ? null : significantNumber(absorption),
    layer_absorption_1_mm: layerAbsorption === undefined ? null : significantNumber(layerAbsorption),
    thermal: thermal === undefined ? null : describeThermal(thermal),
  };
}

function describeThermal(thermal: Thermal): object {
  const celsius = (value: number) => roundedNumber(value, QUANTITY.temperature.decimals);
  return {
    structure: thermal.structure,
    density_kg_m3: significantNumber(thermal.density / G_MM3_PER_KG_M3),
    heat_J_gK: significantNumber(thermal.specificHeat),
    conductivity_W_mK: significantNumber(thermal.conductivity / W_MMK_PER_W_MK),
    melting_C: celsius(thermal.melting),
    weld_onset_C: celsius(thermal.weldOnset),
    latent_J_g: significantNumber(thermal.latent),
    decomposition_C: celsius(thermal.decomposition),
    decomposition_rate: thermal.kinetics && {
      a_1_s: significantNumber(thermal.kinetics.rate),
      e_J_mol: significantNumber(thermal.kinetics.energy),
    },
  };
}
