// What a screen shows of a plan: plain data in the units that people read, copied out of the records, fit to be posted from a
// worker. The records themselves stay where they were computed.
import type { Finding } from '../../model/finding.ts';
import type { ProcessWindow } from '../../model/process-window.ts';
import type { Track } from '../picture/tracks.ts';
import type { Summary } from '../summary.ts';

/** One edge that can be picked. */
export interface EdgeView {
  /** As in a selection: `tub:3-7`. */
  readonly id: string;
  readonly length: number;
  readonly closed: boolean;
  /** Smallest and largest angle between its faces, deg; null along an open border. */
  readonly dihedral: readonly [number, number] | null;
  /** Points of the chain, 3 x n, mm from `SceneView.centre`; a closed one repeats its first. */
  readonly position: Float32Array;
}

/** One body as triangles. */
export interface BodyView {
  /** File as in the job and position in it: `wave-pod.step#1`. */
  readonly key: string;
  readonly file: string;
  readonly name: string;
  readonly index: number;
  /** Vertices, 3 x n, mm from `SceneView.centre`, and triangles, counter-clockwise seen from outside. */
  readonly position: Float32Array;
  readonly triangle: Uint32Array;
  /** Face of each triangle. */
  readonly faceOfTriangle: Uint32Array;
  readonly edges: readonly EdgeView[];
}

/** All imported files. `centre` is taken off in double precision before anything goes into 32 bits. */
export interface SceneView {
  /** mm, part frame. */
  readonly centre: readonly [number, number, number];
  /** Smallest and largest x, y, z of all bodies, mm from the centre. */
  readonly low: readonly [number, number, number];
  readonly high: readonly [number, number, number];
  readonly bodies: readonly BodyView[];
  /** True while this is the coarse import that comes before the fine one. */
  readonly coarse: boolean;
  readonly notes: readonly { readonly file: string; readonly code: string; readonly sentence: string }[];
}

/** One quantity along the rows of a seam: a column of `waypoints.csv`, unrounded. */
export interface ColumnView {
  /** As in the file's header. */
  readonly name: string;
  readonly title: string;
  readonly description: string;
  readonly unit: string;
  readonly decimals: number;
  /** One value a row, in `unit`; NaN where it could not be computed. */
  readonly values: Float64Array;
}

/** Heat over the ribbon beside the seam, at n stations and `across` lines; the value of line j at station i at [i * across + j]. */
export interface RibbonView {
  readonly stations: number;
  readonly across: number;
  readonly closed: boolean;
  /** Distance of the lines from the seam along b, mm. */
  readonly offset: Float64Array;
  /** Arc length of the stations, mm, and which of them each row of the seam stands on. */
  readonly s: Float64Array;
  readonly stationOfRow: Uint32Array;
  /** Points, 3 x n x across, mm from the scene's centre, a little above the joint. */
  readonly position: Float32Array;
  readonly quantities: readonly {
    readonly name: string;
    readonly title: string;
    readonly unit: string;
    readonly decimals: number;
    readonly values: Float64Array;
  }[];
}

/** The arm in each row: frames of its links, the base first, the flange last. */
export interface ArmView {
  readonly id: string;
  readonly title: string;
  /** Rooms of links and head, in the frame of link `link`: segments with a radius, mm. */
  readonly capsules: readonly {
    readonly name: string;
    readonly owner: 'arm' | 'head';
    readonly link: number;
    readonly from: readonly number[];
    readonly to: readonly number[];
    readonly radius: number;
  }[];
  readonly links: number;
  /** 16 per link and row (column by column as WebGL takes them), rows x links, in the part frame from the scene's centre; NaN without a posture. */
  readonly frame: Float32Array;
  readonly axes: readonly string[];
}

export interface SeamView {
  readonly name: string;
  readonly closed: boolean;
  /** mm */
  readonly length: number;
  readonly edgeIds: readonly string[];
  /** Rows. */
  readonly count: number;
  /** Arc length driven, mm, and time, s, of each row. */
  readonly s: Float64Array;
  readonly time: Float64Array;
  /** Index into PHASES, and 1 where the beam is on. */
  readonly phase: Uint8Array;
  readonly beam: Uint8Array;
  /** Per row, 3 each, mm from the scene's centre: point on the joint, tool centre point, head point, where the beam enters (NaN without layer). */
  readonly joint: Float32Array;
  readonly tcp: Float32Array;
  readonly head: Float32Array;
  readonly entry: Float32Array;
  /** Unit vectors per row, 3 each: joint normal, tangent, beam axis (the way the light goes). */
  readonly normal: Float32Array;
  readonly tangent: Float32Array;
  readonly axis: Float32Array;
  /** Width of the seam asked for, mm. */
  readonly width: number;
  /** Radius of the beam where it leaves the head, and on the joint across the beam, mm; NaN off the seam. */
  readonly exitRadius: number;
  readonly spotRadius: Float32Array;
  /** Every column of numbers of waypoints.csv. */
  readonly columns: readonly ColumnView[];
  /** How far each row stands from each limit; negative is over it. */
  readonly margins: readonly ColumnView[];
  /** Stacked tracks with their limits, the same as in the picture of the seam. */
  readonly tracks: readonly Track[];
  readonly ribbon: RibbonView | null;
  readonly arm: ArmView | null;
  readonly window: ProcessWindow | null;
}

export interface PlanView {
  readonly version: string;
  /** What all its points are counted from, mm, part frame: the centre of the scene that it was made with. */
  readonly centre: readonly [number, number, number];
  readonly summary: Summary;
  readonly findings: readonly Finding[];
  readonly seams: readonly SeamView[];
  /** False while the heat is still to come. */
  readonly complete: boolean;
}
