// A job with its units converted and its defaults filled in: what every stage works on.
import type { Arm } from './arm.ts';
import type { Head } from './head.ts';
import type { Material, PairTable } from './material.ts';
import type { Optics } from './optics.ts';
import type { Role } from './part.ts';
import type { PlacementSearch } from './placement.ts';
import type { Fingerprint } from './seam.ts';

export interface JobPart {
  /** File as written in the job, inside the job's folder. */
  readonly file: string;
  /** Body by name or `#index`; empty where the file has one body. */
  readonly body: string;
  readonly role: Role;
  /** Id of its material; empty where none is given. */
  readonly material: string;
  /** Millimetres per unit of the file (STL only); 0 where the file knows its unit. */
  readonly unitScale: number;
}

export type Point = readonly [number, number, number];

export type Follow = 'tangent' | 'loop' | 'none';

/** `body` is the name or `#index` as in a part of the job. */
export type Selection =
  | {
      readonly kind: 'edge';
      readonly body: string;
      readonly near: Point;
      readonly follow: Follow;
      readonly faceNear: Point | null;
    }
  | { readonly kind: 'edges'; readonly ids: readonly string[]; readonly faceNear: Point | null }
  | { readonly kind: 'band'; readonly body: string; readonly near: Point; readonly follow: Follow }
  | {
      readonly kind: 'contact';
      readonly bodies: readonly [string, string];
      /** Largest distance of faces in contact, mm. */
      readonly tolerance: number;
      readonly near: Point | null;
    }
  | {
      readonly kind: 'points';
      readonly file: string;
      readonly body: string;
      /** Null: as the points have it. */
      readonly closed: boolean | null;
      /** Root mean square distance from the points that smoothing may use, mm. */
      readonly smooth: number;
      /** Largest distance of a point from the joint face, mm. */
      readonly reach: number;
      readonly faceNear: Point | null;
    };

export type AxisChoice = 'joint-normal' | 'entry-normal' | Point;

/** How the head stands, the smoothing of its axis left out. */
export type NominalHead = Omit<HeadSettings, 'relax'>;

export interface HeadSettings {
  /** Distance from the tool centre point to the head point, mm. */
  readonly standoff: number;
  /** > 0 puts the focus beyond the joint, mm. */
  readonly defocus: number;
  /** A point is a direction in which the light travels, part frame, unit. */
  readonly axis: AxisChoice;
  /** rad */
  readonly lead: number;
  readonly tilt: number;
  /** How far the beam axis may lean from the direction asked for, so that the head turns less, rad; 0 leaves it there. */
  readonly relax: number;
  /** Turn of the tool frame about the beam: kept constant, free, or constant at this angle (rad) from travel at the seam's start. */
  readonly turn: 'constant' | 'free' | number;
}

/** A broad Gaussian source that moves with the head. */
export interface Preheat {
  /** W that arrive at the joint; 1/e2 radius there, mm. */
  readonly power: number;
  readonly radius: number;
  /** Absorption coefficients for it, 1/mm. */
  readonly absorption: number;
  readonly layerAbsorption: number;
}

export interface ProcessSettings {
  /** mm/s */
  readonly speed: number;
  /** Energy that enters the absorber per length, J/mm. */
  readonly lineEnergy: number;
  /** What the power keeps constant along the seam. */
  readonly hold: 'line-energy' | 'peak-temperature' | 'weld-width';
  /** What the line energy is to be found for, at the process speed; null: it is as given. mm, degC. */
  readonly aim: { readonly kind: 'width' | 'peak'; readonly value: number } | null;
  readonly preheat: Preheat | null;
  /** degC */
  readonly startTemperature: number;
}

export interface JobSeam {
  readonly name: string;
  readonly select: Selection;
  /** Signed offset across the face along the surface, mm, towards b = n x t of the seam as it is driven. */
  readonly offset: number;
  readonly startNear: Point | null;
  readonly reverse: boolean;
  /** What the selection was when it was made; null where the job does not say. */
  readonly fingerprint: Fingerprint | null;
  /** Largest distance at which a rounded corner is passed, mm; 0 leaves corners. */
  readonly cornerBlend: number;
  /** Wanted width of the seam, mm. */
  readonly width: number;
  /** Ways with the beam off before and after the weld, mm. */
  readonly runIn: number;
  readonly runOut: number;
  readonly overlap: number;
  readonly ramp: number;
  readonly spacing: number;
  /** Largest chord error of the waypoints, mm; 0 leaves the spacing even. */
  readonly chord: number;
  readonly head: HeadSettings;
  readonly process: ProcessSettings;
}

export interface Limits {
  readonly incidenceEntry: number;
  readonly incidenceJoint: number;
  readonly layer: number;
  readonly gap: number;
  readonly contact: number;
  /** shares 0 .. 1 */
  readonly clipped: number;
  readonly capture: number;
  /** Largest deviation of the line energy that arrives from the one asked for there. */
  readonly lineEnergy: number;
  /** Lateral tolerance, mm. */
  readonly lateral: number;
  readonly headTurn: number;
  readonly headTurnAcceleration: number;
  readonly spotAcceleration: number;
  readonly normalAcceleration: number;
  readonly headSpeed: number;
  readonly headAcceleration: number;
}

/** An arm with the head at its flange, and what is asked of it. */
export interface Carrier {
  readonly arm: Arm;
  readonly head: Head;
  /** Distance that envelopes keep from all that stands in the cell, mm. */
  readonly clearance: number;
  /** Distance that axes keep from their limits, rad. */
  readonly jointMargin: number;
  /** Least singular value of the Jacobian with lengths over the arm's span. */
  readonly singularity: number;
  /** Fastest change of a free turn along the seam, rad/mm. */
  readonly turnRate: number;
}

export interface Job {
  readonly title: string;
  readonly parts: readonly JobPart[];
  /** mm, rad */
  readonly tessellation: { readonly linear: number; readonly angular: number; readonly maxTriangles: number };
  /** Part frame in the arm's base frame, R = Rz(C) Ry(B) Rx(A): position in mm, angles A B C in rad. */
  readonly placement: { readonly position: Point; readonly rotation: Point };
  /** Where the part may stand; null where the job does not say. */
  readonly search: PlacementSearch | null;
  readonly seams: readonly JobSeam[];
  readonly optics: Optics;
  /** A stated plane-parallel layer, where no transmissive body is given. */
  readonly layer: { readonly thickness: number; readonly material: string } | null;
  /** By id: the catalogue's and the job's own, those of the job win. */
  readonly materials: ReadonlyMap<string, Material>;
  readonly pairs: PairTable;
  readonly limits: Limits;
  /** What carries the head; null where a plan is made without an arm. */
  readonly carrier: Carrier | null;
  /** Straight way along the beam axis before the first and after the last waypoint, mm. */
  readonly approach: number;
}
