// What weld trials say of the materials: the case they were welded in (a seam of a plan, or a straight stretch), the fit, and the
// records of both materials that a job takes instead of those it has.
import { aimBeam } from '../beam/aim-beam.ts';
import { extinctionOf, transmittanceOf } from '../beam/extinction.ts';
import { exp, log } from '../geometry/elementary.ts';
import { type Calibration, calibrate } from '../heat/calibrate.ts';
import type { WindowCase } from '../heat/process-window.ts';
import type { Catalogue } from '../model/catalogue.ts';
import { InputError } from '../model/input-error.ts';
import type { Job } from '../model/job.ts';
import { jobFileSchema } from '../model/job-file.ts';
import type { Material } from '../model/material.ts';
import { readJob } from '../model/parse-job.ts';
import type { Path } from '../model/path.ts';
import type { Seam } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import type { StraightTrial, TrialFile } from '../model/trial-file.ts';
import { heatCase, jointMaterials } from './heat-case.ts';
import type { Plan } from './plan.ts';

/** Where the trials were welded. */
export interface TrialCase {
  readonly window: WindowCase;
  readonly absorber: Material;
  /** What the light passes; null on a bare joint. */
  readonly layer: Material | null;
}

export interface TrialResult extends Calibration {
  readonly of: TrialCase;
  /** Transmittance of the layer at its thickness, mm, that delivers the share found; null on a bare joint, or where the share was given. */
  readonly transmittance: { readonly value: number; readonly thickness: number } | null;
}

/** The case of a seam as it is planned; the first seam where `name` is left out. Throws InputError `trial-seam`, `trial-material`. */
export function plannedCase({ job, seams }: Plan, name: string | undefined, place: string): TrialCase {
  const plan = name === undefined ? seams[0] : seams.find(({ seam }) => seam.name === name);
  if (plan === undefined) {
    const known = seams.map(({ seam }) => seam.name).join(', ');
    throw new InputError('trial-seam', `no seam is called "${name}"`, `${place}#/on/seam`, `there are ${known}`);
  }
  const warm = heatCase(job, plan.job, plan.seam, plan.aim);
  return withMaterials(job, plan.seam, warm?.window, place);
}

/** The case of a straight stretch at normal incidence. Throws InputError of materials and optics, `trial-material`. */
export async function straightCase(
  on: StraightTrial,
  catalogue: Catalogue,
  place: string,
  task: Task,
): Promise<TrialCase> {
  const known = [...catalogue.materials.keys(), ...Object.keys(on.materials)];
  if (!known.includes(on.absorber)) {
    const sentence = `no material is called "${on.absorber}"`;
    throw new InputError('material-unknown', sentence, `${place}#/on/absorber`, `known are ${known.join(', ')}`);
  }
  const file = jobFileSchema.parse({
    format: 'raythread-job/1',
    parts: [{ file: 'trial', role: 'absorbing', material: on.absorber }],
    seams: [{ select: { edges: ['trial'] } }],
    head: { defocus_mm: on.defocus_mm },
    optics: on.optics,
    layer: on.layer,
    materials: on.materials,
    process: {
      speed_mm_s: 1,
      line_energy_J_mm: 1,
      preheat: on.preheat,
      start_temperature_C: on.start_temperature_C,
    },
  });
  const job = readJob(file, catalogue, `${place}#/on`);
  const [seamJob] = job.seams;
  const aim = await aimBeam(straightPath(), STRAIGHT, seamJob, [], job, task);
  const window = heatCase(job, seamJob, STRAIGHT, aim)?.window;
  const wall = on.face_mm === undefined ? Number.POSITIVE_INFINITY : on.face_mm / 2;
  return withMaterials(job, STRAIGHT, window && { ...window, left: wall, right: wall }, place);
}

function withMaterials(job: Job, seam: Seam, window: WindowCase | undefined, place: string): TrialCase {
  const { absorber, layer } = jointMaterials(job, seam);
  if (window === undefined || absorber === undefined) {
    throw new InputError(
      'trial-material',
      'too little is known of the absorbing material to begin with',
      `${place}#/on`,
      'name its polymer and its content of carbon black, or give a guess of absorption_1_mm and the thermal values',
    );
  }
  return { window, absorber, layer: layer ?? null };
}

/** Fits the trials of the file. Throws InputError `trial-*`; cancelled by the task. */
export async function calibrateTrials(of: TrialCase, file: TrialFile, place: string, task: Task): Promise<TrialResult> {
  const trials = file.trials.map((trial) => ({
    power: trial.power_W,
    speed: trial.speed_mm_s,
    width: 'width_mm' in trial ? trial.width_mm : 0,
  }));
  const found = await calibrate(of.window, trials, `${place}#/trials`, task, file.fit);
  const transmittance = file.fit === 'absorption' ? null : layerTransmittance(of, found.delivered, place);
  return { ...found, of, transmittance };
}

/** The layer's extinction takes what is delivered less, or more, than its record says; its surfaces stay as they are. */
function layerTransmittance(
  { window, layer }: TrialCase,
  delivered: number,
  place: string,
): TrialResult['transmittance'] {
  const measured = layer?.transmittance;
  if (!layer || measured === undefined) return null;
  const thickness = window.medium.layerThickness;
  const before = extinctionOf(measured.value, layer.index, measured.thickness, layer.id);
  const extinction = before - log(delivered / window.transmitted) / thickness;
  if (extinction < 0) {
    const most = window.transmitted * exp(before * thickness);
    throw new InputError(
      'trial-share',
      `the trials ask for ${(100 * delivered).toFixed(1)} % of the power at the joint, more than a layer lets through that loses nothing (${(100 * most).toFixed(1)} %)`,
      `${place}#/trials`,
      'fit the absorption alone ("fit": "absorption"), or check power, speed, width and the radius of the spot',
    );
  }
  return { value: transmittanceOf(extinction, layer.index, thickness), thickness };
}

/** A seam on the first part of the job. */
const STRAIGHT: Seam = {
  name: 'straight',
  curve: { pieces: [], closed: false, length: 1 },
  corners: [],
  kinks: [],
  faces: [{ from: 0, ref: { part: 0, face: 0 } }],
  blends: [],
  edgeIds: [],
  faceChoice: 'given',
  fit: { points: 0, largest: 0, rms: 0, at: 0 },
  fingerprint: { length: 1, closed: false, points: [] },
  match: { kind: 'none', distance: 0, why: '' },
};

/** Three stations along x under an upward normal. */
function straightPath(): Path {
  const s = Float64Array.of(0, 0.5, 1);
  const zeros = () => new Float64Array(3);
  return {
    closed: false,
    length: 1,
    count: 3,
    s,
    onSeam: new Uint8Array(3).fill(1),
    position: Float64Array.of(0, 0, 0, 0.5, 0, 0, 1, 0, 0),
    tangent: Float64Array.of(1, 0, 0, 1, 0, 0, 1, 0, 0),
    normal: Float64Array.of(0, 0, 1, 0, 0, 1, 0, 0, 1),
    curvature: zeros(),
    normalCurvature: zeros(),
    geodesicCurvature: zeros(),
    geodesicTorsion: zeros(),
    corner: zeros(),
    face: new Uint32Array(3),
    rows: { count: 0, s: new Float64Array(0), station: new Uint32Array(0), phase: new Uint8Array(0) },
  };
}
