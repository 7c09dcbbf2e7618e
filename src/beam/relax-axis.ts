// Smooths a field of beam axes so that the head turns less, each axis inside a cone about its nominal direction: the least
// cost of turning (`axis-stiffness.ts`) under these bounds. Pulled taut like a string in a tube, the field has the least of
// every convex measure of its slope where it turns in one plane, the largest slope among them.
//
// Method: a logarithmic barrier keeps every axis strictly inside its cone while its weight goes down; for each weight Newton's
// method on the sphere, in the tangent plane of every axis (Boyd & Vandenberghe, Convex Optimization, 2004, 11.3; Absil, Mahony
// & Sepulchre, Optimization Algorithms on Matrix Manifolds, 2008, 6.2). Each step is one banded solve: cost linear in stations.
import { log, sin } from '../geometry/elementary.ts';
import { solveBanded } from '../geometry/solve-banded.ts';
import { addScaled, copy, cross, dot, normalise, set } from '../geometry/vector.ts';
import type { Task } from '../model/task.ts';
import { axisStiffness, bendingForce, type Stiffness } from './axis-stiffness.ts';

/** Axes along a seam, from station to station. */
export interface AxisField {
  /** Nominal unit axes, 3 x n. */
  readonly nominal: Float64Array;
  /** Largest angle to the nominal axis, n, rad. */
  readonly cone: Float64Array;
  /** Distance to the next station, n, mm; the last one counts on a closed seam only. */
  readonly gap: Float64Array;
  readonly closed: boolean;
}

/** Bends of the taut string are rounded over about this length, mm. */
const ROUNDING = 1;
/** A cone below this is none, rad: 0.006 deg. */
const NARROWEST = 1e-4;
/** Fewer stations than this do not bend. */
const FEWEST = 5;
/** Weight of the barrier, as a share of the nominal cost: each goes down by FALL until LAST. The cost ends that close to the least. */
const FALL = 0.1;
const LAST = 1e-6;
/** Newton's decrement, squared, in weights of the barrier, at which a weight is done. */
const SETTLED = 0.01;
const MOST_STEPS = 40;
const MOST_HALVINGS = 30;

/**
 * The relaxed unit axes, 3 x n, never outside their cones; the nominal ones where nothing can be gained, where one of them is
 * unknown, and on fewer than 5 stations.
 */
export async function relaxAxis(field: AxisField, task: Task): Promise<Float64Array> {
  const { nominal, cone, gap, closed } = field;
  const count = gap.length;
  const axis = nominal.slice();
  if (count < FEWEST || nominal.some(Number.isNaN)) return axis;
  const stiffness = axisStiffness(gap, closed, ROUNDING);
  const nominalCost = bendingForce(stiffness, axis, new Float64Array(3 * count));
  const room = cone.map((angle) => (angle < NARROWEST ? 0 : 2 * sin(Math.min(angle, Math.PI / 2) / 2) ** 2));
  const free = room.reduce((sum, value) => sum + (value > 0 ? 1 : 0), 0);
  if (!(nominalCost > 0) || free === 0) return axis;

  const state = createState(stiffness, nominal, room, axis);
  for (let share = FALL; share >= 0.99 * LAST; share *= FALL) {
    const weight = (share * nominalCost) / free;
    for (let step = 0; step < MOST_STEPS; step++) {
      await task.pause('relaxing the beam axis', 0);
      const decrement = newtonStep(state, weight);
      if (!(decrement > SETTLED)) break;
    }
  }
  return state.axis;
}

interface State {
  readonly stiffness: Stiffness;
  readonly nominal: Float64Array;
  /** 1 - cos of each cone, n; 0 where the axis is held. */
  readonly room: Float64Array;
  /** Position of each station in the order of the band, n. */
  readonly place: Uint32Array;
  /** Scalars to either side of the diagonal. */
  readonly half: number;
  axis: Float64Array;
  trial: Float64Array;
  /** Gradient of the cost, 3 x n. */
  readonly force: Float64Array;
  /** Two unit vectors across each axis, 6 x n. */
  readonly basis: Float64Array;
  readonly band: Float64Array;
  readonly step: Float64Array;
}

function createState(stiffness: Stiffness, nominal: Float64Array, room: Float64Array, axis: Float64Array): State {
  const { count, closed } = stiffness;
  // Both ends of a closed seam side by side, and so on from there: neighbours stay near each other all round.
  const place = Uint32Array.from({ length: count }, (_, i) => {
    if (!closed) return i;
    return 2 * i < count ? 2 * i : 2 * (count - 1 - i) + 1;
  });
  const half = closed ? 9 : 5;
  return {
    stiffness,
    nominal,
    room,
    place,
    half,
    axis,
    trial: axis.slice(),
    force: new Float64Array(3 * count),
    basis: new Float64Array(6 * count),
    band: new Float64Array(2 * count * (half + 1)),
    step: new Float64Array(2 * count),
  };
}

/** One step for the weight (1/mm) of the barrier; returns the squared decrement in weights: 0 where no step went down. */
function newtonStep(state: State, weight: number): number {
  const { stiffness, nominal, room, axis, force, basis, band, step, half, place } = state;
  const { count } = stiffness;
  const cost = bendingForce(stiffness, axis, force);
  for (let i = 0; i < count; i++) tangentPlane(axis, 3 * i, basis, 6 * i);
  assemble(state, weight);
  const gradient = new Float64Array(2 * count);
  for (let i = 0; i < count; i++) {
    if (room[i] === 0) continue;
    const slack = slackAt(room, axis, nominal, i);
    for (let c = 0; c < 2; c++) {
      const k = 6 * i + 3 * c;
      gradient[2 * place[i] + c] = dot(basis, k, force, 3 * i) - (weight * dot(basis, k, nominal, 3 * i)) / slack;
    }
  }
  for (let k = 0; k < 2 * count; k++) step[k] = -gradient[k];
  if (!solveBanded(band, step, 2 * count, half)) return 0;
  let decrement = 0;
  for (let k = 0; k < 2 * count; k++) decrement -= gradient[k] * step[k];

  const before = cost + barrier(state, axis, weight);
  for (let halving = 0, length = 1; halving < MOST_HALVINGS; halving++, length /= 2) {
    if (!walk(state, length)) continue;
    const after = bendingForce(stiffness, state.trial, force) + barrier(state, state.trial, weight);
    if (!(after <= before - 0.1 * length * decrement)) continue;
    state.axis = state.trial;
    state.trial = axis;
    return decrement / weight;
  }
  return 0;
}

/** Hessian of cost and barrier in the tangent planes, lower triangle of the band; that of a held axis is the identity. */
function assemble(state: State, weight: number): void {
  const { stiffness, nominal, room, axis, basis, band, half, place } = state;
  const { count, closed, own, next, afterNext } = stiffness;
  band.fill(0);
  const add = (i: number, j: number, value: number, a: number, b: number): void => {
    const row = 2 * place[i] + a;
    const column = 2 * place[j] + b;
    if (row >= column) band[row * (half + 1) + column - row + half] += value;
    else band[column * (half + 1) + row - column + half] += value;
  };
  const couple = (i: number, j: number, weightOf: number): void => {
    if (room[i] === 0 || room[j] === 0) return;
    for (let a = 0; a < 2; a++) {
      for (let b = 0; b < 2; b++) add(i, j, weightOf * dot(basis, 6 * i + 3 * a, basis, 6 * j + 3 * b), a, b);
    }
  };
  for (let i = 0; i < count; i++) {
    if (closed || i + 1 < count) couple(i, (i + 1) % count, next[i]);
    if (closed || i + 2 < count) couple(i, (i + 2) % count, afterNext[i]);
    if (room[i] === 0) {
      add(i, i, 1, 0, 0);
      add(i, i, 1, 1, 1);
      continue;
    }
    const slack = slackAt(room, axis, nominal, i);
    const p = dot(basis, 6 * i, nominal, 3 * i);
    const q = dot(basis, 6 * i + 3, nominal, 3 * i);
    const steep = weight / (slack * slack);
    const round = (weight * dot(axis, 3 * i, nominal, 3 * i)) / slack;
    add(i, i, own[i] + round + steep * p * p, 0, 0);
    add(i, i, own[i] + round + steep * q * q, 1, 1);
    add(i, i, steep * p * q, 1, 0);
  }
}

/** Axes after a part of the step, to `trial`; false where one would leave its cone. */
function walk({ stiffness, nominal, room, axis, trial, basis, step, place }: State, length: number): boolean {
  for (let i = 0; i < stiffness.count; i++) {
    const k = 3 * i;
    copy(axis, k, trial, k);
    if (room[i] === 0) continue;
    addScaled(trial, k, length * step[2 * place[i]], basis, 2 * k, trial, k);
    addScaled(trial, k, length * step[2 * place[i] + 1], basis, 2 * k + 3, trial, k);
    normalise(trial, k);
    if (!(slackAt(room, trial, nominal, i) > 0)) return false;
  }
  return true;
}

/** cos of the angle to the nominal axis less cos of the cone, from the chord between the two: exact for small cones. */
function slackAt(room: Float64Array, axis: Float64Array, nominal: Float64Array, i: number): number {
  let square = 0;
  for (let k = 3 * i; k < 3 * i + 3; k++) square += (axis[k] - nominal[k]) ** 2;
  return room[i] - square / 2;
}

/** Grows without bound where an axis nears the edge of its cone; 0 at the nominal axes. */
function barrier({ stiffness, nominal, room }: State, axis: Float64Array, weight: number): number {
  let sum = 0;
  for (let i = 0; i < stiffness.count; i++) {
    if (room[i] > 0) sum -= log(slackAt(room, axis, nominal, i) / room[i]);
  }
  return weight * sum;
}

/** Two unit vectors across the unit vector a[i..i+2] and each other, to out[k..k+5]. */
function tangentPlane(a: Float64Array, i: number, out: Float64Array, k: number): void {
  const x = Math.abs(a[i]);
  const y = Math.abs(a[i + 1]);
  const z = Math.abs(a[i + 2]);
  const least = x <= y && x <= z ? 0 : y <= z ? 1 : 2;
  set(out, k + 3, 0, 0, 0);
  out[k + 3 + least] = 1;
  cross(a, i, out, k + 3, out, k);
  normalise(out, k);
  cross(a, i, out, k, out, k + 3);
}
