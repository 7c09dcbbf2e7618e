// How far the beam axis may lean from its nominal direction at every station: first an estimate of what the limits of
// incidence leave, later what a trace of the leaning beam has shown.
import { asin, sin } from '../geometry/elementary.ts';
import type { Aim } from '../model/aim.ts';
import type { Limits } from '../model/job.ts';

/** Limits that a leaning beam can break. */
export type LeanLimits = Pick<Limits, 'incidenceEntry' | 'incidenceJoint' | 'layer' | 'gap' | 'clipped' | 'capture'>;

/** Kept free below the limits of incidence, rad: 0.05 deg, more than a trace is off by. */
const MARGIN = (0.05 * Math.PI) / 180;
/** What the other values may lie over before they count as broken: what they are accurate to, mm and shares of a shadow's rays. */
const LENGTH = 0.002;
const SHARE = 5e-4;
/** A broken cone shrinks by this at least. */
const LEAST_SHRINK = 0.98;

/**
 * The job's cone `relax` (rad), or less where a limit of incidence is nearer: the axis in air turns the light in a layer of `index`
 * by what Snell's law makes of it, and no angle to a normal grows by more than the axis leans. 0 where the nominal beam
 * breaks a limit itself or its incidence is unknown. n, rad.
 */
export function incidenceCones(nominal: Aim, relax: number, limits: LeanLimits, index: number): Float64Array {
  const { incidenceEntry, incidenceJoint } = nominal;
  const inAir = (angle: number): number => asin(Math.min(1, index * sin(Math.min(angle, Math.PI / 2))));
  const most = inAir(limits.incidenceJoint);
  return incidenceEntry.map((entry, i) => {
    const left = Math.min(relax, limits.incidenceEntry - entry - MARGIN, most - inAir(incidenceJoint[i]) - MARGIN);
    return Number.isNaN(left) ? 0 : Math.max(left, 0);
  });
}

/**
 * Where the beam that leans by `lean` (n, rad) breaks a limit that the nominal beam holds, or breaks one further: makes the
 * cone narrower there, in place, by how much too far the value went, down to nothing with `close`. Says whether any was broken.
 */
export function narrowBroken(
  cone: Float64Array,
  lean: Float64Array,
  aim: Aim,
  nominal: Aim,
  limits: LeanLimits,
  close: boolean,
): boolean {
  // Values, those of the nominal beam, limit, accuracy, and what a narrower cone aims to keep below the limit.
  const bounds: [Float64Array, Float64Array, number, number, number][] = [
    [aim.incidenceEntry, nominal.incidenceEntry, limits.incidenceEntry, 0, MARGIN],
    [aim.incidenceJoint, nominal.incidenceJoint, limits.incidenceJoint, 0, MARGIN],
    [aim.layer, nominal.layer, limits.layer, LENGTH, 0],
    [aim.gap, nominal.gap, limits.gap, LENGTH, 0],
    [aim.clipped, nominal.clipped, limits.clipped, SHARE, limits.clipped / 2],
    [negative(aim.capture), negative(nominal.capture), -limits.capture, SHARE, (1 - limits.capture) / 2],
  ];
  let broken = false;
  for (const [values, before, limit, accuracy, margin] of bounds) {
    for (let i = 0; i < cone.length; i++) {
      if (cone[i] === 0 || Number.isNaN(before[i]) || values[i] <= Math.max(limit, before[i]) + accuracy) continue;
      broken = true;
      const share = (limit + accuracy - margin - before[i]) / (values[i] - before[i]);
      cone[i] = close || !(share > 0) ? 0 : Math.min(share, LEAST_SHRINK) * Math.min(cone[i], lean[i]);
    }
  }
  return broken;
}

function negative(values: Float64Array): Float64Array {
  return values.map((value) => -value);
}
