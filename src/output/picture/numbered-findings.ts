// Findings with the numbers that drawing, strip and list share.
import type { Finding, Severity } from '../../model/finding.ts';
import type { Plan } from '../../planner/plan.ts';

export interface NumberedFinding {
  readonly number: number;
  readonly finding: Finding;
}

const ORDER: readonly Severity[] = ['blocks', 'warns', 'notes'];

/** What blocks first, then what warns, then what is noted; in the plan's order within each. */
export function numberFindings({ findings }: Plan): NumberedFinding[] {
  return ORDER.flatMap((severity) => findings.filter((finding) => finding.severity === severity)).map(
    (finding, index) => ({ number: index + 1, finding }),
  );
}

/** Whether a finding has a stretch of the seam. */
export const hasStretch = ({ finding }: NumberedFinding, seam: string): boolean =>
  finding.seam === seam && Number.isFinite(finding.from) && Number.isFinite(finding.to);
