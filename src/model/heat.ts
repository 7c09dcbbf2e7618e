// What the joint sees: energy and temperature over a ribbon round the seam, and what of it each waypoint should know.

/** Constant properties of one half. */
export interface Half {
  /** k / (rho c), mm2/s. */
  readonly diffusivity: number;
  /** rho c, J/(mm3 K). */
  readonly heatCapacity: number;
}

/** The two halves at the joint, as the heat stage sees them. */
export interface Medium {
  readonly absorber: Half;
  readonly layer: Half;
  /** Absorption coefficient of the absorber, 1/mm. */
  readonly absorption: number;
  /** Absorption coefficient of the layer, 1/mm: what of its extinction heats it; and its thickness, mm. */
  readonly layerAbsorption: number;
  readonly layerThickness: number;
}

/** When plastic melts, welds and spoils, degC, on the scale of the side that needs more. */
export interface HeatLimits {
  /** Temperature of the parts before welding. */
  readonly start: number;
  /** Melting or softening of the absorber, where its latent heat goes in. */
  readonly melting: number;
  /** Latent heat over specific heat of the absorber, K; 0 where there is none or where the heat capacity holds it. */
  readonly latent: number;
  /** The joint bonds where the bond plane gets this hot: the higher weld onset of both sides. */
  readonly onset: number;
  /** The lower decomposition limit of both sides. */
  readonly decomposition: number;
}

/**
 * Heat of one seam. The ribbon is a grid over the n stations and `across` lines beside the seam, the value of line j at
 * station i at [i * across + j]; a value that could not be computed, or off the joint face, is NaN.
 */
export interface Heat {
  readonly medium: Medium;
  readonly limits: HeatLimits;
  /** Number of stations n and of lines. */
  readonly count: number;
  readonly across: number;
  /** Signed distance of each line from the seam along b, `across`, mm, increasing. */
  readonly offset: Float64Array;
  /** Points of the ribbon, 3 x n x across, mm, part frame. */
  readonly position: Float64Array;
  /** Energy of the light that arrives per area, all passes together, n x across, J/mm2 (mean over the cell round each point). */
  readonly fluence: Float64Array;
  /** Highest temperature on the bond plane, and anywhere in the absorber below, of the hottest pass, n x across, degC. */
  readonly peak: Float64Array;
  readonly hottest: Float64Array;
  /** Time for which the bond plane is above the weld onset, all passes together, n x across, s. */
  readonly aboveOnset: Float64Array;
  readonly rows: HeatRows;
  /** Places that another pass comes near, in the order of the seam. */
  readonly neighbours: readonly Neighbour[];
  /** Energy of the light that arrived, J: by the time law, and by the ribbon's fluence. */
  readonly delivered: number;
  readonly onRibbon: number;
}

/** One pass over each waypoint; arrays over the m rows, NaN where the beam is off or the value could not be computed. */
export interface HeatRows {
  /** Fluence at the row's station, the highest across the seam, all passes together, J/mm2. */
  readonly fluence: Float64Array;
  /** Highest temperature on the bond plane across the seam, and anywhere in the absorber, degC. */
  readonly peak: Float64Array;
  readonly hottest: Float64Array;
  /** Longest time across the seam above the weld onset, s. */
  readonly aboveOnset: Float64Array;
  /** Width round the seam over which the bond plane gets above the weld onset, mm; 0 where it stays below. */
  readonly width: Float64Array;
  /** Temperature of the bond plane on the seam before the pass, degC. */
  readonly before: Float64Array;
}

/** Another pass that warms a station of the seam. */
export interface Neighbour {
  /** The row whose station it is, and the row of the pass that comes near. */
  readonly row: number;
  readonly other: number;
  /** Distance in space, mm, and time from the row's pass to the other, s (> 0: the other comes later). */
  readonly distance: number;
  readonly delay: number;
  /** Highest temperature that the other pass brings to the seam at the row's station, degC. */
  readonly peak: number;
}
