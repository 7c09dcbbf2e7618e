// What a preheat buys on a seam for the same melted width. That it cuts cycle time is common practice, no source.

export interface PreheatGain {
  /** Rise of the bond plane by the time the spot's middle passes, at the process speed, K. */
  readonly rise: number;
  /** Line energy, and so power, that melts the wanted width at the process speed, with over without; NaN where none does. */
  readonly energyRatio: number;
  /** Highest speed at which the plan's power melts the wanted width, without and with, mm/s; NaN where none does. */
  readonly speedWithout: number;
  readonly speedWith: number;
}

export interface PreheatEffect extends PreheatGain {
  /** Time of the seam at those speeds, under all other limits of the plan, s; NaN where the speed is. */
  readonly cycleWithout: number;
  readonly cycleWith: number;
}
