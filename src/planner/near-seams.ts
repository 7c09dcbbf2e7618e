// What a seam that is welded later does to one beside it: how hot its passing makes each station again, from a steady pass at the
// distance in space. The seams are driven in the order of the job, so far apart in time that what is left of the first has spread.
import { unitPass } from '../heat/process-window.ts';
import { temperatureOf } from '../heat/temperature.ts';
import type { LaterPass } from '../model/later-pass.ts';
import type { Job } from '../model/job.ts';
import { heatCase } from './heat-case.ts';
import type { SeamPlan } from './plan.ts';

type Planned = Pick<SeamPlan, 'job' | 'seam' | 'path' | 'aim' | 'heat'>;

/** Of all later seams the one that makes each station hottest; null where none comes near, or the heat is not known. */
export function laterPass(seams: readonly Planned[], k: number, job: Job): LaterPass | null {
  const { path, heat } = seams[k];
  if (heat === null) return null;
  const { count } = path;
  const unknown = () => new Float64Array(count).fill(Number.NaN);
  const found = { peak: unknown(), distance: unknown(), seam: new Array<string>(count).fill('') };
  let near = false;
  for (const later of seams.slice(k + 1)) {
    const warm = heatCase(job, later.job, later.seam, later.aim);
    if (warm === null) continue;
    // Beyond its own joint face no heat goes on: there is air.
    const { across, left, right } = warm.window;
    const reach = Math.min(2 * across, Math.max(left, right));
    const distance = distanceTo(later, path, reach);
    if (distance === null) continue;
    const { speed, lineEnergy } = later.job.process;
    const pass = unitPass(warm.window, speed);
    const { first, step } = pass.section;
    distance.forEach((d, i) => {
      const at = (d - first) / step;
      const j = Math.min(pass.peak.length - 2, Math.floor(at));
      if (!(d <= reach)) return;
      const rise = lineEnergy * (pass.peak[j] + (at - j) * (pass.peak[j + 1] - pass.peak[j]));
      const peak = temperatureOf(heat.limits, rise);
      if (found.peak[i] >= peak) return;
      found.peak[i] = peak;
      found.distance[i] = d;
      found.seam[i] = later.seam.name;
      near = true;
    });
  }
  return near ? found : null;
}

/** Distance of each station from the nearest one of another seam, mm, Infinity beyond `reach`; null where all are. */
function distanceTo({ path: other }: Planned, path: SeamPlan['path'], reach: number): Float64Array | null {
  const low = [0, 1, 2].map((axis) => extreme(other.position, axis, Math.min) - reach);
  const high = [0, 1, 2].map((axis) => extreme(other.position, axis, Math.max) + reach);
  const out = new Float64Array(path.count).fill(Number.POSITIVE_INFINITY);
  let near = false;
  for (let i = 0; i < path.count; i++) {
    const [x, y, z] = path.position.subarray(3 * i, 3 * i + 3);
    if (path.onSeam[i] === 0 || [x, y, z].some((value, axis) => value < low[axis] || value > high[axis])) continue;
    let least = reach * reach;
    for (let j = 0; j < other.count; j++) {
      if (other.onSeam[j] === 0) continue;
      const [a, b, c] = [other.position[3 * j] - x, other.position[3 * j + 1] - y, other.position[3 * j + 2] - z];
      const square = a * a + b * b + c * c;
      if (square > least) continue;
      least = square;
      out[i] = Math.sqrt(square);
      near = true;
    }
  }
  return near ? out : null;
}

function extreme(position: Float64Array, axis: number, of: (a: number, b: number) => number): number {
  let found = position[axis];
  for (let k = axis; k < position.length; k += 3) found = of(found, position[k]);
  return found;
}
