// Which findings hold at a row: for the findings column and the hatching of the picture.
import type { Finding } from '../model/finding.ts';
import type { SeamPlan } from '../planner/plan.ts';

/** Stretches are given as sums of spacings: a row at their very end must not fall out by rounding, mm. */
const EDGE = 1e-6;

/**
 * Whether the finding holds at arc length `s` (mm): inside its stretch as it is named, and on a closed seam, where the
 * beam is on, also one turn further or back, because the overlap welds the same place again. A finding without a
 * stretch concerns no row.
 */
export function holdsAt(finding: Finding, s: number, beam: boolean, closed: boolean, length: number): boolean {
  const inside = (at: number): boolean => at >= finding.from - EDGE && at <= finding.to + EDGE;
  return inside(s) || (closed && beam && (inside(s + length) || inside(s - length)));
}

/** Codes of the findings that hold at a row, in the plan's order, each once. */
export function codesAtRow({ path, timing, findings }: SeamPlan, row: number): string[] {
  const codes: string[] = [];
  for (const finding of findings) {
    if (codes.includes(finding.code)) continue;
    if (holdsAt(finding, path.rows.s[row], timing.beam[row] === 1, path.closed, path.length)) codes.push(finding.code);
  }
  return codes;
}
