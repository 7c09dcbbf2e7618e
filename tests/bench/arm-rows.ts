// The arm's stage and the time law under its axes, as rows of the bench: closed form, ladder, search, whole stage, margins,
// clearances. A million poses there and back are counted too: none may be lost, none invented.
import { execFileSync } from 'node:child_process';
import { buildLadder } from '../../src/arm/build-ladder.ts';
import { chainOf, forward, framesSize, poseError } from '../../src/arm/chain-kinematics.ts';
import { clearances } from '../../src/arm/envelopes.ts';
import { kinematicsOf } from '../../src/arm/kinematics.ts';
import { margins } from '../../src/arm/margins.ts';
import { inverse, SOLUTION_SIZE, wrap } from '../../src/arm/opw-kinematics.ts';
import { searchPosture } from '../../src/arm/search-posture.ts';
import { solvePosture, toolToFlangeOf } from '../../src/arm/solve-posture.ts';
import { rigidFromAngles } from '../../src/geometry/rigid.ts';
import { segmentDistance } from '../../src/geometry/segment-distance.ts';
import type { OrthoParallel } from '../../src/model/arm.ts';
import type { Posture } from '../../src/model/posture.ts';
import { solveSpeed } from '../../src/motion/solve-speed.ts';
import { armOf, axesOf, benchmark, P1, P3, P4, seededRandom } from '../arm/sample-arms.ts';
import { pathOf, wavyRing } from '../arm/synthetic-path.ts';
import { straightLimits } from '../motion/motion-limits.ts';
import { arm, head, path, settings } from './closed-ring.ts';
import { measure, type Row } from './measure.ts';
import { busyTask } from './metre-scene.ts';

/** All rows of the arm; also prints what is no time. */
export async function armRows(): Promise<Row[]> {
  millionPoses();
  // In a process of its own: the largest size of this one may be another stage's.
  const memory = new URL('./search-memory.ts', import.meta.url).pathname;
  console.log(execFileSync(process.execPath, ['--import', 'tsx', memory], { encoding: 'utf8' }).trimEnd());
  const rows = [...(await solutionSets()), ...(await search())];
  const { posture } = await solvePosture(arm, head, path, settings, busyTask);
  return [...rows, ...(await stage()), ...(await around(posture)), ...(await timeLaw(posture))];
}

/** Seeded poses: each posture must be among the solutions of its pose, each solution must reach it. */
function millionPoses(): void {
  const out = new Float64Array(SOLUTION_SIZE);
  const random = seededRandom(2024);
  let [lost, invented, poses] = [0, 0, 0];
  for (const model of [P1, P3, P4, arm.model as OrthoParallel]) {
    const chain = chainOf(armOf(model));
    const frames = new Float64Array(framesSize(chain));
    const error = new Float64Array(6);
    const q = new Float64Array(6);
    const pose = new Float64Array(12);
    for (let i = 0; i < 250_000; i++, poses++) {
      for (let j = 0; j < 6; j++) q[j] = (2 * random() - 1) * Math.PI;
      forward(chain, q, 0, frames);
      pose.set(frames.subarray(72));
      const mask = inverse(model, pose, 0, out);
      let nearest = Number.POSITIVE_INFINITY;
      for (let b = 0; b < 8; b++) {
        if ((mask & (1 << b)) === 0) continue;
        let apart = 0;
        for (let j = 0; j < 6; j++) apart = Math.max(apart, Math.abs(wrap(out[6 * b + j] - q[j])));
        nearest = Math.min(nearest, apart);
        forward(chain, out, 6 * b, frames);
        poseError(frames, 72, pose, 0, error);
        let miss = 0;
        for (let c = 0; c < 6; c++) miss = Math.max(miss, Math.abs(c < 3 ? error[c] / 1000 : error[c]));
        if (miss > 1e-7) invented++;
      }
      if (!(nearest < 1e-5)) lost++;
    }
  }
  console.log(`${poses} seeded poses there and back: ${lost} lost, ${invented} invented`);
  if (lost + invented > 0) throw new Error('the closed form loses or invents postures');
}

async function solutionSets(): Promise<Row[]> {
  const rows: Row[] = [];
  for (const [name, model] of [
    ['P1', P1],
    ['P4', P4],
  ] as const) {
    const chain = chainOf(armOf(model));
    const frames = new Float64Array(framesSize(chain));
    const random = seededRandom(1);
    const count = 20_000;
    const poses = new Float64Array(12 * count);
    for (let i = 0; i < count; i++) {
      forward(
        chain,
        Float64Array.from({ length: 6 }, () => 6 * (random() - 0.5)),
        0,
        frames,
      );
      poses.set(frames.subarray(72), 12 * i);
    }
    const out = new Float64Array(SOLUTION_SIZE);
    const row = await measure(`arm: 200,000 solution sets of eight, ${name}`, 7, () => {
      for (let k = 0; k < 10; k++) for (let i = 0; i < count; i++) inverse(model, poses, 12 * i, out);
    });
    console.log(`${name}: ${Math.round(200_000 / (row.median_ms / 1000))} solution sets a second`);
    rows.push(row);
  }
  return rows;
}

async function search(): Promise<Row[]> {
  const kinematics = kinematicsOf(arm, null);
  const turn = Float64Array.from({ length: 72 }, (_, t) => (t * Math.PI) / 36);
  const toolToFlange = toolToFlangeOf(head, 150);
  const cost = { speed: 50, smoothness: 0.05, jump: 0.5, limitZone: 0.26, limitWeight: 0.2 };
  const ladderOf = () => buildLadder(kinematics, path, { turn, toolToFlange, home: arm.home, jump: 0.5 }, busyTask);
  const rows = [await measure('arm: ladder of 2,000 rows x 72 turns x 8 branches', 5, ladderOf)];
  const ladder = await ladderOf();
  for (const turnSteps of [0, 1, 2]) {
    const name = turnSteps === 0 ? 'constant' : `free by ${turnSteps} places a row`;
    rows.push(
      await measure(`arm: search over it, turn ${name}`, 5, () =>
        searchPosture(ladder, { ...cost, turnSteps }, [], busyTask),
      ),
    );
  }
  return rows;
}

async function stage(): Promise<Row[]> {
  const rows: Row[] = [];
  for (const turn of ['constant', 'free', 0] as const) {
    const work = () => solvePosture(arm, head, path, { ...settings, turn }, busyTask);
    rows.push(await measure(`arm: whole search, closed ring, turn ${turn}`, 3, work));
  }
  const chain = armOf(benchmark, { axes: axesOf(6, 3) });
  const plain = { ...head, flangeToHead: { position: [0, 0, 60], rotation: [0, 0, 0] } as const };
  const ring = pathOf(wavyRing([450, 150, -150], 40, 5, 0.1), 0, 2 * Math.PI, 500, { from: 0, to: 499 });
  const numeric = () => solvePosture(chain, plain, ring, { ...settings, standoff: 40 }, busyTask);
  rows.push(await measure('arm: whole search, general chain, 500 rows x 72 turns', 1, numeric));
  return rows;
}

async function around(posture: Posture): Promise<Row[]> {
  // A wavy sheet of 100,000 triangles under the ring.
  const n = 224;
  const position = Float64Array.from({ length: 3 * n * n }, (_, k) => {
    const [i, j] = [Math.floor(k / 3) % n, Math.floor(k / 3 / n)];
    return k % 3 === 0 ? i - n / 2 : k % 3 === 1 ? j - n / 2 : 6 * Math.sin(i / 9) * Math.cos(j / 7) - 20;
  });
  const triangle: number[] = [];
  for (let j = 0; j + 1 < n; j++) {
    for (let i = 0; i + 1 < n; i++) {
      const a = j * n + i;
      triangle.push(a, a + 1, a + n, a + 1, a + n + 1, a + n);
    }
  }
  const sheet = { position, triangle: Uint32Array.from(triangle) };
  const obstacles = [{ name: 'sheet', distance: segmentDistance(sheet) }];
  const room = { placement: rigidFromAngles([520, 0, 200], [0, 0, 0]), limit: 10, horizon: 200 };
  return [
    await measure('arm: margins of 2,000 rows', 5, () => margins(arm, head, posture.angle, busyTask)),
    await measure('arm: tree of 100,000 triangles', 5, () => segmentDistance(sheet)),
    await measure('arm: clearances, 8 capsules x 100,000 triangles x 2,000 rows', 5, () =>
      clearances(arm, head, posture.angle, obstacles, room, busyTask),
    ),
  ];
}

/** 2,000 rows at 400 mm/s, so that axes hold the speed. */
async function timeLaw({ angleD1, angleD2, between }: Posture): Promise<Row[]> {
  const pick = (values: Float64Array, j: number) => values.filter((_, k) => k % 6 === j);
  const axes = arm.axes.map(({ speed, acceleration }, j) => ({
    d1: pick(angleD1, j),
    d2: pick(angleD2, j),
    between: { ...between, d1: pick(between.d1, j), d2: pick(between.d2, j) },
    speed,
    acceleration,
  }));
  const limits = { ...straightLimits(path.count, 1), s: path.s, speed: 400, spotAcceleration: 4000, axes };
  return [await measure('arm: time law of 2,000 rows under six axes', 7, () => solveSpeed(limits, busyTask))];
}
