// The arm that carries the head: its kinematic model, what its axes can do, and what room its links take.
import type { Point } from './job.ts';

/** A frame in its parent: position in mm, angles A B C in rad with R = Rz(C) Ry(B) Rx(A). */
export interface ArmFrame {
  readonly position: Point;
  readonly rotation: Point;
}

/**
 * Six axes with an ortho-parallel base and a spherical wrist (Brandstoetter, Angerer & Hofbaur 2014). With the
 * geometric angles t = sign q - offset all zero it stands upright:
 * Rz(t1) T(a1, b, c1) Ry(t2) T(0, 0, c2) Ry(t3) T(a2, 0, c3) Rz(t4) Ry(t5) Rz(t6) T(0, 0, c4).
 */
export interface OrthoParallel {
  readonly kind: 'ortho-parallel';
  /** mm */
  readonly a1: number;
  readonly a2: number;
  readonly b: number;
  readonly c1: number;
  readonly c2: number;
  readonly c3: number;
  readonly c4: number;
  /** +1 or -1, 6. */
  readonly signs: readonly number[];
  /** rad, 6. */
  readonly offsets: readonly number[];
}

/** A revolute joint of a chain: frame in the link before it at q = 0, and the axis it turns about in that frame. */
export interface ChainJoint {
  /** Rotation row by row (9), then position in mm (3). */
  readonly origin: readonly number[];
  /** Unit vector. */
  readonly axis: Point;
}

/** Any serial chain of revolute joints. */
export interface SerialChain {
  readonly kind: 'chain';
  readonly joints: readonly ChainJoint[];
  /** Flange in the last link's frame: rotation row by row (9), position in mm (3). */
  readonly flange: readonly number[];
}

export interface AxisLimits {
  readonly name: string;
  /** rad; infinite for an axis that turns on and on. A range above one turn makes a multi-turn axis. */
  readonly min: number;
  readonly max: number;
  /** rad/s, rad/s2 */
  readonly speed: number;
  readonly acceleration: number;
}

/** A segment with a radius: the room that a link or a head takes. */
export interface Capsule {
  /** Name for findings: "forearm", "head" .. */
  readonly name: string;
  /** What it moves with: 0 the base, j the link behind axis j (1-based), 7 or n + 1 the flange. */
  readonly link: number;
  /** Ends of the segment in that link's frame, mm. */
  readonly from: Point;
  readonly to: Point;
  readonly radius: number;
}

export interface Arm {
  readonly id: string;
  readonly title: string;
  readonly model: OrthoParallel | SerialChain;
  /** One per axis. */
  readonly axes: readonly AxisLimits[];
  /** Largest mass at the flange, kg. */
  readonly payload: number;
  /** Root of the model in the arm's base frame, that in which a job places its part. */
  readonly base: ArmFrame;
  /** Height of the floor in the arm's base frame, mm; null where there is none to mind. */
  readonly floor: number | null;
  /** Links' envelopes; link frames of an ortho-parallel arm are parallel to the base with all geometric angles zero. */
  readonly envelope: readonly Capsule[];
  /** Posture from which the arm comes and to which it goes back, rad, one per axis. */
  readonly home: readonly number[];
}
