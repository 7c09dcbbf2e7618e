// Where a part may stand before the arm, and how well the arm does its seams there.
import type { Point } from './job.ts';
import type { Block, Move } from './posture.ts';

/** Lowest and highest value. */
export type Range = readonly [number, number];

/** The box that is searched: part frames in the arm's base frame. */
export interface PlacementSearch {
  /** mm */
  readonly position: readonly [Range, Range, Range];
  /** Angles A B C, rad, R = Rz(C) Ry(B) Rx(A). */
  readonly rotation: readonly [Range, Range, Range];
  /** Largest distance between neighbours of the first grid, mm and rad. */
  readonly positionStep: number;
  readonly rotationStep: number;
  /** How often the grid is halved round the best. */
  readonly levels: number;
  /** How many of the best are refined, and planned in full at the end. */
  readonly keep: number;
}

/** Part frame in the arm's base frame, as in a job: mm, rad. */
export interface Placement {
  readonly position: Point;
  readonly rotation: Point;
}

/**
 * `estimated`: from a part of the rows and of the turns about the beam; `planned`: as a plan of the job there has it.
 */
export const FIDELITIES = ['estimated', 'planned'] as const;
export type Fidelity = (typeof FIDELITIES)[number];

/** Why a placement cannot be used: no posture, something too close, a part in the floor, or, wherever it is, too heavy a head. */
export type Obstruction = Block | 'arm-close' | 'head-close' | 'home-limit' | 'below-floor' | 'payload';

/** A stretch of a seam, or a move before or after it, that cannot be driven; or a part in the floor, or a head too heavy. */
export interface PlacementBlock {
  /** Empty where it is a part or the head. */
  readonly seam: string;
  /** Empty along the seam. */
  readonly move: Move['name'] | '';
  readonly why: Obstruction;
  /** Axis (0-based) for a limit, else -1. */
  readonly axis: number;
  /** What is too close to what, such as "forearm, lid", the part in the floor, or the head too heavy; else empty. */
  readonly pair: string;
  /** Arc length driven at its first and last row, mm; NaN elsewhere. */
  readonly from: number;
  readonly to: number;
  /** Length of its rows, mm: each stands for half of the steps beside it; 0 elsewhere. */
  readonly length: number;
  /**
   * By how much at the worst: rad beyond the limit, mm beyond reach, below the clearance or in the floor, kg over the payload; NaN
   * where it is not known.
   */
  readonly excess: number;
}

/** How the arm does at one placement. */
export interface PlacementFigures {
  /** Length driven over all seams, and that of the rows that the arm can do, mm. */
  readonly length: number;
  readonly done: number;
  /** Share of the weld at process speed, 0 .. 1. */
  readonly speedShare: number;
  /**
   * Smallest room that is left, as a multiple of what the job asks for: of an axis to its limit, or of the singularity
   * measure, whichever is less; 1 is just enough. NaN where nothing is done, Infinity where nothing is asked for.
   */
  readonly margin: number;
  /** Smallest distance of an axis to its limit, rad, and whose it is (0-based); NaN and -1 where nothing is done. */
  readonly jointMargin: number;
  readonly jointAxis: number;
  /** Smallest singular value of the Jacobian with lengths over the arm's reach; NaN where nothing is done. */
  readonly singularity: number;
  /** Smallest distance of head and arm from all that stands in the cell, mm, as far as it was measured; NaN in an estimate. */
  readonly clearance: number;
  /** Cycle of all seams, s; NaN in an estimate. */
  readonly cycle: number;
  readonly blocks: readonly PlacementBlock[];
}

/** A placement in the ranking, best first. */
export interface RankedPlacement extends PlacementFigures {
  readonly placement: Placement;
  readonly fidelity: Fidelity;
}

/** One thing that stands in the way: at how many of the placements, and over which share of their length in the mean. */
export interface Hindrance extends Pick<PlacementBlock, 'move' | 'why' | 'axis' | 'pair'> {
  readonly placements: number;
  readonly share: number;
}

export interface PlacementRanking {
  readonly search: PlacementSearch;
  readonly ranked: readonly RankedPlacement[];
  /** How many of them are planned, and how many of those nothing blocks. */
  readonly planned: number;
  readonly fits: number;
  /** What stands in the way, most often first. */
  readonly hindrances: readonly Hindrance[];
}
