// Arms for tests: published parameter sets (mm and rad) and what turns them into records.
import type { Arm, AxisLimits, OrthoParallel, SerialChain } from '../../src/model/arm.ts';

/**
 * Parameter sets of six-axis arms with an ortho-parallel base, metres there, mm here. Source: Brandstoetter, Angerer &
 * Hofbaur 2014, in the convention of the open library opw_kinematics (seen).
 */
export const P1: OrthoParallel = {
  kind: 'ortho-parallel',
  a1: 25,
  a2: -35,
  b: 0,
  c1: 400,
  c2: 315,
  c3: 365,
  c4: 80,
  signs: [-1, 1, 1, -1, 1, -1],
  offsets: [0, -Math.PI / 2, 0, 0, 0, 0],
};
export const P3: OrthoParallel = {
  kind: 'ortho-parallel',
  a1: 150,
  a2: -115,
  b: 0,
  c1: 445,
  c2: 700,
  c3: 795,
  c4: 85,
  signs: [1, 1, 1, 1, 1, 1],
  offsets: [0, 0, -Math.PI / 2, 0, 0, 0],
};
export const P4: OrthoParallel = {
  kind: 'ortho-parallel',
  a1: 0,
  a2: 0,
  b: 35,
  c1: 320,
  c2: 225,
  c3: 225,
  c4: 65,
  signs: [1, 1, 1, 1, 1, 1],
  offsets: [0, 0, 0, 0, 0, 0],
};

/** The same geometry with all signs +1 and no offsets: joint angles are then the geometric ones. */
export const geometric = (model: OrthoParallel): OrthoParallel => ({
  ...model,
  signs: [1, 1, 1, 1, 1, 1],
  offsets: [0, 0, 0, 0, 0, 0],
});

/** Rx(alpha) and Rz(theta) joints of a standard Denavit-Hartenberg table as a chain: T(0,0,d) T(a,0,0) Rx(alpha) goes into the next frame. */
function chainFromDh(d: number[], a: number[], alpha: number[]): SerialChain {
  const after = (j: number): number[] => {
    const c = Math.cos(alpha[j]);
    const s = Math.sin(alpha[j]);
    return [1, 0, 0, 0, c, -s, 0, s, c, a[j], 0, d[j]];
  };
  const identity = [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0];
  const joints = d.map((_, j) => ({ origin: j === 0 ? identity : after(j - 1), axis: [0, 0, 1] as const }));
  return { kind: 'chain', joints, flange: after(d.length - 1) };
}

/**
 * A classic six-axis benchmark geometry, mm. Source: Corke & Armstrong-Helouvry 1994, as held in an open toolbox (seen).
 */
export const benchmark: SerialChain = chainFromDh(
  [0, 0, 150.05, 431.8, 0, 0],
  [0, 431.8, 20.3, 0, 0, 0],
  [90, 0, -90, 90, -90, 0].map((degrees) => (degrees * Math.PI) / 180),
);

export const axesOf = (n: number, range = Math.PI, speed = 4, acceleration = 20): AxisLimits[] =>
  Array.from({ length: n }, (_, j) => ({ name: `A${j + 1}`, min: -range, max: range, speed, acceleration }));

export function armOf(model: OrthoParallel | SerialChain, changes: Partial<Arm> = {}): Arm {
  const n = model.kind === 'chain' ? model.joints.length : 6;
  return {
    id: 'test-arm',
    title: 'Arm of a test',
    model,
    axes: axesOf(n),
    payload: 5,
    base: { position: [0, 0, 0], rotation: [0, 0, 0] },
    floor: null,
    envelope: [],
    home: new Array(n).fill(0),
    ...changes,
  };
}

/** A small linear congruential generator (Numerical Recipes constants): the same numbers in every run. */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}
