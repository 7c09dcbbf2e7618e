// Runs the stages in order, keeps what has not changed, and folds the records into one plan.
import { measureRoom } from '../arm/measure-room.ts';
import { readUrdf } from '../arm/read-urdf.ts';
import { standArm } from '../arm/stand-arm.ts';
import { utf8Text } from '../arm/utf8-text.ts';
import { aimBeam } from '../beam/aim-beam.ts';
import { checkHeat, checkLaterPass } from '../checks/check-heat.ts';
import { relaxAim } from '../beam/relax-aim.ts';
import { checkJob } from '../checks/check-job.ts';
import { checkSeam } from '../checks/check-seam.ts';
import { checkSuitability } from '../checks/check-suitability.ts';
import { createBodyQuery } from '../geometry/mesh-body-query.ts';
import type { SceneBody } from '../geometry/scene.ts';
import { energyDemand } from '../heat/energy-demand.ts';
import { segmentDistance } from '../geometry/segment-distance.ts';
import { importPart } from '../intake/import-part.ts';
import type { Aim } from '../model/aim.ts';
import type { ChainWithLimits } from '../model/arm-file.ts';
import type { Catalogue } from '../model/catalogue.ts';
import { demandAt } from '../model/energy-demand.ts';
import type { Job, JobPart, JobSeam } from '../model/job.ts';
import type { JobFile } from '../model/job-file.ts';
import { readJob, urdfOf } from '../model/parse-job.ts';
import type { LaterPass } from '../model/later-pass.ts';
import type { Part } from '../model/part.ts';
import { partText } from '../model/part-text.ts';
import { type PointList, readPointList } from '../model/point-list.ts';
import type { Path } from '../model/path.ts';
import type { Stand } from '../model/posture.ts';
import type { HeadEffort } from '../model/relaxation.ts';
import type { Task } from '../model/task.ts';
import { VERSION } from '../model/version.ts';
import { timeSeam } from '../motion/time-seam.ts';
import { samplePath } from '../path/sample-path.ts';
import { buildSeam } from '../seam/build-seam.ts';
import { assembleScene, placeBodies } from './assemble-scene.ts';
import { type HeatCase, heatCase } from './heat-case.ts';
import { headEffort } from './head-effort.ts';
import type { Host } from './host.ts';
import { createMemo } from './memo.ts';
import { laterPass } from './near-seams.ts';
import type { Carried, Plan, PlanInput, SeamPlan } from './plan.ts';
import { planHeat } from './plan-heat.ts';
import {
  AIM_HEAD,
  AIM_JOB_FIELDS,
  AIM_LIMITS,
  PATH_FIELDS,
  pick,
  RELAX_LIMITS,
  ROOM_CARRIER_FIELDS,
  ROOM_JOB_FIELDS,
  SEAM_FIELDS,
  STAND_CARRIER_FIELDS,
  STAND_HEAD_FIELDS,
  STAND_JOB_FIELDS,
  settingsKey,
  TIMING_FIELDS,
  TIMING_LIMITS,
} from './stage-inputs.ts';

export interface Planner {
  /**
   * Plans a job. `place` is the job file's name, for errors. Throws InputError for bad input and Cancelled when the task
   * is; what earlier runs kept survives both. `early` is handed the plan before its heat is computed, where there is heat to compute.
   */
  plan(jobFile: JobFile, place: string, task: Task, early?: (plan: Plan) => void): Promise<Plan>;
  /** Imports parts as `plan` does, and for it: what is imported here is not imported again. */
  importParts(of: Pick<Job, 'parts' | 'tessellation'>, task: Task): Promise<readonly Part[]>;
  /** The job as it is understood, and the files that it was read from beside its parts'. Throws InputError. */
  read(jobFile: JobFile, place: string): Promise<{ readonly job: Job; readonly inputs: readonly PlanInput[] }>;
  /** How often each stage was computed since the planner was made. */
  readonly runs: ReadonlyMap<string, number>;
}

export function createPlanner(host: Host, catalogue: Catalogue): Planner {
  const memo = createMemo();

  async function intake(
    job: Pick<Job, 'parts' | 'tessellation'>,
    task: Task,
  ): Promise<{ inputs: PlanInput[]; parts: Part[] }> {
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

  /** The arm's chain where the job names a model file of it. */
  async function readChain(jobFile: JobFile): Promise<{ chain: ChainWithLimits | null; inputs: PlanInput[] }> {
    const urdf = urdfOf(jobFile);
    if (urdf === null) return { chain: null, inputs: [] };
    const { file, root, tip } = urdf;
    const bytes = await host.readFile(file);
    const chain = readUrdf(utf8Text(bytes, file), file, root, tip);
    return { chain, inputs: [{ file, sha256: await host.sha256(bytes), bytes: bytes.length }] };
  }

  /** Postures of the arm along the seam; null without an arm. */
  async function standSeam(
    stage: string,
    slot: string,
    { seamJob, job, path, aim }: Omit<CarriedSeam, 'scene'>,
    task: Task,
  ): Promise<Stand | null> {
    const { carrier } = job;
    if (carrier === null) return null;
    const settings = {
      ...pick(job, STAND_JOB_FIELDS),
      carrier: pick(carrier, STAND_CARRIER_FIELDS),
      head: pick(seamJob.head, STAND_HEAD_FIELDS),
      speed: seamJob.process.speed,
    };
    return memo.run(stage, slot, [path, aim, settingsKey(settings)], () => standArm(path, aim, settings, task));
  }

  async function carry(slot: string, carriedSeam: CarriedSeam, task: Task): Promise<Carried | null> {
    const { job, scene } = carriedSeam;
    const { carrier } = job;
    const stand = await standSeam('posture', slot, carriedSeam, task);
    if (stand === null || carrier === null) return null;
    const around = { ...pick(job, ROOM_JOB_FIELDS), carrier: pick(carrier, ROOM_CARRIER_FIELDS) };
    const names = scene.map(({ part }) => partText(job, part));
    const obstacles = await Promise.all(
      scene.map(async ({ part, query: { body } }, k) => ({
        name: names[k],
        distance: await memo.run('distance', String(part), [body], () => segmentDistance(body)),
      })),
    );
    const key = [stand, ...scene.map((body) => body.query), settingsKey({ around, names })];
    const room = await memo.run('room', slot, key, () => measureRoom(stand, obstacles, around, task));
    return { stand, room };
  }

  /** Points that a seam is selected by; null where it is selected otherwise. */
  async function readPoints({ select }: JobSeam): Promise<SeamPoints | null> {
    if (select.kind !== 'points') return null;
    const { file } = select;
    const bytes = await host.readFile(file);
    return {
      list: readPointList(utf8Text(bytes, file, 'points-encoding'), file),
      sha256: await host.sha256(bytes),
      bytes: bytes.length,
    };
  }

  async function planSeam(
    seamJob: JobSeam,
    points: SeamPoints | null,
    job: Job,
    scene: readonly SceneBody[],
    task: Task,
  ): Promise<HeatlessSeam> {
    const slot = seamJob.name;
    const sceneKey = scene.flatMap((body) => [body.query, body.role, body.material]);

    const seamSettings = { ...pick(seamJob, SEAM_FIELDS), head: pick(seamJob.head, ['axis']) };
    const seam = await memo.run('seam', slot, [...sceneKey, points?.sha256, settingsKey(seamSettings)], () =>
      buildSeam({ ...seamSettings, points: points?.list ?? null }, scene, task),
    );

    const pathSettings = pick(seamJob, PATH_FIELDS);
    const path = await memo.run('path', slot, [...sceneKey, seam, settingsKey(pathSettings)], () =>
      samplePath(seam, pathSettings, scene, task),
    );

    const aimSettings = { head: pick(seamJob.head, AIM_HEAD) };
    const light = { ...pick(job, AIM_JOB_FIELDS), limits: pick(job.limits, AIM_LIMITS) };
    const nominal = await memo.run('aim', slot, [...sceneKey, path, settingsKey({ aimSettings, light })], () =>
      aimBeam(path, seam, aimSettings, scene, light, task),
    );

    const { head } = seamJob;
    const bounds = { ...light, limits: pick(job.limits, RELAX_LIMITS) };
    const relaxed =
      head.relax === 0
        ? null
        : await memo.run('relax', slot, [nominal, settingsKey({ head, bounds })], () =>
            relaxAim(nominal, path, seam, { head }, scene, bounds, task),
          );
    const aim = relaxed?.aim ?? nominal;
    const carried = await carry(slot, { seamJob, job, path, aim, scene }, task);

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
    const timed = (stage: string, aimed: Aim, stand: Stand | null) => {
      const driver = stand === null || job.carrier === null ? null : { arm: job.carrier.arm, stand };
      return memo.run(stage, slot, [path, aimed, stand, settingsKey({ timingSettings, optics, limits, demand })], () =>
        timeSeam(path, aimed, timingSettings, optics, limits, task, driver, demand),
      );
    };
    const timing = await timed('timing', aim, carried?.stand ?? null);
    const before = async (): Promise<HeadEffort> => {
      const stand = await standSeam('nominal-posture', slot, { seamJob, job, path, aim: nominal }, task);
      return headEffort(path, nominal, await timed('nominal-timing', nominal, stand));
    };
    const relaxation = relaxed && {
      lean: relaxed.lean,
      cone: relaxed.cone,
      before: await before(),
      after: headEffort(path, aim, timing),
    };

    const driver = carried === null || job.carrier === null ? null : { arm: job.carrier.arm, stand: carried.stand };
    const cycleAt = async (speed: number, energy: number): Promise<number> => {
      const process: JobSeam['process'] = { ...wanted.process, speed, lineEnergy: energy, hold: 'line-energy' };
      const other = await timeSeam(path, aim, { ...timingSettings, process }, optics, limits, task, driver);
      return other.cycle.total;
    };
    const planned = async (materials: HeatCase | null): Promise<SeamPlan> => {
      const heatOfSeam = await planHeat(memo, materials, { job: wanted, path, aim, timing, cycleAt }, task);
      const { heat, edgeRatio } = heatOfSeam;
      const findings = [
        ...checkSeam({ seam, path, aim, carried, timing, edgeRatio }, wanted, job),
        ...(heat === null ? [] : checkHeat(path, timing, heat, wanted)),
      ];
      return { job: wanted, seam, path, aim, carried, timing, relaxation, ...heatOfSeam, findings };
    };
    return { cold: await planned(null), addHeat: warm === null ? null : () => planned(warm) };
  }

  async function read(jobFile: JobFile, place: string): ReturnType<Planner['read']> {
    const { chain, inputs } = await readChain(jobFile);
    return { job: readJob(jobFile, catalogue, place, chain), inputs };
  }

  return {
    runs: memo.runs,
    read,
    async importParts(of, task) {
      return (await intake(of, task)).parts;
    },
    async plan(jobFile, place, task, early) {
      const { job, inputs: models } = await read(jobFile, place);
      const points: (SeamPoints | null)[] = [];
      for (const seamJob of job.seams) points.push(await readPoints(seamJob));
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
      const digitised = new Map(
        points.flatMap((from) => (from === null ? [] : [[from.list.file, inputOf(from)] as const])),
      );
      const used = [...inputs, ...models, ...digitised.values()];
      const ofJob = [...checkJob(job, parts), ...checkSuitability(job)];
      const fold = (seams: readonly SeamPlan[]): Plan => {
        const findings = [...ofJob, ...seams.flatMap((seam) => seam.findings)];
        return { version: VERSION, inputs: used, jobFile, job, parts, bodies, seams, findings };
      };
      const heatless: HeatlessSeam[] = [];
      for (const seamJob of job.seams) {
        await task.pause(`planning ${seamJob.name}`, heatless.length / job.seams.length);
        heatless.push(await planSeam(seamJob, points[heatless.length], job, scene, task));
      }
      if (heatless.some((seam) => seam.addHeat !== null)) early?.(fold(heatless.map((seam) => seam.cold)));
      const seams: SeamPlan[] = [];
      for (const { cold, addHeat } of heatless) seams.push(addHeat === null ? cold : await addHeat());
      const slots = new Set(job.seams.map((seam) => seam.name));
      const stages = [
        'seam',
        'path',
        'aim',
        'relax',
        'posture',
        'room',
        'demand',
        'timing',
        'heat',
        'window',
        'preheat',
        'nominal-posture',
        'nominal-timing',
      ];
      for (const stage of stages) memo.keepOnly(stage, slots);
      return fold(seams.map((seam, k) => withLaterPass(seam, laterPass(seams, k, job))));
    },
  };
}

/** A seam planned as far as its time law, and how its heat is added; null where the materials are not known well enough. */
interface HeatlessSeam {
  readonly cold: SeamPlan;
  readonly addHeat: (() => Promise<SeamPlan>) | null;
}

/** Points of a digitised seam and the file that they came from. */
interface SeamPoints {
  readonly list: PointList;
  readonly sha256: string;
  readonly bytes: number;
}

function inputOf({ list, sha256, bytes }: SeamPoints): PlanInput {
  return { file: list.file, sha256, bytes };
}

interface CarriedSeam {
  readonly seamJob: JobSeam;
  readonly job: Job;
  readonly path: Path;
  readonly aim: Aim;
  readonly scene: readonly SceneBody[];
}

/** The seam with what a later one beside it does to it among its findings. */
function withLaterPass(plan: SeamPlan, later: LaterPass | null): SeamPlan {
  if (later === null || plan.heat === null) return plan;
  const own = checkLaterPass(plan.path, later, plan.heat.limits.melting, plan.seam.name);
  return { ...plan, findings: [...plan.findings, ...own] };
}

/** The first entry that names each file. */
function firstUses(parts: readonly JobPart[]): readonly JobPart[] {
  const seen = new Set<string>();
  return parts.filter((part) => !seen.has(part.file) && seen.add(part.file));
}
