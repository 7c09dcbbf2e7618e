// The room round head and arm: on every row of a seam, and on the moves from and to home.
import { rigidFromAngles } from '../geometry/rigid.ts';
import type { Carrier, Job } from '../model/job.ts';
import type { Room, Stand } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { clearances, type Obstacle } from './envelopes.ts';

/** What is farther than this is far enough, mm. */
const HORIZON = 200;

export interface RoomSettings {
  readonly carrier: Pick<Carrier, 'arm' | 'head' | 'clearance'>;
  readonly placement: Job['placement'];
}

/** Distances from the obstacles (part frame) and the floor. */
export async function measureRoom(
  stand: Stand,
  obstacles: readonly Obstacle[],
  { carrier, placement }: RoomSettings,
  task: Task,
): Promise<Room> {
  const { arm, head, clearance: limit } = carrier;
  const settings = {
    placement: rigidFromAngles(placement.position, placement.rotation),
    limit,
    horizon: Math.max(HORIZON, 2 * limit),
  };
  const around = (angle: Float64Array) => clearances(arm, head, angle, obstacles, settings, task);
  const moves: Room['moves'][number][] = [];
  for (const { name, angle } of stand.travel.moves) moves.push({ name, clearances: await around(angle) });
  return { along: await around(stand.posture.angle), moves };
}
