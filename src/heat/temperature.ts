// From the rise that constant properties give to the temperature with melting: by enthalpy. The rise times the heat capacity
// is the heat taken up per volume; at the melting temperature the latent heat goes in first. Conduction itself is computed
// with constant properties, so this holds exactly without conduction, and approximately with it: against 1-D finite volumes in
// enthalpy, 40 ms pulses, it is 7 K too cold on the plane for PA66, 8 K for PP, 23 K for POM (ignoring the heat: 14, 24, 51 K too hot).
import type { HeatLimits } from '../model/heat.ts';

/** Temperature, degC, of a rise, K, of constant properties. */
export function temperatureOf({ start, melting, latent }: HeatLimits, rise: number): number {
  const sensible = start + rise;
  if (!(sensible > melting)) return sensible;
  return Math.max(melting, sensible - latent);
}

/** The rise, K, at which that temperature, degC, is reached; beyond melting with all latent heat taken up. */
export function riseOf({ start, melting, latent }: HeatLimits, temperature: number): number {
  return temperature - start + (temperature > melting ? latent : 0);
}
