// Times every stage (`npm run bench`): medians on one core, warm and cold, cost per waypoint, degenerate input.
import { cpus } from 'node:os';
import { aimBeam } from '../../src/beam/aim-beam.ts';
import { relaxAim } from '../../src/beam/relax-aim.ts';
import { relaxAxis } from '../../src/beam/relax-axis.ts';
import { checkSeam } from '../../src/checks/check-seam.ts';
import { edgeRatio } from '../../src/heat/edge-ratio.ts';
import { createBodyQuery } from '../../src/geometry/mesh-body-query.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Job, JobSeam } from '../../src/model/job.ts';
import type { Body } from '../../src/model/part.ts';
import { RAD_PER_DEG } from '../../src/model/units.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { renderOutputs } from '../../src/output/render-outputs.ts';
import { samplePath } from '../../src/path/sample-path.ts';
import { computeHeat } from '../../src/heat/compute-heat.ts';
import { heatCase } from '../../src/planner/heat-case.ts';
import { assembleScene, placeBodies } from '../../src/planner/assemble-scene.ts';
import { createPlanner } from '../../src/planner/planner.ts';
import { buildSeam } from '../../src/seam/build-seam.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';
import { armRows } from './arm-rows.ts';
import { contactRows } from './contact-rows.ts';
import { heatOutputRows } from './heat-outputs.ts';
import { heatRows } from './heat-rows.ts';
import { measure, printAndKeep, type Row, rowOf } from './measure.ts';
import { busyTask, catalogue, enlargedBody, enlargedJob, importSample, sampleJobFile } from './metre-scene.ts';
import { placeFigures } from './place-figures.ts';

const JOB = 'wave-pod.job.json';
const SCALE = Number(process.env.BENCH_SCALE ?? 2.1);
const LINEAR = Number(process.env.BENCH_LINEAR ?? 0.004);
const RUNS = Number(process.env.BENCH_RUNS ?? 7);

const STAGES = ['seam', 'path', 'beam', 'motion', 'checks'] as const;

/** Runs every stage after the import, and notes the time of each, ms. */
async function runStages(job: Job, seamJob: JobSeam, scene: readonly SceneBody[]) {
  const marks = [performance.now()];
  const mark = <T>(value: T): T => {
    marks.push(performance.now());
    return value;
  };
  const seam = mark(await buildSeam(seamJob, scene, busyTask));
  const path = mark(await samplePath(seam, seamJob, scene, busyTask));
  const aim = mark(await aimBeam(path, seam, seamJob, scene, job, busyTask));
  const timing = mark(await timeSeam(path, aim, seamJob, job.optics, job.limits, busyTask));
  const edge = edgeRatio(path, null, aim.spotAcross, seamJob.width);
  mark(checkSeam({ seam, path, aim, carried: null, timing, edgeRatio: edge }, seamJob, job));
  return { seam, path, times: STAGES.map((_, k) => (marks[k + 1] as number) - (marks[k] as number)) };
}

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

function sceneOf(job: Job, bodies: readonly Body[]): readonly SceneBody[] {
  return assembleScene(
    job,
    bodies.map((body) => createBodyQuery(body)),
  );
}

const rows: Row[] = [];

// Import, and the whole planner on the sample pod as its users have it.
const samples = new URL('../../sample-parts/', import.meta.url).pathname;
rows.push(await measure('import wave-pod.step, worker started anew', 3, () => importSample('wave-pod.step', 0.01, 0)));
{
  const jobFile = sampleJobFile(JOB);
  const fresh = () => createPlanner(createNodeHost(samples), catalogue);
  const planner = fresh();
  rows.push(await measure('demo: whole plan, nothing kept', 3, (p) => p.plan(jobFile, JOB, busyTask), fresh));
  let energy = 0.3;
  const edit = () => {
    energy += 0.001;
    return { ...jobFile, process: { ...jobFile.process, line_energy_J_mm: energy } };
  };
  rows.push(await measure('demo: plan again, line energy changed', 9, (job) => planner.plan(job, JOB, busyTask), edit));
  const plan = await planner.plan(jobFile, JOB, busyTask);
  rows.push(await measure('demo: write all outputs as text', 5, () => renderOutputs(plan)));
  rows.push(...(await heatOutputRows(plan)));
}

// One metre of seam, 100k triangles.
const pod = await importSample('wave-pod.step', LINEAR, 0);
const clamp = await importSample('wave-pod-clamp.stl', LINEAR, 1);
const job = enlargedJob(JOB, SCALE, 0.5);
const seamJob = job.seams[0] as JobSeam;
const parts = [pod, clamp];
const bodies = placeBodies(job, parts, JOB).map(({ part, body }) =>
  enlargedBody(parts[part]?.bodies[body] as Body, SCALE),
);
const triangles = sum(bodies.map((body) => body.triangle.length / 3));

const warm = sceneOf(job, bodies);
const first = await runStages(job, seamJob, warm);
console.log(
  `one metre: ${first.path.length.toFixed(1)} mm of seam, ${first.path.count} stations, ${triangles} triangles in ${bodies.length} bodies\n`,
);
const samplesWarm: number[][] = [];
const samplesCold: number[][] = [];
for (let run = 0; run < RUNS; run++) {
  samplesWarm.push((await runStages(job, seamJob, warm)).times);
  samplesCold.push((await runStages(job, seamJob, sceneOf(job, bodies))).times);
}
for (const [title, taken] of [
  ['BVH built', samplesWarm],
  ['cold', samplesCold],
] as const) {
  rows.push(rowOf(`1 m, ${title}: everything after import`, taken.map(sum)));
  STAGES.forEach((stage, k) => {
    rows.push(
      rowOf(
        `1 m, ${title}:   ${stage}`,
        taken.map((times) => times[k] as number),
      ),
    );
  });
}

// The axis smoothed at as many stations: the solve alone, and with the beam traced again.
{
  const { path } = first;
  const aim = await aimBeam(path, first.seam, seamJob, warm, job, busyTask);
  const cone = new Float64Array(path.count).fill(10 * RAD_PER_DEG);
  const gap = path.s.map((s, i) => (i + 1 < path.count ? (path.s[i + 1] as number) : path.length) - s);
  const field = { nominal: aim.axis, cone, gap, closed: path.closed };
  const head = { ...seamJob.head, relax: 10 * RAD_PER_DEG };
  rows.push(await measure('1 m: relax the axis by 10 deg', RUNS, () => relaxAxis(field, busyTask)));
  rows.push(
    await measure('1 m: relax the axis and aim along it', RUNS, () =>
      relaxAim(aim, path, first.seam, { head }, warm, job, busyTask),
    ),
  );
}

// What that metre of joint sees.
{
  const { path } = first;
  const aim = await aimBeam(path, first.seam, seamJob, warm, job, busyTask);
  const timing = await timeSeam(path, aim, seamJob, job.optics, job.limits, busyTask);
  const settings = heatCase(job, seamJob, first.seam, aim)?.settings;
  if (settings === undefined) throw new Error('the measured job does not know its materials');
  for (const profile of ['gaussian', 'top-hat'] as const) {
    rows.push(
      await measure(`1 m: heat, ${profile}`, 3, () =>
        computeHeat(path, aim, timing, { ...settings, profile }, busyTask),
      ),
    );
  }
}

// Cost per waypoint from 1k to 16k: 1 m at finer and finer spacing.
for (const count of [1000, 2000, 4000, 8000, 16000]) {
  const finer = enlargedJob(JOB, SCALE, 1000 / count);
  const taken: number[] = [];
  for (let run = 0; run < 3; run++) taken.push(sum((await runStages(finer, finer.seams[0] as JobSeam, warm)).times));
  rows.push(
    rowOf(
      `${count} waypoints: us per waypoint / 1000`,
      taken.map((time) => time / count),
    ),
  );
}

// Degenerate input must not be slow either.
for (const name of ['wave-pod-shadow.job.json', 'tide-pod.job.json', 'stadium.job.json', 'wave-pod-arm.job.json']) {
  const planner = createPlanner(createNodeHost(samples), catalogue);
  const jobFile = sampleJobFile(name);
  await planner.plan(jobFile, name, busyTask);
  let spacing = 0.5;
  const edit = () => {
    spacing += 1e-4;
    return { ...jobFile, seams: jobFile.seams.map((seam) => ({ ...seam, spacing_mm: spacing })) };
  };
  rows.push(
    await measure(`${name}: plan again, spacing changed`, 5, (file) => planner.plan(file, name, busyTask), edit),
  );
}

rows.push(...(await contactRows(Math.min(RUNS, 5))));

rows.push(...(await armRows()));

rows.push(...(await heatRows()));

// Placements of the part before an arm.
rows.push(...(await placeFigures(Math.min(RUNS, 3))));

const processor = cpus()[0]?.model ?? 'unknown processor';
printAndKeep(rows, new URL('./last-table.json', import.meta.url), `${processor}, Node ${process.versions.node}`);
