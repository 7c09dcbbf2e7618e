// The moves around the weld with the beam off: straight away from the part along the beam at its start and end, and with all
// axes together between there and the posture that the arm calls home.
import type { Rigid } from '../geometry/rigid.ts';
import type { Move, Travel, TravelProblem } from '../model/posture.ts';
import { beyondLimits, follow, type Kinematics } from './kinematics.ts';
import { flangePose, type ToolPath } from './tool-path.ts';

/** Spacing of samples: mm on straight moves, rad of the axis that turns most on others. */
const STRAIGHT_STEP = 2;
const JOINT_STEP = (2 * Math.PI) / 180;
/** Largest change of an axis between samples of a straight move, rad. */
const JUMP = 0.5;

export interface TravelSettings {
  readonly toolToFlange: Rigid;
  /** Length of approach and retract, mm. */
  readonly distance: number;
  /** n, rad */
  readonly home: ArrayLike<number>;
}

/**
 * Moves before the first row and after the last, which both need a posture (`turn` m, `angle` n x m, rad). A move that
 * fails ends at its last good sample, and the moves beyond it are left out.
 */
export function checkTravel(
  arm: Kinematics,
  path: ToolPath,
  turn: Float64Array,
  angle: Float64Array,
  settings: TravelSettings,
): Travel {
  const problems: TravelProblem[] = [];
  const home = Float64Array.from(settings.home);
  const over = beyondLimits(arm, home, 0);
  if (over.axis >= 0) {
    problems.push({ move: 'from-home', why: 'home-limit', axis: over.axis, excess: over.excess, at: Number.NaN });
  }
  const n = arm.axes;
  const leave = (row: number, name: 'approach' | 'retract'): Float64Array => {
    const start = angle.slice(n * row, n * row + n);
    return straightAway(arm, path, row, turn[row], start, name, settings, problems);
  };
  const before = problems.length;
  const approach = reverseSamples(leave(0, 'approach'), n);
  const between = problems.length;
  const retract = leave(path.count - 1, 'retract');
  const moves: Move[] = [];
  const push = (name: Move['name'], samples: Float64Array): void => {
    moves.push({ name, angle: samples, time: restToRest(arm, samples) });
  };
  if (between === before) push('from-home', together(home, approach.slice(0, n)));
  push('approach', approach);
  push('retract', retract);
  if (problems.length === between) push('to-home', together(retract.slice(-n), home));
  return { moves, problems };
}

/** Postures straight back along the beam from a row's, n x k, the row's first. */
function straightAway(
  arm: Kinematics,
  path: ToolPath,
  row: number,
  turn: number,
  start: Float64Array,
  move: 'approach' | 'retract',
  { toolToFlange, distance }: TravelSettings,
  problems: TravelProblem[],
): Float64Array {
  const n = arm.axes;
  const steps = Math.max(1, Math.ceil(distance / STRAIGHT_STEP));
  const samples = new Float64Array(n * (steps + 1));
  samples.set(start);
  const q = Float64Array.from(start);
  const pose = new Float64Array(12);
  const axis = beamAxis(path.frame, 4 * row);
  const point = new Float64Array(3);
  for (let i = 1; i <= steps; i++) {
    const back = (distance * i) / steps;
    for (let c = 0; c < 3; c++) point[c] = path.position[3 * row + c] - back * axis[c];
    flangePose(point, 0, path.frame, 4 * row, turn, toolToFlange, pose, 0);
    const reached = follow(arm, pose, 0, q, 0, JUMP);
    const over = beyondLimits(arm, q, 0);
    if (!reached || over.axis >= 0) {
      const why = reached ? 'joint-limit' : 'out-of-reach';
      problems.push({ move, why, axis: over.axis, excess: reached ? over.excess : Number.NaN, at: back });
      return samples.slice(0, n * i);
    }
    samples.set(q, n * i);
  }
  return samples;
}

/** The z axis of the frame q[k..]. */
function beamAxis(q: Float64Array, k: number): Float64Array {
  const [w, x, y, z] = q.subarray(k, k + 4);
  return Float64Array.of(2 * (x * z + w * y), 2 * (y * z - w * x), 1 - 2 * (x * x + y * y));
}

/** All axes in step from a to b. Limits are intervals: with both ends within them, all is. */
function together(a: Float64Array, b: Float64Array): Float64Array {
  const n = a.length;
  let largest = 0;
  for (let j = 0; j < n; j++) largest = Math.max(largest, Math.abs(b[j] - a[j]));
  const steps = Math.max(1, Math.ceil(largest / JOINT_STEP));
  const samples = new Float64Array(n * (steps + 1));
  for (let i = 0; i <= steps; i++) {
    for (let j = 0; j < n; j++) samples[n * i + j] = i === steps ? b[j] : a[j] + ((b[j] - a[j]) * i) / steps;
  }
  return samples;
}

function reverseSamples(samples: Float64Array, n: number): Float64Array {
  const k = samples.length / n;
  return samples.map((_, at) => samples[n * (k - 1 - Math.floor(at / n)) + (at % n)]);
}

/** Time of the slowest axis over its whole change, from rest to rest: a trapezium, or a triangle when it is short. */
function restToRest(arm: Kinematics, samples: Float64Array): number {
  const n = arm.axes;
  let time = 0;
  for (let j = 0; j < n; j++) {
    let way = 0;
    for (let k = n + j; k < samples.length; k += n) way += Math.abs(samples[k] - samples[k - n]);
    const v = arm.speed[j];
    const a = arm.acceleration[j];
    time = Math.max(time, way > (v * v) / a ? way / v + v / a : 2 * Math.sqrt(way / a));
  }
  return time;
}
