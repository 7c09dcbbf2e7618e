// A finding in words and as a stretch of its seam.
import { type Code, RULES } from '../../checks/severity.ts';
import type { Finding, Severity } from '../../model/finding.ts';
import { fixedText, quantityText, sensibleDecimals } from '../chrome/unit-text.ts';

export const SEVERITIES: readonly Severity[] = ['blocks', 'warns', 'notes'];

/** Its title; the code where the table does not know it. */
export const findingTitle = ({ code }: Finding): string => RULES[code as Code]?.title ?? code;

/** `rim, 12.0 to 48.5 mm`; `the whole job` where it has no seam. */
export function placeText({ seam, from, to }: Finding): string {
  if (seam === '') return 'the whole job';
  if (!Number.isFinite(from)) return seam;
  if (!(to - from > 0.05)) return `${seam}, at ${fixedText(from, 1)} mm`;
  return `${seam}, ${fixedText(from, 1)} to ${fixedText(to, 1)} mm`;
}

/** Worst value and limit, each with its unit; null where there is none. A limit of nothing says nothing. */
export function amountText({ value, limit, unit }: Finding): { value: string; limit: string | null } | null {
  if (!Number.isFinite(value)) return null;
  const decimals = Math.max(sensibleDecimals(value), Number.isFinite(limit) ? decimalsOf(limit) : 0);
  return {
    value: quantityText(value, decimals, unit),
    limit: Number.isFinite(limit) && limit !== 0 ? quantityText(limit, decimals, unit) : null,
  };
}

/** Decimals that a limit is written with, at most three. */
function decimalsOf(value: number): number {
  const text = String(Number(value.toFixed(3)));
  return text.includes('.') ? text.length - text.indexOf('.') - 1 : 0;
}

/** A finding with its place in the plan's list. */
export interface ListedFinding {
  readonly finding: Finding;
  readonly index: number;
}

/** Gravest first, in the plan's order within a severity; with a seam's name only its own and those of the whole job. */
export function listFindings(findings: readonly Finding[], seam: string | null): readonly ListedFinding[] {
  const listed = findings
    .map((finding, index) => ({ finding, index }))
    .filter(({ finding }) => seam === null || finding.seam === seam || finding.seam === '');
  return SEVERITIES.flatMap((severity) => listed.filter(({ finding }) => finding.severity === severity));
}
