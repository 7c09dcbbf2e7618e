// Findings that concern the whole job: what the imports had to say, and what the materials cannot.
import type { Finding } from '../model/finding.ts';
import type { Job } from '../model/job.ts';
import type { Part } from '../model/part.ts';
import { createFinding } from './ask.ts';
import type { Code } from './severity.ts';

/** Import notes that have a finding of their own; any other is passed on as a note. */
const NOTE_CODES: Readonly<Record<string, Code>> = {
  'size-doubtful': 'unit-doubtful',
  'triangle-cap': 'triangle-cap',
  'open-edges': 'open-edges',
  'crowded-edges': 'crowded-edges',
};

export function checkJob(job: Job, parts: readonly Part[]): Finding[] {
  return [...importFindings(parts), ...layerFindings(job), ...materialFindings(job), ...payloadFindings(job)];
}

function importFindings(parts: readonly Part[]): Finding[] {
  return parts.flatMap((part) =>
    part.notes.map(({ code, sentence }) =>
      createFinding(NOTE_CODES[code] ?? 'import-note', { sentence: `${part.file}: ${sentence.replace(/\.$/, '')}` }),
    ),
  );
}

function layerFindings(job: Job): Finding[] {
  if (job.layer !== null || job.parts.some((part) => part.role === 'transmissive')) return [];
  const sentence = 'No body is transmissive and no layer is stated: the beam is planned through air alone';
  return [createFinding('no-layer', { sentence })];
}

function payloadFindings({ carrier }: Job): Finding[] {
  if (carrier === null || carrier.head.mass <= carrier.arm.payload) return [];
  const { arm, head } = carrier;
  const sentence = `The head weighs ${head.mass.toFixed(2)} kg, the arm carries ${arm.payload.toFixed(2)} kg at its flange`;
  return [createFinding('payload', { value: head.mass, limit: arm.payload, unit: 'kg', sentence })];
}

function materialFindings(job: Job): Finding[] {
  const lit = job.parts.filter((part) => part.role === 'transmissive' || part.role === 'clear-clamp');
  const ids = [...lit.map((part) => part.material), ...(job.layer ? [job.layer.material] : [])];
  return [...new Set(ids)].flatMap((id) => {
    const material = job.materials.get(id);
    if (!material?.scattering || !material.transmittance) return [];
    const { thickness } = material.transmittance;
    const sentence = `${material.title} scatters: its extinction comes from one transmittance at ${thickness} mm, which counts scattered light as lost`;
    return [createFinding('extinction-scattering', { sentence })];
  });
}
