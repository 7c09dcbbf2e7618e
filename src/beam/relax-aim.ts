// Aims the beam along axes that are smoothed within a cone about the nominal ones, so that the head turns less. The trace of
// the smoothed beam is the judge: where it breaks a limit that the nominal beam holds, the cone is made narrower there and
// the axes are smoothed again.
import { angleBetween } from '../geometry/vector.ts';
import type { SceneBody } from '../geometry/scene.ts';
import type { Aim } from '../model/aim.ts';
import type { HeadSettings, Limits } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { RelaxedAim } from '../model/relaxation.ts';
import type { Seam } from '../model/seam.ts';
import type { Task } from '../model/task.ts';
import { type AimJob, aimBeam } from './aim-beam.ts';
import { clearBodies, layerIndex, statedLayer } from './clear-bodies.ts';
import { relaxAxis } from './relax-axis.ts';
import { incidenceCones, type LeanLimits, narrowBroken } from './relax-cone.ts';

/** What the stage reads of a job. */
export type RelaxJob = Omit<AimJob, 'limits'> & { readonly limits: LeanLimits & Pick<Limits, 'contact' | 'lateral'> };

/** After this many rounds a cone that is still broken is closed. */
const NARROWING_ROUNDS = 3;
/** After this many the nominal beam stays as it is. */
const MOST_ROUNDS = 7;

/**
 * The beam aimed (as by `aimBeam`) along axes at most `head.relax` from those of `nominal`. At no station are limits of incidence,
 * layer, gap, shadow or capture broken that the nominal beam holds there, nor broken further. Throws as `aimBeam` does.
 */
export async function relaxAim(
  nominal: Aim,
  path: Path,
  seam: Seam,
  jobSeam: { readonly head: HeadSettings },
  scene: readonly SceneBody[],
  job: RelaxJob,
  task: Task,
): Promise<RelaxedAim> {
  const { closed, s, length, onSeam } = path;
  const first = Math.max(0, onSeam.indexOf(1));
  const end = onSeam.lastIndexOf(1) + 1;
  const bodies = clearBodies(scene, job.materials);
  const index = layerIndex(bodies, statedLayer(job.layer, bodies, job.materials));
  const cone = incidenceCones(nominal, jobSeam.head.relax, job.limits, index).map((angle, i) =>
    onSeam[i] ? angle : 0,
  );
  const gap = Float64Array.from({ length: end - first }, (_, i) =>
    first + i + 1 < end ? s[first + i + 1] - s[first + i] : closed ? s[first] + length - s[end - 1] : 0,
  );
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const field = { nominal: nominal.axis.slice(3 * first, 3 * end), cone: cone.slice(first, end), gap, closed };
    const axis = nominal.axis.slice();
    axis.set(await relaxAxis(field, task), 3 * first);
    const aim = await aimBeam(path, seam, jobSeam, scene, job, task, axis);
    const lean = cone.map((_, i) => (onSeam[i] ? angleBetween(axis, 3 * i, nominal.axis, 3 * i) : 0));
    if (!narrowBroken(cone, lean, aim, nominal, job.limits, round >= NARROWING_ROUNDS)) return { aim, lean, cone };
  }
  const none = new Float64Array(path.count);
  return { aim: nominal, lean: none, cone: none };
}
