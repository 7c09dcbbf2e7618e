// Times the heat stage on its own: a metre of seam on which no two rows are alike, the process window, what a hold asks for.
import { computeHeat } from '../../src/heat/compute-heat.ts';
import { energyDemand } from '../../src/heat/energy-demand.ts';
import { processWindow, type WindowCase } from '../../src/heat/process-window.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { Profile } from '../../src/model/optics.ts';
import { PHASES, type Path } from '../../src/model/path.ts';
import type { Task } from '../../src/model/task.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { LIMITS, medium } from '../heat/known-media.ts';
import { LIMITS as MOTION, OPTICS, plainAim, SEAM } from '../motion/plain-seam.ts';
import { measure, type Row, rowOf } from './measure.ts';
import { busyTask } from './metre-scene.ts';

const SPACING = 0.5;

/** A seam in a plane that winds, about `length` mm long. */
function windingPath(length: number): Path {
  const count = Math.round(length / SPACING) + 1;
  const s = Float64Array.from({ length: count }, (_, i) => i * SPACING);
  const heading = (at: number) => 0.9 * Math.sin(at / 23) + 0.2 * Math.sin(at / 7.3);
  const bend = (at: number) => (0.9 / 23) * Math.cos(at / 23) + (0.2 / 7.3) * Math.cos(at / 7.3);
  const position = new Float64Array(3 * count);
  for (let i = 1; i < count; i++) {
    const middle = heading(s[i] - SPACING / 2);
    position[3 * i] = position[3 * i - 3] + SPACING * Math.cos(middle);
    position[3 * i + 1] = position[3 * i - 2] + SPACING * Math.sin(middle);
  }
  const tangent = new Float64Array(3 * count);
  const normal = new Float64Array(3 * count);
  s.forEach((at, i) => {
    tangent.set([Math.cos(heading(at)), Math.sin(heading(at)), 0], 3 * i);
    normal[3 * i + 2] = 1;
  });
  return {
    closed: false,
    length: s[count - 1],
    count,
    s,
    onSeam: new Uint8Array(count).fill(1),
    position,
    tangent,
    normal,
    curvature: s.map((at) => Math.abs(bend(at))),
    normalCurvature: new Float64Array(count),
    geodesicCurvature: s.map(bend),
    geodesicTorsion: new Float64Array(count),
    corner: new Float64Array(count),
    face: new Uint32Array(count),
    rows: {
      count,
      s: s.slice(),
      station: Uint32Array.from(s, (_, i) => i),
      phase: new Uint8Array(count).fill(PHASES.indexOf('weld')),
    },
  };
}

/** Transmission, spot and walls that change from station to station. */
function restlessAim(path: Path): Aim {
  const aim = plainAim(path);
  const wave = (values: Float64Array, share: number, pace: number) =>
    values.map((value, i) => value * (1 + share * Math.sin(i * pace)));
  return {
    ...aim,
    delivered: wave(aim.delivered, 0.1, 1.3),
    spotAlong: wave(aim.spotAlong, 0.05, 0.31),
    spotAcross: wave(aim.spotAcross, 0.05, 0.23),
    borderLeft: wave(aim.borderLeft, 0.1, 0.17),
    borderRight: wave(aim.borderRight, 0.1, 0.13),
  };
}

/** Longest time between two pauses, ms. */
async function longestStretch(work: (task: Task) => Promise<unknown>): Promise<number> {
  let [last, most] = [performance.now(), 0];
  const note = () => {
    const now = performance.now();
    most = Math.max(most, now - last);
    last = now;
  };
  await work({ ...busyTask, pause: async () => note() });
  note();
  return most;
}

/** The place that windows and holds are measured for. */
function windowCase(profile: Profile): WindowCase {
  const kinetics = { rate: 1.9e18, energy: 2.95e5 };
  const limits = { transmitted: 0.9, powerMin: 2, powerMax: 60, width: 1.2, left: 2, right: 2 };
  const spot = { profile, along: 0.9, across: 0.9, medium: medium(10), limits: LIMITS, kinetics };
  return { ...spot, ...limits, preheat: () => 0 };
}

export async function heatRows(): Promise<Row[]> {
  const rows: Row[] = [];
  for (const profile of ['gaussian', 'top-hat'] as const) {
    const settings = { profile, medium: medium(10), limits: LIMITS };
    for (const length of [500, 1000]) {
      const path = windingPath(length);
      const aim = restlessAim(path);
      const optics = { ...OPTICS, powerMin: 0, powerMax: 1000 };
      const timing = await timeSeam(path, aim, { process: SEAM.process, ramp: 3 }, optics, MOTION);
      const work = (task: Task) => computeHeat(path, aim, timing, settings, task);
      rows.push(await measure(`heat, ${profile}: ${length} mm, no two rows alike`, 3, () => work(busyTask)));
      if (length === 1000)
        rows.push(rowOf(`heat, ${profile}: longest time between pauses`, [await longestStretch(work)]));
    }
    const of = windowCase(profile);
    rows.push(await measure(`heat, ${profile}: process window`, 3, () => processWindow(of, 50, 0.35, busyTask)));
    for (const hold of ['peak-temperature', 'weld-width'] as const) {
      const wanted = { speed: 50, lineEnergy: 0.35, hold, aim: null };
      rows.push(await measure(`heat, ${profile}: hold ${hold}`, 3, () => energyDemand(of, wanted, 'rim', busyTask)));
    }
  }
  return rows;
}
