// How near the envelopes of links and head come to parts, tooling and floor along a motion. Rows are passed over as long as
// the distance known, less what the envelope has moved since, cannot fall below what is looked for: exact over the rows,
// and cheap.
import type { SegmentDistance } from '../geometry/segment-distance.ts';
import { invertRigid, type Rigid, rigidFromAngles } from '../geometry/rigid.ts';
import type { Arm, Capsule } from '../model/arm.ts';
import type { Head } from '../model/head.ts';
import type { Clearance, CloseStretch } from '../model/posture.ts';
import type { Task } from '../model/task.ts';
import { type Chain, chainOf, compose, forward, framesSize } from './chain-kinematics.ts';

/** Something that stands in the cell, in the part frame. */
export interface Obstacle {
  /** Name for findings. */
  readonly name: string;
  readonly distance: SegmentDistance;
}

export interface ClearanceSettings {
  /** Part frame in the arm's base frame. */
  readonly placement: Rigid;
  /** Distance to keep, mm. */
  readonly limit: number;
  /** Beyond this nothing is measured, mm. */
  readonly horizon: number;
}

/** The capsules of an arm with a head, those of the head in the flange's frame (link n + 1). */
export function envelopesOf(arm: Arm, head: Head): Capsule[] {
  const n = arm.axes.length;
  const { rotation: r, translation: t } = rigidFromAngles(head.flangeToHead.position, head.flangeToHead.rotation);
  const move = ([x, y, z]: Capsule['from']): Capsule['from'] => [
    r[0] * x + r[1] * y + r[2] * z + t[0],
    r[3] * x + r[4] * y + r[5] * z + t[1],
    r[6] * x + r[7] * y + r[8] * z + t[2],
  ];
  const onFlange = head.envelope.map((c) => ({ ...c, link: n + 1, from: move(c.from), to: move(c.to) }));
  return [...arm.envelope, ...onFlange];
}

/**
 * Clearances of every capsule and obstacle over the postures `angle` (n x m, rad; rows with NaN are passed over), nearest
 * first; the floor counts for links behind axis 2 on. Pairs that never come within the horizon are left out.
 */
export async function clearances(
  arm: Arm,
  head: Head,
  angle: Float64Array,
  obstacles: readonly Obstacle[],
  settings: ClearanceSettings,
  task: Task,
): Promise<Clearance[]> {
  const chain = chainOf(arm);
  const capsules = envelopesOf(arm, head);
  const ends = capsuleEnds(chain, arm, capsules, angle);
  const inPart = invertRigid(settings.placement);
  const found: Clearance[] = [];
  for (const [c, capsule] of capsules.entries()) {
    await task.pause('measuring clearances', c / capsules.length);
    const track = ends[c];
    const owner = c < arm.envelope.length ? 'arm' : 'head';
    const { floor } = arm;
    if (floor !== null && capsule.link > 2) {
      const toFloor = (k: number): number => Math.min(track[k + 2], track[k + 5]) - floor;
      add(found, capsule, owner, 'floor', await sweep(track, toFloor, capsule.radius, settings, task));
    }
    const local = movePairs(inPart, track);
    for (const { name, distance } of obstacles) {
      const reach = settings.horizon + capsule.radius;
      const toObstacle = (k: number): number => distance(local, k, local, k + 3, reach);
      add(found, capsule, owner, name, await sweep(local, toObstacle, capsule.radius, settings, task));
    }
  }
  return found.sort((a, b) => a.smallest - b.smallest);
}

type Sweep = Pick<Clearance, 'smallest' | 'row' | 'close'>;

function add(found: Clearance[], capsule: Capsule, owner: Clearance['owner'], obstacle: string, swept: Sweep): void {
  if (swept.row >= 0) found.push({ envelope: capsule.name, owner, obstacle, ...swept });
}

/** Ends of each capsule over the rows, 6 x m a capsule, base frame, mm; NaN in rows without a posture. */
function capsuleEnds(chain: Chain, arm: Arm, capsules: readonly Capsule[], angle: Float64Array): Float64Array[] {
  const n = chain.count;
  const m = angle.length / n;
  const frames = new Float64Array(framesSize(chain));
  const base = rigidFromAngles(arm.base.position, arm.base.rotation);
  const still = Float64Array.of(...base.rotation, ...base.translation);
  const locals = capsules.map((c) =>
    [c.from, c.to].map((end) => Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, end[0], end[1], end[2])),
  );
  const out = new Float64Array(12);
  const tracks = capsules.map(() => new Float64Array(6 * m));
  for (let i = 0; i < m; i++) {
    forward(chain, angle, n * i, frames);
    for (let c = 0; c < capsules.length; c++) {
      const { link } = capsules[c];
      for (let e = 0; e < 2; e++) {
        if (link === 0) compose(still, 0, locals[c][e], 0, out, 0);
        else compose(frames, 12 * (link - 1), locals[c][e], 0, out, 0);
        tracks[c].set(out.subarray(9), 6 * i + 3 * e);
      }
    }
  }
  return tracks;
}

function movePairs(rigid: Rigid, track: Float64Array): Float64Array {
  const { rotation: r, translation: t } = rigid;
  const out = new Float64Array(track.length);
  for (let k = 0; k < track.length; k += 3) {
    for (let c = 0; c < 3; c++) {
      out[k + c] = r[3 * c] * track[k] + r[3 * c + 1] * track[k + 1] + r[3 * c + 2] * track[k + 2] + t[c];
    }
  }
  return out;
}

/**
 * Smallest distance of a moving segment (ends 6 x m) less its radius. A segment whose ends have moved by at most d has no
 * point that moved further: the distance cannot have fallen by more.
 */
async function sweep(
  track: Float64Array,
  distance: (k: number) => number,
  radius: number,
  { limit, horizon }: ClearanceSettings,
  task: Task,
): Promise<Sweep> {
  const m = track.length / 6;
  let smallest = horizon;
  let row = -1;
  const close: { -readonly [K in keyof CloseStretch]: CloseStretch[K] }[] = [];
  let known = Number.NEGATIVE_INFINITY;
  let knownAt = 0;
  for (let i = 0; i < m; i++) {
    if (Number.isNaN(track[6 * i])) continue;
    if (known - moved(track, 6 * knownAt, 6 * i) > Math.max(smallest, limit)) continue;
    await task.pause('measuring clearances', i / m);
    known = distance(6 * i) - radius;
    knownAt = i;
    if (known < smallest) {
      smallest = known;
      row = i;
    }
    if (known >= limit) continue;
    const last = close.at(-1);
    if (last === undefined || last.to !== i - 1) {
      close.push({ from: i, to: i, row: i, smallest: known });
      continue;
    }
    last.to = i;
    if (known < last.smallest) {
      last.smallest = known;
      last.row = i;
    }
  }
  return { smallest, row, close };
}

/** The farther that either end has moved. */
function moved(track: Float64Array, a: number, b: number): number {
  let largest = 0;
  for (let e = 0; e < 6; e += 3) {
    const x = track[b + e] - track[a + e];
    const y = track[b + e + 1] - track[a + e + 1];
    const z = track[b + e + 2] - track[a + e + 2];
    largest = Math.max(largest, x * x + y * y + z * z);
  }
  return Math.sqrt(largest);
}
