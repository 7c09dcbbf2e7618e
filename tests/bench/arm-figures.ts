// Figures of the arm's stage, measured on this machine: `node --import tsx tests/bench/arm-figures.ts`. Times are of the
// processor (user), so that neighbours on the machine count little; memory is the process's largest so far.
import armsJson from '../../shared/data/arms.json' with { type: 'json' };
import headsJson from '../../shared/data/heads.json' with { type: 'json' };
import { buildLadder } from '../../src/arm/build-ladder.ts';
import { chainOf, forward, framesSize, poseError } from '../../src/arm/chain-kinematics.ts';
import { clearances } from '../../src/arm/envelopes.ts';
import { kinematicsOf } from '../../src/arm/kinematics.ts';
import { margins } from '../../src/arm/margins.ts';
import { inverse, SOLUTION_SIZE, wrap } from '../../src/arm/opw-kinematics.ts';
import { searchPosture } from '../../src/arm/search-posture.ts';
import { type PostureSettings, solvePosture, toolToFlangeOf } from '../../src/arm/solve-posture.ts';
import { rigidFromAngles } from '../../src/geometry/rigid.ts';
import { segmentDistance } from '../../src/geometry/segment-distance.ts';
import { parseArms } from '../../src/model/arm-file.ts';
import { parseHeads } from '../../src/model/head-file.ts';
import { armOf, axesOf, benchmark, P1, P3, P4, seededRandom } from '../arm/sample-arms.ts';
import { idleTask, pathOf, wavyRing } from '../arm/synthetic-path.ts';

const arm = parseArms(armsJson).get('six-axis-900');
const head = parseHeads(headsJson).get('angled-head');
if (arm === undefined || head === undefined) throw new Error('the catalogues lack the bench records');

const say = (what: string, value: string): void => {
  console.log(`${what.padEnd(66)} ${value}`);
};

async function processorMs<T>(work: () => T | Promise<T>): Promise<{ ms: number; result: T }> {
  const before = process.cpuUsage();
  const result = await work();
  const { user, system } = process.cpuUsage(before);
  return { ms: (user + system) / 1000, result };
}

const median = (values: number[]): number => values.sort((a, b) => a - b)[values.length >> 1];

/** A million seeded poses: each posture must be among the solutions of its pose, each solution must reach it. */
async function millionPoses(): Promise<void> {
  const out = new Float64Array(SOLUTION_SIZE);
  let lost = 0;
  let invented = 0;
  let worst = 0;
  let poses = 0;
  const random = seededRandom(2024);
  for (const model of [P1, P3, P4, arm?.model]) {
    if (model?.kind !== 'ortho-parallel') continue;
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
        worst = Math.max(worst, miss);
        if (miss > 1e-7) invented++;
      }
      if (!(nearest < 1e-5)) lost++;
    }
  }
  say(
    `${poses} seeded poses: lost, invented, largest miss (m or rad)`,
    `${lost}, ${invented}, ${worst.toExponential(1)}`,
  );
}

async function solutionSets(): Promise<void> {
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
    const rates: number[] = [];
    for (let round = 0; round < 7; round++) {
      const { ms } = await processorMs(() => {
        for (let k = 0; k < 10; k++) for (let i = 0; i < count; i++) inverse(model, poses, 12 * i, out);
      });
      rates.push((10 * count) / (ms / 1000));
    }
    say(`solution sets a second, all branches, ${name}`, Math.round(median(rates)).toLocaleString('en'));
  }
}

const step = (2 * Math.PI) / 1960;
const open = pathOf(wavyRing([520, 0, 200], 78, 12, 0.15), -20 * step, 2 * Math.PI + 19 * step, 2000, {
  from: 20,
  to: 1980,
});
const path = { ...open, s: open.s.map((s) => s - open.s[20]) };
const settings: PostureSettings = { turn: 'constant', turns: 72, turnRate: 0.2, speed: 50, standoff: 150 };

async function search(): Promise<void> {
  if (arm === undefined || head === undefined) return;
  const kinematics = kinematicsOf(arm, null);
  const turn = Float64Array.from({ length: 72 }, (_, t) => (t * Math.PI) / 36);
  const toolToFlange = toolToFlangeOf(head, 150);
  const cost = { speed: 50, smoothness: 0.05, jump: 0.5, limitZone: 0.26, limitWeight: 0.2 };
  const build: number[] = [];
  const climb: number[][] = [[], [], []];
  for (let round = 0; round < 5; round++) {
    const made = await processorMs(() =>
      buildLadder(kinematics, path, { turn, toolToFlange, home: arm.home, jump: 0.5 }, idleTask),
    );
    build.push(made.ms);
    for (const turnSteps of [0, 1, 2]) {
      climb[turnSteps].push(
        (await processorMs(() => searchPosture(made.result, { ...cost, turnSteps }, [], idleTask))).ms,
      );
    }
  }
  say('ladder of 2,000 rows x 72 turns x 8 branches, ms', median(build).toFixed(0));
  climb.forEach((times, k) => {
    say(
      `search over it, turn ${k === 0 ? 'constant' : `free by ${k} places a row`}, 6 rounds of axes 4 and 6, ms`,
      median(times).toFixed(0),
    );
  });
}

async function stage(): Promise<void> {
  if (arm === undefined || head === undefined) return;
  for (const turn of ['constant', 'free', 0] as const) {
    const times: number[] = [];
    let text = '';
    for (let round = 0; round < 3; round++) {
      const { ms, result } = await processorMs(() => solvePosture(arm, head, path, { ...settings, turn }, idleTask));
      times.push(ms);
      const { posture, joints } = result;
      text = `${posture.closure}, gap ${result.gap}, stray ${joints.largestDistance.toExponential(1)} mm`;
      if (round > 0) continue;
      const margin = await processorMs(() => margins(arm, head, posture.angle, idleTask));
      say(`  margins of ${path.count} rows, ms`, margin.ms.toFixed(0));
    }
    say(`whole stage, closed ring, turn ${turn}, ms`, `${median(times).toFixed(0)}  (${text})`);
  }
  const chain = armOf(benchmark, { axes: axesOf(6, 3) });
  const plain = { ...head, flangeToHead: { position: [0, 0, 60], rotation: [0, 0, 0] } as const };
  const ring = pathOf(wavyRing([450, 150, -150], 40, 5, 0.1), 0, 2 * Math.PI, 500, { from: 0, to: 499 });
  const numeric = await processorMs(() => solvePosture(chain, plain, ring, { ...settings, standoff: 40 }, idleTask));
  say(
    'whole stage, general chain, 500 rows x 72 turns, ms',
    `${numeric.ms.toFixed(0)}  (${numeric.result.posture.closure})`,
  );
}

async function nearness(): Promise<void> {
  if (arm === undefined || head === undefined) return;
  const { posture } = (await solvePosture(arm, head, path, settings, idleTask)) as { posture: { angle: Float64Array } };
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
  const built = await processorMs(() => segmentDistance({ position, triangle: Uint32Array.from(triangle) }));
  const room = { placement: rigidFromAngles([520, 0, 200], [0, 0, 0]), limit: 20, horizon: 300 };
  const sheet = [{ name: 'sheet', distance: built.result }];
  const swept = await processorMs(() => clearances(arm, head, posture.angle, sheet, room, idleTask));
  say(
    `clearances, 8 capsules x ${triangle.length / 3} triangles x 2,000 rows, ms`,
    `${swept.ms.toFixed(0)}  (tree ${built.ms.toFixed(0)})`,
  );
}

await solutionSets();
await millionPoses();
await search();
await stage();
await nearness();
say('largest memory of the process, MB', (process.resourceUsage().maxRSS / 1024).toFixed(0));
