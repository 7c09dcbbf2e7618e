// The arm in each row of a seam: the rooms that its links and the head take, and a frame for each link, in the part frame.
import { chainOf, forward, framesSize } from '../../arm/chain-kinematics.ts';
import { envelopesOf } from '../../arm/envelopes.ts';
import { composeRigid, invertRigid, type Rigid, rigidFromAngles } from '../../geometry/rigid.ts';
import type { Carrier, Job } from '../../model/job.ts';
import type { Posture } from '../../model/posture.ts';
import type { ArmView } from './plan-view.ts';

/** Numbers of a frame as WebGL takes it. */
const FRAME = 16;

/** Links: the base, one behind each axis, the flange. Rows without a posture have NaN frames, but for the base. */
export function armView(
  { arm, head }: Pick<Carrier, 'arm' | 'head'>,
  posture: Posture,
  placement: Job['placement'],
  centre: readonly number[],
): ArmView {
  const chain = chainOf(arm);
  const links = posture.axes + 2;
  const inPart = invertRigid(rigidFromAngles(placement.position, placement.rotation));
  const base = composeRigid(inPart, rigidFromAngles(arm.base.position, arm.base.rotation));
  const frames = new Float64Array(framesSize(chain));
  const frame = new Float32Array(FRAME * links * posture.count);
  for (let row = 0; row < posture.count; row++) {
    forward(chain, posture.angle, posture.axes * row, frames);
    const first = FRAME * links * row;
    setFrame(frame, first, base, centre);
    for (let link = 1; link < links; link++) {
      const at = 12 * (link - 1);
      const local = { rotation: frames.subarray(at, at + 9), translation: frames.subarray(at + 9, at + 12) };
      setFrame(frame, first + FRAME * link, composeRigid(inPart, local), centre);
    }
  }
  return {
    id: arm.id,
    title: arm.title,
    capsules: envelopesOf(arm, head).map(({ name, link, from, to, radius }, k) => ({
      name,
      owner: k < arm.envelope.length ? 'arm' : 'head',
      link,
      from: [...from],
      to: [...to],
      radius,
    })),
    links,
    frame,
    axes: arm.axes.map((axis) => axis.name),
  };
}

/** Column by column, the last row 0 0 0 1. */
function setFrame(out: Float32Array, at: number, { rotation, translation }: Rigid, centre: readonly number[]): void {
  for (let column = 0; column < 3; column++) {
    for (let row = 0; row < 3; row++) out[at + 4 * column + row] = rotation[3 * row + column];
    out[at + 12 + column] = translation[column] - centre[column];
  }
  out[at + 15] = 1;
}
