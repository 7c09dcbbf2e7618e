// Reads the seams of a job file: units inside, the job's own head and process where a seam overrides nothing.
import { InputError } from './input-error.ts';
import type { AxisChoice, HeadSettings, JobSeam, ProcessSettings, Selection } from './job.ts';
import type { JobFile } from './job-file.ts';
import type { Fingerprint } from './seam.ts';
import { RAD_PER_DEG } from './units.ts';

/** Faces are sought in contact within no less than this, mm: modellers place them no better. */
const LEAST_CONTACT = 0.001;

type SeamFile = JobFile['seams'][number];

/** The seams of a job with the settings of the whole job filled in; `place` is the job file's name. */
export function readSeams(file: JobFile, place: string): readonly JobSeam[] {
  const names = new Set<string>();
  return file.seams.map((seam, index) => {
    const name = seam.name ?? `seam-${index + 1}`;
    if (names.has(name)) {
      throw new InputError(
        'seam-name-twice',
        `two seams are called "${name}"`,
        `${place}#/seams/${index}`,
        'give each its own name',
      );
    }
    names.add(name);
    return readSeam(seam, name, file, `${place}#/seams/${index}`);
  });
}

function readSeam(seam: SeamFile, name: string, file: JobFile, place: string): JobSeam {
  return {
    name,
    select: readSelection(seam.select, file.limits),
    offset: seam.offset_mm,
    startNear: seam.start_near_mm ?? null,
    reverse: seam.reverse,
    fingerprint: seam.fingerprint === undefined ? null : readFingerprint(seam.fingerprint),
    cornerBlend: seam.corner_blend_mm,
    width: seam.width_mm,
    runIn: seam.run_in_mm,
    runOut: seam.run_out_mm ?? seam.run_in_mm,
    overlap: seam.overlap_mm,
    ramp: seam.ramp_mm,
    spacing: seam.spacing_mm,
    chord: seam.chord_mm ?? 0,
    head: readHead({ ...file.head, ...dropUndefined(seam.head) }, place),
    process: readProcess({ ...file.process, ...dropUndefined(seam.process) }),
  };
}

function dropUndefined<T extends object>(value: T | undefined): { [K in keyof T]?: Exclude<T[K], undefined> } {
  const kept = Object.entries(value ?? {}).filter(([, item]) => item !== undefined);
  return Object.fromEntries(kept) as { [K in keyof T]?: Exclude<T[K], undefined> };
}

function readFingerprint(file: NonNullable<SeamFile['fingerprint']>): Fingerprint {
  return { length: file.length_mm, closed: file.closed, points: file.points_mm };
}

function readSelection(select: SeamFile['select'], limits: JobFile['limits']): Selection {
  if ('edge' in select) {
    const { body, near_mm, follow, face_near_mm } = select.edge;
    return { kind: 'edge', body, near: near_mm, follow, faceNear: face_near_mm ?? null };
  }
  if ('edges' in select) return { kind: 'edges', ids: select.edges, faceNear: select.face_near_mm ?? null };
  if ('contact' in select) {
    const tolerance = select.tolerance_mm ?? Math.max(limits.gap_mm, limits.contact_mm, LEAST_CONTACT);
    return { kind: 'contact', bodies: select.contact, tolerance, near: select.near_mm ?? null };
  }
  if ('points' in select) {
    const { points, body, closed, smooth_mm, reach_mm, face_near_mm } = select;
    return {
      kind: 'points',
      file: points,
      body,
      closed: closed ?? null,
      smooth: smooth_mm,
      reach: reach_mm,
      faceNear: face_near_mm ?? null,
    };
  }
  return { kind: 'band', body: select.band.body, near: select.band.near_mm, follow: select.band.follow };
}

function readHead(head: JobFile['head'], place: string): HeadSettings {
  return {
    standoff: head.standoff_mm,
    defocus: head.defocus_mm,
    axis: readAxis(head.axis, place),
    lead: head.lead_deg * RAD_PER_DEG,
    tilt: head.tilt_deg * RAD_PER_DEG,
    relax: head.relax_deg * RAD_PER_DEG,
    turn: typeof head.turn === 'number' ? head.turn * RAD_PER_DEG : head.turn,
  };
}

function readAxis(axis: JobFile['head']['axis'], place: string): AxisChoice {
  if (typeof axis === 'string') return axis;
  const [x, y, z] = axis;
  const length = Math.sqrt(x * x + y * y + z * z);
  if (length < 1e-9) {
    throw new InputError(
      'axis-zero',
      'the beam axis has no direction',
      place,
      'give the direction in which the light travels, such as [0, 0, -1]',
    );
  }
  return [x / length, y / length, z / length];
}

function readProcess(process: JobFile['process']): ProcessSettings {
  return {
    speed: process.speed_mm_s,
    lineEnergy: process.line_energy_J_mm,
    hold: process.hold,
    aim: readProcessAim(process.aim),
    preheat: process.preheat === null ? null : readPreheat(process.preheat),
    startTemperature: process.start_temperature_C,
  };
}

function readProcessAim(aim: JobFile['process']['aim']): ProcessSettings['aim'] {
  if (aim === null) return null;
  return 'width_mm' in aim ? { kind: 'width', value: aim.width_mm } : { kind: 'peak', value: aim.peak_C };
}

function readPreheat(preheat: NonNullable<JobFile['process']['preheat']>): NonNullable<ProcessSettings['preheat']> {
  return {
    power: preheat.power_W,
    radius: preheat.radius_mm,
    absorption: preheat.absorption_1_mm,
    layerAbsorption: preheat.layer_absorption_1_mm,
  };
}
