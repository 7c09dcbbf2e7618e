// The heat of one seam once its time law is known: what the joint sees, the window that the plan stands in, what a preheat buys.
import { computeHeat } from '../heat/compute-heat.ts';
import { edgeRatio } from '../heat/edge-ratio.ts';
import { preheatGain } from '../heat/preheat.ts';
import { processWindow } from '../heat/process-window.ts';
import type { Aim } from '../model/aim.ts';
import type { JobSeam } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { Task } from '../model/task.ts';
import type { Timing } from '../model/timing.ts';
import type { HeatCase } from './heat-case.ts';
import type { Memo } from './memo.ts';
import type { SeamPlan } from './plan.ts';
import { settingsKey } from './stage-inputs.ts';

export interface TimedSeam {
  /** With the line energy as found. */
  readonly job: JobSeam;
  readonly path: Path;
  readonly aim: Aim;
  readonly timing: Timing;
  /** Time of the whole seam at another process speed and line energy, s. */
  readonly cycleAt: (speed: number, lineEnergy: number) => Promise<number>;
}

type HeatOfSeam = Pick<SeamPlan, 'heat' | 'window' | 'preheat' | 'edgeRatio'>;

/** All of it; without materials that are known well enough (`warm` null) only the ratio that the bends alone make. */
export async function planHeat(
  memo: Memo,
  warm: HeatCase | null,
  { job, path, aim, timing, cycleAt }: TimedSeam,
  task: Task,
): Promise<HeatOfSeam> {
  const slot = job.name;
  const edges = (heat: SeamPlan['heat']) => edgeRatio(path, heat, aim.spotAcross, job.width);
  if (warm === null) return { heat: null, window: null, preheat: null, edgeRatio: edges(null) };
  const { speed, lineEnergy, preheat } = job.process;
  const heat = await memo.run('heat', slot, [path, aim, timing, settingsKey(warm.settings)], () =>
    computeHeat(path, aim, timing, warm.settings, task),
  );
  const key = settingsKey({ of: warm.window, process: job.process });
  const window = await memo.run('window', slot, [key], () => processWindow(warm.window, speed, lineEnergy, task));
  const effect =
    preheat === null
      ? null
      : await memo.run('preheat', slot, [key, timing], async () => {
          const gain = await preheatGain(warm.window, speed, lineEnergy, task);
          const power = speed * lineEnergy;
          const cycle = async (v: number) => (Number.isNaN(v) ? Number.NaN : cycleAt(v, power / v));
          return {
            ...gain,
            cycleWithout: await cycle(gain.speedWithout),
            cycleWith: await cycle(gain.speedWith),
          };
        });
  return { heat, window, preheat: effect, edgeRatio: edges(heat) };
}
