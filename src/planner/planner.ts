// Runs the stages in order, keeps what has not changed, and folds the records into one plan.
import { aimBeam } from '../beam/aim-beam.ts';
import { checkHeat } from '../checks/check-heat.ts';
import { checkJob } from '../checks/check-job.ts';
import { checkSeam } from '../checks/check-seam.ts';
import { checkSuitability } from '../checks/check-suitability.ts';
import { createBodyQuery } from '../geometry/mesh-body-query.ts';
import type { SceneBody } from '../geometry/scene.ts';
import { computeHeat } from '../heat/compute-heat.ts';
import { energyDemand } from '../heat/energy-demand.ts';
import { processWindow } from '../heat/process-window.ts';
import { importPart } from '../intake/import-part.ts';
import type { Catalogue } from '../model/catalogue.ts';
import { demandAt } from '../model/energy-demand.ts';
import type { Job, JobPart, JobSeam } from '../model/job.ts';
import type { JobFile } from '../model/job-file.ts';
import { readJob } from '../model/parse-job.ts';
import type { Part } from '../model/part.ts';
import type { Task } from '../model/task.ts';
import { VERSION } from '../model/version.ts';
import { timeSeam } from '../motion/time-seam.ts';
import { samplePath } from '../path/sample-path.ts';
import { buildSeam } from '../seam/build-seam.ts';
import { assembleScene, placeBodies } from './assemble-scene.ts';
import { heatCase } from './heat-case.ts';
import type { Host } from './host.ts';
import { createMemo } from './memo.ts';
import type { Plan, PlanInput, SeamPlan } from './plan.ts';
import {
  AIM_FIELDS,
  AIM_JOB_FIELDS,
  AIM_LIMITS,
  PATH_FIELDS,
  pick,
  SEAM_FIELDS,
  settingsKey,
  TIMING_FIELDS,
  TIMING_LIMITS,
} from './stage-inputs.ts';

export interface Planner {
  /**
   * Plans a job. `place` is the job file's name, for errors. Throws InputError for bad input and Cancelled when the task
   * is; what earlier runs kept survives both.
   */
  plan(jobFile: JobFile, place: string, task: Task): Promise<Plan>;
  /** How often each stage was computed since the planner was made. */
  readonly runs: ReadonlyMap<string, number>;
}

export function createPlanner(host: Host, catalogue: Catalogue): Planner {
  const memo = createMemo();

  async function intake(job: Job, task: Task): Promise<{ inputs: PlanInput[]; parts: Part[] }> {
    const inputs: PlanInput[] = [];
    const parts: Part[] = [];
    for (const jobPart of firstUses(job.parts)) {
      const bytes = await host.readFile(jobPart.file);
      const sha256 = await host.sha256(bytes);
      const settings = { tessellation: job.tessellation, unitScale: jobPart.unitScale };
      const part = await memo.run('intake', jobPart.file, [sha256, settingsKey(settings)], () =>
        importPart(jobPart.file, bytes, settings, host, task),
      );
      inputs.push({ file: jobPart.file, sha256, bytes: bytes.length });
      parts.push(part);
    }
    memo.keepOnly('intake', new Set(parts.map((part) => part.file)));
    return { inputs, parts };
  }

  async function planSeam(seamJob: JobSeam, job: Job, scene: readonly SceneBody[], task: Task): Promise<SeamPlan> {
    const slot = seamJob.name;
    const sceneKey = scene.flatMap((body) => [body.query, body.role, body.material]);

    const seamSettings = { ...pick(seamJob, SEAM_FIELDS), head: pick(seamJob.head, ['axis']) };
    const seam = await memo.run('seam', slot, [...sceneKey, settingsKey(seamSettings)], () =>
      buildSeam(seamSettings, scene, task),
    );

    const pathSettings = pick(seamJob, PATH_FIELDS);
    const path = await memo.run('path', slot, [...sceneKey, seam, settingsKey(pathSettings)], () =>
      samplePath(seam, pathSettings, scene, task),
    );

    const aimSettings = pick(seamJob, AIM_FIELDS);
    const light = { ...pick(job, AIM_JOB_FIELDS), limits: pick(job.limits, AIM_LIMITS) };
    const aim = await memo.run('aim', slot, [...sceneKey, path, settingsKey({ aimSettings, light })], () =>
      aimBeam(path, seam, aimSettings, scene, light, task),
    );

    const warm = heatCase(job, seamJob, seam, aim);
    const { process } = seamJob;
    const asked = warm !== null && (process.hold !== 'line-energy' || process.aim !== null);
    const demand = !asked
      ? null
      : await memo.run('demand', slot, [settingsKey({ window: warm.window, process })], () =>
          energyDemand(warm.window, process, `seam ${seamJob.name}`, task),
        );
    const lineEnergy = demand === null ? process.lineEnergy : demandAt(demand, process.speed);
    const wanted: JobSeam = { ...seamJob, process: { ...process, lineEnergy } };

    const timingSettings = pick(wanted, TIMING_FIELDS);
    const { optics } = job;
    const limits = pick(job.limits, TIMING_LIMITS);
    const timingKey = settingsKey({ timingSettings, optics, limits, demand });
    const timing = await memo.run('timing', slot, [path, aim, timingKey], () =>
      timeSeam(path, aim, timingSettings, optics, limits, task, demand),
    );

    const heat =
      warm === null
        ? null
        : await memo.run('heat', slot, [path, aim, timing, settingsKey(warm.settings)], () =>
            computeHeat(path, aim, timing, warm.settings, task),
          );
    const windowKey = settingsKey({ of: warm?.window, process: wanted.process });
    const window =
      warm === null
        ? null
        : await memo.run('window', slot, [windowKey], () =>
            processWindow(warm.window, process.speed, lineEnergy, task),
          );

    const findings = [
      ...checkSeam({ seam, path, aim, timing }, wanted, job),
      ...(heat === null ? [] : checkHeat(path, timing, heat, wanted)),
    ];
    return { job: wanted, seam, path, aim, timing, heat, window, findings };
  }

  return {
    runs: memo.runs,
    async plan(jobFile, place, task) {
      const job = readJob(jobFile, catalogue, place);
      const { inputs, parts } = await intake(job, task);
      const bodies = placeBodies(job, parts, place);
      const queries = await Promise.all(
        bodies.map(({ part, body }) => {
          const record = (parts[part] as Part).bodies[body];
          if (record === undefined) throw new Error('a placed body is missing');
          return memo.run('query', `${part}/${body}`, [record], () => createBodyQuery(record));
        }),
      );
      const scene = assembleScene(job, queries);
      const seams: SeamPlan[] = [];
      for (const seamJob of job.seams) {
        await task.pause(`planning ${seamJob.name}`, seams.length / job.seams.length);
        seams.push(await planSeam(seamJob, job, scene, task));
      }
      const slots = new Set(job.seams.map((seam) => seam.name));
      for (const stage of ['seam', 'path', 'aim', 'demand', 'timing', 'heat', 'window']) memo.keepOnly(stage, slots);
      const findings = [...checkJob(job, parts), ...checkSuitability(job), ...seams.flatMap((seam) => seam.findings)];
      return { version: VERSION, inputs, jobFile, job, parts, bodies, seams, findings };
    },
  };
}

/** The first entry that names each file. */
function firstUses(parts: readonly JobPart[]): readonly JobPart[] {
  const seen = new Set<string>();
  return parts.filter((part) => !seen.has(part.file) && seen.add(part.file));
}
