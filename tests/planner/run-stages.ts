// Runs the stages from seam to time law on a scene that a test has in memory, with the defaults of a job.
import type { SceneBody } from '../../src/geometry/scene.ts';
import { aimBeam } from '../../src/beam/aim-beam.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { HeadSettings, JobSeam } from '../../src/model/job.ts';
import type { Path } from '../../src/model/path.ts';
import type { Seam } from '../../src/model/seam.ts';
import type { Timing } from '../../src/model/timing.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { samplePath } from '../../src/path/sample-path.ts';
import { buildSeam } from '../../src/seam/build-seam.ts';
import { aimJob, head as headOf, optics, plate, task } from '../beam/known-paths.ts';

/** Limits of a job's defaults, in inside units. */
const LIMITS = {
  headTurn: Math.PI,
  headTurnAcceleration: 17.45,
  spotAcceleration: 300,
  normalAcceleration: 2000,
  headSpeed: 1000,
  headAcceleration: 8000,
  lineEnergy: 0.1,
};

export interface StageRequest extends Partial<Omit<JobSeam, 'head'>> {
  readonly select: JobSeam['select'];
  readonly head?: Partial<HeadSettings>;
  readonly limits?: Partial<typeof LIMITS>;
  /** A stated layer, mm, where the scene has no lid. */
  readonly layer?: number;
}

export interface StageRecords {
  readonly seam: Seam;
  readonly path: Path;
  readonly aim: Aim;
  readonly timing: Timing;
}

/** Index of every layer, and what it lets through at 3 mm. */
const LID = plate('lid', 1.57, { value: 0.88, thickness: 3 });

export async function runStages(bodies: readonly SceneBody[], request: StageRequest): Promise<StageRecords> {
  const scene = bodies.map((body) => ({ ...body, material: body.role === 'transmissive' ? 'lid' : '' }));
  const head = headOf(request.head);
  const { select, offset = 0, startNear = null, reverse = false, cornerBlend = 0 } = request;
  const seam = await buildSeam({ name: 'rim', select, offset, startNear, reverse, cornerBlend, head }, scene, task);
  const { spacing = 0.5, chord = 0, runIn = 10, runOut = runIn, overlap = 8, ramp = 3 } = request;
  const path = await samplePath(seam, { spacing, chord, runIn, runOut, overlap }, scene, task);
  const layer = request.layer ? { thickness: request.layer, material: 'lid' } : null;
  const light = aimJob({ layer, materials: new Map([['lid', LID]]) });
  const aim = await aimBeam(path, seam, { head }, scene, light, task);
  const process = {
    speed: 50,
    lineEnergy: 0.35,
    startTemperature: 23,
    hold: 'line-energy',
    aim: null,
    preheat: null,
  } as const;
  const timing = await timeSeam(path, aim, { process, ramp }, optics(), { ...LIMITS, ...request.limits }, task);
  return { seam, path, aim, timing };
}
