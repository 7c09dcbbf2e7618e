// All findings of one seam, read from its records.
import type { Aim } from '../model/aim.ts';
import type { Finding } from '../model/finding.ts';
import type { Job, JobSeam } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { Seam } from '../model/seam.ts';
import type { Timing } from '../model/timing.ts';
import { type CarriedRecords, checkArm } from './check-arm.ts';
import { checkBeam } from './check-beam.ts';
import { checkMotion } from './check-motion.ts';
import { checkShape } from './check-shape.ts';

export interface SeamRecords {
  readonly seam: Seam;
  readonly path: Path;
  readonly aim: Aim;
  /** What the arm's stages found; null without an arm. */
  readonly carried: CarriedRecords | null;
  readonly timing: Timing;
  /** Energy at the edge of the seam towards b over that at the other, n. */
  readonly edgeRatio: Float64Array;
}

/** Findings of a seam: the seam's shape first, then beam, arm, motion; those of one kind in the order of the seam. */
export function checkSeam(records: SeamRecords, jobSeam: JobSeam, job: Job): Finding[] {
  const { seam, path, aim, carried, timing, edgeRatio } = records;
  return [
    ...checkShape(seam, path, aim, edgeRatio, jobSeam, job),
    ...checkBeam(path, aim, jobSeam, job),
    ...checkArm(path, carried, timing, jobSeam, job),
    ...checkMotion(path, timing, jobSeam, job, carried?.stand ?? null),
  ];
}
