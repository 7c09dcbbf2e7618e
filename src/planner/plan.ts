// The whole plan: the job, what went in, and one record of every stage for each seam.
import type { Aim } from '../model/aim.ts';
import type { Finding } from '../model/finding.ts';
import type { Job, JobSeam } from '../model/job.ts';
import type { Heat } from '../model/heat.ts';
import type { JobFile } from '../model/job-file.ts';
import type { Part } from '../model/part.ts';
import type { Path } from '../model/path.ts';
import type { Room, Stand } from '../model/posture.ts';
import type { Relaxation } from '../model/relaxation.ts';
import type { PreheatEffect } from '../model/preheat.ts';
import type { ProcessWindow } from '../model/process-window.ts';
import type { Seam } from '../model/seam.ts';
import type { Timing } from '../model/timing.ts';

/** One file that went into the plan. */
export interface PlanInput {
  readonly file: string;
  /** Lower-case hex. */
  readonly sha256: string;
  readonly bytes: number;
}

/** The arm's part of a seam's plan. */
export interface Carried {
  readonly stand: Stand;
  readonly room: Room;
}

/** All that was computed for one seam. */
export interface SeamPlan {
  /** As written, with the line energy found where the process has an aim. */
  readonly job: JobSeam;
  readonly seam: Seam;
  readonly path: Path;
  readonly aim: Aim;
  /** How the arm carries the head, and what is near it; null without an arm. */
  readonly carried: Carried | null;
  readonly timing: Timing;
  /** Null where the materials are not known well enough. */
  readonly heat: Heat | null;
  readonly window: ProcessWindow | null;
  /** What the preheat buys; null without one, or where the materials are not known well enough. */
  readonly preheat: PreheatEffect | null;
  /** Energy at the edge of the seam towards b over that at the other, at each station; NaN off the seam or where it is unknown. */
  readonly edgeRatio: Float64Array;
  /** What smoothing the beam axis gained; null where the job does not ask for it. */
  readonly relaxation: Relaxation | null;
  readonly findings: readonly Finding[];
}

export interface Plan {
  /** Version of this program that made the plan. */
  readonly version: string;
  readonly inputs: readonly PlanInput[];
  /** The job as it was written, and as it was understood. */
  readonly jobFile: JobFile;
  readonly job: Job;
  /** Imported files, in the order of their first use in the job. */
  readonly parts: readonly Part[];
  /** For each entry of `Job.parts`: where its body is. */
  readonly bodies: readonly { readonly part: number; readonly body: number }[];
  readonly seams: readonly SeamPlan[];
  /** Findings of the whole job first, then those of each seam, in the order of the seams. */
  readonly findings: readonly Finding[];
}
