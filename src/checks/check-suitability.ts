// Whether two materials suit each other and the laser, before any path: what transmits and what absorbs, melting ranges that
// overlap, what is known of the pair, how thick a layer may be, what colour may do.
import { log } from '../geometry/elementary.ts';
import type { Finding } from '../model/finding.ts';
import type { Job } from '../model/job.ts';
import { type Material, pairKey, type Verdict } from '../model/material.ts';
import { createFinding } from './ask.ts';
import type { Code } from './severity.ts';
import { THRESHOLDS } from './severity.ts';

const NM_PER_MM = 1e6;

/** Findings about the materials of absorbing parts and of what lies on them; each pair once. */
export function checkSuitability(job: Job): Finding[] {
  const absorbers = materialsOf(job, 'absorbing');
  const layers = job.layer === null ? materialsOf(job, 'transmissive') : known([job.materials.get(job.layer.material)]);
  return [
    ...[...new Set([...absorbers, ...layers])].flatMap((material) => wavelengthFindings(material, job)),
    ...absorbers.flatMap(absorberFindings),
    ...layers.flatMap((layer) => layerFindings(layer, job)),
    ...absorbers.flatMap((absorber) => layers.flatMap((layer) => pairFindings(absorber, layer, job))),
  ];
}

function materialsOf(job: Job, role: 'absorbing' | 'transmissive'): Material[] {
  const ids = job.parts.filter((part) => part.role === role && part.material !== '').map((part) => part.material);
  return known([...new Set(ids)].map((id) => job.materials.get(id)));
}

function known(materials: readonly (Material | undefined)[]): Material[] {
  return materials.filter((material) => material !== undefined);
}

const say = (code: Code, sentence: string, value = Number.NaN, limit = Number.NaN, unit = ''): Finding =>
  createFinding(code, { sentence, value, limit, unit });

/** What transmits and what absorbs is a matter of the wavelength. */
function wavelengthFindings({ title, wavelengths }: Material, { optics }: Job): Finding[] {
  if (wavelengths === undefined) return [];
  const [short, long, laser] = [...wavelengths, optics.wavelength].map((mm) => Math.round(mm * NM_PER_MM));
  if (laser >= short && laser <= long) return [];
  const sentence = `What is known of ${title} holds from ${short} to ${long} nm, the laser has ${laser} nm`;
  return [say('wavelength-other', sentence, laser, laser < short ? short : long, 'nm')];
}

function absorberFindings(material: Material): Finding[] {
  const { title, absorption, thermal } = material;
  if (absorption === undefined) {
    const sentence = `How much ${title} absorbs at this wavelength is not known, so the heat at the joint is not computed`;
    return [say(material.transmittance === undefined ? 'heat-unknown' : 'absorber-transmits', sentence)];
  }
  const least = THRESHOLDS.absorption;
  const clear =
    absorption < least
      ? [
          say(
            'absorber-transmits',
            `${title} absorbs ${absorption.toFixed(2)} per mm: most of the light goes deeper than ${(1 / least).toFixed(0)} mm instead of heating the joint`,
            absorption,
            least,
            '/mm',
          ),
        ]
      : [];
  if (thermal !== undefined) return clear;
  return [...clear, say('heat-unknown', `How ${title} warms is not known, so the heat at the joint is not computed`)];
}

function layerFindings(material: Material, job: Job): Finding[] {
  const { title, transmittance, index, colour, scattering, widening } = material;
  const found: Finding[] = [];
  if (transmittance !== undefined && Number.isFinite(index)) {
    const thickness = thicknessThatDelivers(material, job);
    const wanted = job.layer?.thickness ?? job.limits.layer;
    if (thickness < wanted) {
      found.push(
        say(
          'layer-starves',
          `Of ${title} at most ${thickness.toFixed(2)} mm let enough light through for the wanted line energy at the process speed`,
          thickness,
          wanted,
          'mm',
        ),
      );
    }
  }
  if (scattering && widening === undefined) {
    const sentence = `How far ${title} scatters the light is not known: the spot on the joint is taken as wide as without it, and is wider`;
    found.push(say('scattering-unknown', sentence));
  }
  if (colour !== undefined) {
    const wavelength = (job.optics.wavelength * NM_PER_MM).toFixed(0);
    const sentence = `${title} is to be ${colour}: pigments that look so may absorb or scatter at ${wavelength} nm`;
    found.push(say('colour-caution', sentence));
  }
  return found;
}

/** Layer, mm, at which the source's largest power just gives the line energy at the process speed; single pass of the light. */
function thicknessThatDelivers({ transmittance, index }: Material, job: Job): number {
  if (transmittance === undefined) return 0;
  const reflected = ((index - 1) / (index + 1)) ** 2;
  const passed = transmittance.value / (1 - reflected) ** 2;
  const needed = Math.max(...job.seams.map(({ process }) => process.lineEnergy * process.speed)) / job.optics.powerMax;
  if (1 - reflected <= needed) return 0;
  if (passed >= 1) return Number.POSITIVE_INFINITY;
  // (1 - R) passed^(d / thickness) = needed
  return (transmittance.thickness * log(needed / (1 - reflected))) / log(passed);
}

function pairFindings(absorber: Material, layer: Material, job: Job): Finding[] {
  return [
    ...meltingFindings(absorber, layer),
    ...verdictFindings(absorber, layer, job),
    ...softFindings(absorber, layer),
  ];
}

/** Both must be above their weld onset and below their decomposition at once. */
function meltingFindings({ title, thermal: a }: Material, { title: other, thermal: b }: Material): Finding[] {
  if (a === undefined || b === undefined) return [];
  const [from, to] = [Math.max(a.weldOnset, b.weldOnset), Math.min(a.decomposition, b.decomposition)];
  const between = `${title} and ${other}`;
  if (to <= from) {
    const sentence = `No temperature melts ${between} and spoils neither: one needs ${from.toFixed(0)} degC, the other decomposes at ${to.toFixed(0)} degC`;
    return [say('melting-apart', sentence, to - from, 0, 'K')];
  }
  const least = THRESHOLDS.meltingOverlap;
  if (to - from >= least) return [];
  const sentence = `${between} are both molten and unspoilt over ${(to - from).toFixed(0)} K only, from ${from.toFixed(0)} to ${to.toFixed(0)} degC`;
  return [say('melting-narrow', sentence, to - from, least, 'K')];
}

const SAYS: Readonly<Record<Exclude<Verdict, 'joins'>, { readonly code: Code; readonly words: string }>> = {
  'some-grades': { code: 'pair-some-grades', words: 'bond in some grades only' },
  reported: { code: 'pair-some-grades', words: 'were reported to bond' },
  'not-known': { code: 'pair-not-known', words: 'are in no table: whether they bond is not known' },
};

function verdictFindings({ polymer: a }: Material, { polymer: b }: Material, { pairs }: Job): Finding[] {
  if (a === undefined || b === undefined) {
    return [say('pair-not-known', 'A polymer at the joint is not named: whether the two bond is not known')];
  }
  const entry = pairs.get(pairKey(a, b));
  const verdict = entry?.verdict ?? 'not-known';
  if (verdict === 'joins') return [];
  const { code, words } = SAYS[verdict];
  return [say(code, `${a} and ${b} ${words}${entry === undefined ? '' : ` (${entry.source})`}`)];
}

function softFindings({ title, thermal: a }: Material, { title: other, thermal: b }: Material): Finding[] {
  const soft = [a, b].filter((thermal) => thermal?.structure === 'elastomer').length;
  if (soft === 0) return [];
  const sentence =
    soft === 2
      ? `${title} and ${other} are both soft: neither carries the clamping that closes the gap`
      : `${title} and ${other}: one is soft, and gives way under the clamp`;
  return [say(soft === 2 ? 'pair-soft-soft' : 'pair-hard-soft', sentence)];
}
