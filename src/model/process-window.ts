// The process window of a seam: borders over speed and line energy, and where the plan stands between them.

/** Line energies are those that enter the absorber, J/mm; divide by `transmitted` for the incident ones that trials quote. */
export interface ProcessWindow {
  /** Speeds, n, mm/s, and line energies, m, J/mm, of the map, both in equal ratios. */
  readonly speeds: Float64Array;
  readonly energies: Float64Array;
  /** Melted width, mm, at speed k and energy j: n x m, at [k * m + j]. */
  readonly widths: Float64Array;
  /** Borders over the speeds, n, J/mm: the middle melts; the wanted width melts (NaN: never); the hottest point spoils. */
  readonly onset: Float64Array;
  readonly melts: Float64Array;
  readonly spoils: Float64Array;
  /** A hundredth decomposes by kinetics; null where they are not known. */
  readonly loses: Float64Array | null;
  /** What the source's largest and least power give. */
  readonly most: Float64Array;
  readonly least: Float64Array;
  /** Share of the source's power that enters the absorber. */
  readonly transmitted: number;
  readonly plan: WindowPlan;
}

/** The plan in the window. Margins are shares: by how much more than needed, by how much less than allowed. */
export interface WindowPlan {
  /** mm/s, J/mm, J/mm */
  readonly speed: number;
  readonly lineEnergy: number;
  readonly incident: number;
  /** Melted and wanted width, mm; highest temperature on the plane and below it, degC. */
  readonly width: number;
  readonly wanted: number;
  readonly peak: number;
  readonly hottest: number;
  readonly overMelting: number;
  readonly underSpoiling: number;
  readonly underPower: number;
}
