// What the plan has to say about itself: where, how much, against which limit, and what to try.

export type Severity = 'blocks' | 'warns' | 'notes';

export interface Finding {
  /** Stable, kebab-case; the table is in src/checks/severity.ts. */
  readonly code: string;
  readonly severity: Severity;
  /** Name of the seam, or empty when it concerns the whole job. */
  readonly seam: string;
  /** Stretch of seam, mm of arc length; on a closed seam `to` may exceed the length where the stretch crosses the start. NaN when it has none. */
  readonly from: number;
  readonly to: number;
  /** Where the worst value stands, mm. */
  readonly at: number;
  /** Worst value and the limit it is held against, in `unit`; NaN when there is none. */
  readonly value: number;
  readonly limit: number;
  /** Unit of value and limit as shown: deg, mm, %, W, mm/s .. */
  readonly unit: string;
  readonly sentence: string;
  readonly remedy: string;
}
