// The arm under one seam: postures along its rows with their margins, and the moves from and to home.
import { rotate } from '../geometry/quaternion.ts';
import { rigidFromAngles, rigidQuaternion } from '../geometry/rigid.ts';
import type { Aim } from '../model/aim.ts';
import type { Arm } from '../model/arm.ts';
import type { Carrier, HeadSettings, Job } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { Posture, Stand, Travel } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { branchesOf } from './branches-of.ts';
import { chainOf } from './chain-kinematics.ts';
import { channelSpline, secondAtKnot } from './channel-spline.ts';
import { checkTravel } from './check-travel.ts';
import { runsOf } from './follow-path.ts';
import { kinematicsOf } from './kinematics.ts';
import { margins } from './margins.ts';
import { solvePosture, toolToFlangeOf } from './solve-posture.ts';
import { type ToolPath, toolPath } from './tool-path.ts';
import { wristOffset } from './wrist-offset.ts';

/** Turns of the tool about the beam that the search looks at. */
const TURNS = 72;

/** What the stage reads of a job and its seam. */
export interface StandSettings {
  readonly carrier: Pick<Carrier, 'arm' | 'head' | 'turnRate'>;
  readonly placement: Job['placement'];
  readonly approach: number;
  readonly head: Pick<HeadSettings, 'standoff' | 'turn'>;
  /** Process speed, mm/s. */
  readonly speed: number;
}

/** Never throws for a seam that the arm cannot do: the stretches are named, the rest has postures. */
export async function standArm(path: Path, aim: Aim, settings: StandSettings, task: Task): Promise<Stand> {
  const { carrier, head: wanted, speed } = settings;
  const { arm, head } = carrier;
  const tool = toolPath(path, aim, settings.placement);
  // A turn that the job fixes is in the frames already.
  const turn = typeof wanted.turn === 'number' ? 0 : wanted.turn;
  const { standoff } = wanted;
  const search = { turn, turns: TURNS, turnRate: carrier.turnRate, speed, standoff };
  const { posture, joints } = await solvePosture(arm, head, tool, search, task);
  const filled = fillTurn(posture.turn);
  return {
    posture,
    margins: await margins(arm, head, posture.angle, task),
    travel: travelOf(settings, tool, posture),
    turn: filled,
    spin: turn === 'free' ? spinOf(tool, posture, settings.placement) : null,
    branch: branchesOf(arm, posture.angle),
    stray: { distance: joints.largestDistance, angle: joints.largestAngle },
    wristOffset: offsetOf(arm),
  };
}

const offsetOf = (arm: Arm): number => (arm.model.kind === 'chain' ? wristOffset(chainOf(arm)) : Number.NaN);

function travelOf({ carrier, head, approach }: StandSettings, tool: ToolPath, posture: Posture): Travel {
  const { arm, head: mount } = carrier;
  const n = posture.axes;
  if (Number.isNaN(posture.angle[0]) || Number.isNaN(posture.angle[n * (tool.count - 1)])) {
    return { moves: [], problems: [] };
  }
  const toolToFlange = toolToFlangeOf(mount, head.standoff);
  const kinematics = kinematicsOf(arm, mount.umbilical);
  const travel = { toolToFlange, distance: approach, home: arm.home };
  return checkTravel(kinematics, tool, posture.turn, posture.angle, travel);
}

/** The nearest known turn, the one before where two are as near; 0 where none is known. */
function fillTurn(turn: Float64Array): Float64Array {
  const known = Array.from(turn.keys()).filter((i) => !Number.isNaN(turn[i]));
  let k = 0;
  return turn.map((value, i) => {
    while (k + 1 < known.length && known[k + 1] - i < i - known[k]) k++;
    return known.length === 0 ? 0 : Number.isNaN(value) ? turn[known[k]] : value;
  });
}

/** A turn psi about the axis a adds psi' a, and psi'' a + psi' a' to its derivative; in the part frame. */
function spinOf(tool: ToolPath, posture: Posture, placement: Job['placement']): NonNullable<Stand['spin']> {
  const m = tool.count;
  const d1 = new Float64Array(3 * m).fill(Number.NaN);
  const d2 = new Float64Array(3 * m).fill(Number.NaN);
  const back = rigidQuaternion(rigidFromAngles(placement.position, placement.rotation));
  for (let c = 1; c < 4; c++) back[c] = -back[c];
  const axis = new Float64Array(3 * m);
  for (let i = 0; i < m; i++) {
    rotate(tool.frame, 4 * i, Float64Array.of(0, 0, 1), 0, axis, 3 * i);
    rotate(back, 0, axis, 3 * i, axis, 3 * i);
  }
  for (const { from, to } of runsOf(Int32Array.from(posture.turn, (value) => (Number.isNaN(value) ? -1 : 0)))) {
    const s = tool.s.slice(from, to + 1);
    const turn = channelSpline(s, posture.turn.slice(from, to + 1), 1);
    const way = channelSpline(s, axis.slice(3 * from, 3 * to + 3), 3);
    const second = new Float64Array(1);
    for (let i = from; i <= to; i++) {
      const first = turn.slope[i - from];
      secondAtKnot(turn, i - from, second, 0);
      for (let c = 0; c < 3; c++) {
        d1[3 * i + c] = first * axis[3 * i + c];
        d2[3 * i + c] = second[0] * axis[3 * i + c] + first * way.slope[3 * (i - from) + c];
      }
    }
  }
  return { d1, d2 };
}
